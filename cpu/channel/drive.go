package channel

import (
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// Blocks is the recording on a tape, position by position, as a drive needs it.
type Blocks interface {
	// Len is how many positions there are.
	Len() int
	// Words are the words at position i as recorded, mark, header and sum included; none where nothing could be read there.
	// They are not to be changed.
	Words(i int) []memory.Word
	// Origin is where word k of them came from.
	Origin(i, k int) memory.Origin
}

// The commands a drive knows, in the order DriveSpec.Commands numbers them.
const (
	forward = iota // move, and give each word as it passes
	stop           // stand still in the next gap where there is room to stop
	back           // move back over the block passed last, or over as much of a block as has passed
	rewind         // move back to before the first block
	direct         // move forward over one block, and put its words into store
	commandCount
)

// The signs a drive shows, in the order DriveSpec.Signs numbers them.
const (
	ready  = iota // a word waits to be received
	gap           // the head stands or moves between blocks
	end           // no block is left ahead of the head, or no tape is seated
	late          // a word was lost, not being received before the next one came; a command lowers it
	moving        // the tape moves, or comes to rest
	locked        // a tape is seated that cannot be written on
	signCount
)

// A DriveSpec is what kind of tape drive it is: its times, and the numbers of its commands and signs.
type DriveSpec struct {
	Word   cpu.Time // from one word of a block to the next
	Gap    cpu.Time // from the last word of a block to the head reaching the next block
	Start  cpu.Time // from standing to the head reaching the block, at speed
	Stop   cpu.Time // from speed to standing
	Back   cpu.Time // the whole of a back-one-block, to standing
	Rewind cpu.Time // for each block rewound over; Start and Stop come on top

	Commands [commandCount]memory.Word // number of forward, stop, back, rewind, direct
	Signs    [signCount]int            // number of ready, gap, end, late, moving, locked
	Unlocked bool                      // the tapes seated can be written on
}

// What stands for the number of a command or a sign that a drive does not have.
const (
	noCommand = ^memory.Word(0)
	noSign    = -1
)

// DefaultDrive is a drive of 8,000 words a second with commands 1 to 4 and signs 0 to 4, neither direct nor with a sign of the
// write lock: times chosen by us, no source.
func DefaultDrive() DriveSpec {
	return DriveSpec{
		Word: 125 * cpu.Microsecond, Gap: 15_375 * cpu.Microsecond,
		Start: 5 * cpu.Millisecond, Stop: 3 * cpu.Millisecond,
		Back: 60 * cpu.Millisecond, Rewind: 10 * cpu.Millisecond,
		Commands: [commandCount]memory.Word{1, 2, 3, 4, noCommand},
		Signs:    [signCount]int{0, 1, 2, 3, 4, noSign},
	}
}

// A Drive is a tape drive that reads. It gives the words of a block one by one while the tape moves; a word that is not
// received before the next one comes is lost. It stands still only between blocks.
type Drive struct {
	spec DriveSpec
	tape Blocks // nil: no tape seated

	faults *faults // of its channel, not of its state; nil: none

	// The word to come next, while the tape moves forward: word `word` of block `block`, at time `due`.
	// Standing, block is the one ahead of the head.
	running  bool
	stopping bool // a stop waits for the end of the block
	block    int
	word     int
	due      cpu.Time

	still    cpu.Time // when a movement that ends by itself (coming to rest, back, rewind) has ended
	backward bool     // that movement is back or rewind

	waiting bool // the held word has not been received
	late    bool
	lost    int64
	held    memory.Word
	origin  memory.Origin

	transfer transfer

	told  int64 // commands
	heard [heardKept]Heard
}

// NewDrive is a drive with no tape seated.
func NewDrive(spec DriveSpec) *Drive { return &Drive{spec: spec, due: cpu.Never} }

// Seat puts a tape in the drive, its first block ahead of the head, and forgets all that was before; nil takes it out.
func (d *Drive) Seat(tape Blocks) {
	*d = Drive{spec: d.spec, due: cpu.Never, tape: tape, faults: d.faults}
}

// Clone is a drive in the same state; both read the same tape.
func (d *Drive) Clone() Device {
	c := *d
	c.transfer.words = slices.Clone(d.transfer.words)
	return &c
}

// Do carries out one action. A word sent says where a block goes that is put into store: a drive only reads.
func (d *Drive) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	d.advance(now)
	switch a.Verb {
	case cpu.Receive:
		d.waiting = false
		return cpu.Reply{Word: d.held, Origin: d.origin}
	case cpu.Send:
		d.transfer.to = memory.Addr(a.Word)
	case cpu.Steal:
		return d.transfer.take(a.Half)
	case cpu.Command:
		d.transfer.half = a.Half
		d.command(a.Word, now)
	case cpu.Sign:
		if d.sign(a.Sign, now) {
			return cpu.Reply{Word: 1}
		}
	}
	return cpu.Reply{}
}

// Next is when the next word comes, or the head leaves a gap, or the tape comes to rest.
func (d *Drive) Next(now cpu.Time) cpu.Time {
	d.advance(now)
	next := cpu.Never
	if d.still > now {
		next = d.still
	}
	if d.running {
		if reached := d.due - d.spec.Word; d.word == 0 && reached > now {
			return min(next, reached)
		}
		return min(next, d.due)
	}
	return next
}

// sign is whether sign number n is up. Who asks for a sign the drive has not sees it down.
func (d *Drive) sign(n int, now cpu.Time) bool {
	switch n {
	case d.spec.Signs[ready]:
		return d.waiting
	case d.spec.Signs[gap]:
		return d.tape != nil && !d.overBlock(now) && !(d.backward && now < d.still)
	case d.spec.Signs[end]:
		return d.tape == nil || d.block >= d.tape.Len()
	case d.spec.Signs[late]:
		return d.late
	case d.spec.Signs[moving]:
		return d.running || now < d.still
	case d.spec.Signs[locked]:
		return d.tape != nil && !d.spec.Unlocked
	}
	return false
}
