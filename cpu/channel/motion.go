package channel

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// advance lets the words pass that come up to now. It is bounded by the words left on the tape.
func (d *Drive) advance(now cpu.Time) {
	for d.running && d.due <= now {
		d.pass()
	}
}

// pass lets one word pass the head, at the time it is due, and finds when the next one is.
func (d *Drive) pass() {
	words := d.tape.Words(d.block)
	origin := d.tape.Origin(d.block, d.word)
	d.give(d.faults.read(words[d.word], origin), origin)
	if d.word++; d.word < len(words) {
		d.due += d.spec.Word
		return
	}
	d.endBlock(d.due)
}

// give lets a word come to the machine: to be received, or put into store.
func (d *Drive) give(w memory.Word, from memory.Origin) {
	t := &d.transfer
	if d.word == 0 && t.asked {
		t.asked, t.under, d.stopping = false, true, true
	}
	if t.under {
		t.words = append(t.words, passed{w, from, t.to, t.done})
		t.done++
		return
	}
	if d.waiting {
		d.late = true
		d.lost++
	}
	d.held, d.origin, d.waiting = w, from, true
}

// endBlock is the head leaving a block for the gap behind it, or for the end of the tape.
func (d *Drive) endBlock(at cpu.Time) {
	d.block, d.word = d.block+1, 0
	if t := &d.transfer; t.under { // how many words there were waits to be received
		d.held, d.origin, d.waiting = memory.Word(t.done), memory.Origin{}, true
		t.under, t.done = false, 0
	}
	gap := d.gap()
	// In a gap too short to stop in, the tape runs on into the next block.
	if (!d.stopping || gap < min(d.spec.Gap, d.spec.Stop)) && d.approach(at+gap) {
		return
	}
	d.rest(at)
}

// gap is how long the gap lasts that the head is in.
func (d *Drive) gap() cpu.Time {
	if d.faults == nil || d.block >= d.tape.Len() {
		return d.spec.Gap
	}
	return d.faults.gap(d.tape.Origin(d.block, 0).Block, d.spec.Gap)
}

// blank is whether nothing can be read at position i; counted is whether the head has come there.
func (d *Drive) blank(i int, counted bool) bool {
	return len(d.tape.Words(i)) == 0 || d.faults.missing(d.tape.Origin(i, 0).Block, counted)
}

// approach sets the head to reach the next block that holds any words at the given time, a gap later for each that holds
// none; false where there is no such block.
func (d *Drive) approach(reached cpu.Time) bool {
	for d.block < d.tape.Len() && d.blank(d.block, true) {
		d.block++
		reached += d.spec.Gap
	}
	d.running = d.block < d.tape.Len()
	d.due = reached + d.spec.Word
	return d.running
}

// rest begins to come to rest from speed.
func (d *Drive) rest(at cpu.Time) {
	d.running, d.stopping, d.backward, d.due = false, false, false, cpu.Never
	d.still = at + d.spec.Stop
}

// overBlock is whether some of the block at the head has passed and some has not.
func (d *Drive) overBlock(now cpu.Time) bool {
	return d.running && (d.word > 0 || now >= d.due-d.spec.Word)
}

// command obeys a command; one that the drive does not know lowers the late sign and does nothing else.
func (d *Drive) command(number memory.Word, now cpu.Time) {
	d.hear(number, now)
	d.late = false
	if d.tape == nil {
		return
	}
	switch number {
	case d.spec.Commands[forward]:
		d.forward(now)
	case d.spec.Commands[direct]:
		d.forward(now)
		d.transfer.asked = d.running
	case d.spec.Commands[stop]:
		d.stop(now)
	case d.spec.Commands[back]:
		d.back(now)
	case d.spec.Commands[rewind]:
		d.rewind(now)
	}
}

// forward starts the tape, after a movement under way has ended; a tape already moving forward just keeps on. A word left
// over from before the start is forgotten, so that the first word received is the first of a block.
func (d *Drive) forward(now cpu.Time) {
	d.stopping = false
	if d.running || d.block >= d.tape.Len() {
		return
	}
	d.waiting = false
	if reached := max(now, d.still) + d.spec.Start; !d.approach(reached) {
		d.rest(reached)
	}
}

// stop brings the tape to rest in the gap the head is in, if there is still room for it, or else in the one after the block.
func (d *Drive) stop(now cpu.Time) {
	switch {
	case !d.running:
	case now < d.still: // the start it takes back has not begun
		d.running, d.due = false, cpu.Never
	case d.overBlock(now) || now+d.spec.Stop > d.due-d.spec.Word:
		d.stopping = true
	default:
		d.rest(now)
	}
}

// back returns to before the block passed last; from within a block, to before that block.
func (d *Drive) back(now cpu.Time) {
	if !d.overBlock(now) {
		d.block = d.before(d.block)
	}
	d.reverse(max(now, d.still) + d.spec.Back)
}

// before is the position of the last block ahead of i that holds any words; the first position where there is none. Where
// nothing could be read the head finds no block to stop at.
func (d *Drive) before(i int) int {
	for i > 0 {
		if i--; !d.blank(i, false) {
			return i
		}
	}
	return 0
}

// rewind returns to before the first block.
func (d *Drive) rewind(now cpu.Time) {
	passed := d.block
	if d.overBlock(now) {
		passed++
	}
	if passed == 0 && !d.running {
		return
	}
	d.block = 0
	d.reverse(max(now, d.still) + d.spec.Start + cpu.Time(passed)*d.spec.Rewind + d.spec.Stop)
}

// reverse is a movement back that ends at the given time with the head before d.block.
func (d *Drive) reverse(until cpu.Time) {
	d.running, d.stopping, d.backward = false, false, true
	d.waiting = false
	d.word, d.due, d.still = 0, cpu.Never, until
}

// heardKept is how many commands a drive remembers.
const heardKept = 32

// A Heard is a command that reached a drive.
type Heard struct {
	At     cpu.Time
	Number memory.Word
	Block  int // position under the head, or ahead of it
}

// hear remembers a command before it is obeyed.
func (d *Drive) hear(number memory.Word, now cpu.Time) {
	d.heard[d.told%heardKept] = Heard{At: now, Number: number, Block: d.block}
	d.told++
}

// A Position says how far a drive has got.
type Position struct {
	Seated   bool
	Block    int     // position on the tape of the block under the head, or ahead of it; Blocks.Len at the end
	Word     int     // words of it that have passed
	Moving   bool    // forward, back, or coming to rest
	Lost     int64   // words lost since the tape was seated
	Commands int64   // commands since the tape was seated
	Heard    []Heard // the last of them, oldest first
}

// Position is how far the drive has got at the given time.
func (d *Drive) Position(now cpu.Time) Position {
	d.advance(now)
	p := Position{Seated: d.tape != nil, Block: d.block, Word: d.word, Moving: d.running || now < d.still,
		Lost: d.lost, Commands: d.told}
	for n := max(0, d.told-heardKept); n < d.told; n++ {
		p.Heard = append(p.Heard, d.heard[n%heardKept])
	}
	return p
}
