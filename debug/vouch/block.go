package vouch

import (
	"fmt"
	"slices"

	"coldstart/cpu/channel"
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A Block is what became of one block of a tape. Of its words some were run, some only read as data, the rest not touched
// once they were in store.
type Block struct {
	Channel   string `json:"channel"`
	Number    int    `json:"number"`
	Name      string `json:"name"`  // the number as the layout writes it
	Loads     string `json:"loads"` // the addresses it is for; "" where it says none
	Class     string `json:"class"`
	Words     int    `json:"words"`
	Run       int    `json:"run"`
	Data      int    `json:"read_only_as_data"`
	Untouched int    `json:"never_touched"`
	Places    string `json:"never_touched_at"` // the addresses of those
	Sum       string `json:"sum"`              // right, wrong, or none recorded; check code and parity too
	Check     string `json:"check"`
	Parity    string `json:"parity"`
	Trouble   string `json:"trouble"` // what is wrong with it on the recording; "" for nothing

	met   bool // the run came by it, or by where it should have been
	whole bool
}

// The classes of a block.
const (
	classRun       = "run"                   // some word of it was taken as an order
	classData      = "read only as data"     // some was read, none taken as an order
	classUntouched = "loaded, never touched" // it stood in store, and nothing more
	classUnloaded  = "not loaded"            // the run brought none of it into store
	classAgain     = "recorded again"        // a later copy of it reads whole and stands instead
	classMissing   = "missing"               // it is not on the recording
)

// classes are the classes in the order of the sheet.
var classes = []string{classRun, classData, classUntouched, classUnloaded, classAgain, classMissing}

// none stands on a sheet where there is nothing to say.
const none = "-"

// outcomes are the outcomes of a proof on paper.
var outcomes = [...]string{tape.Absent: none, tape.Right: "right", tape.Wrong: "WRONG"}

// blocks states what became of every block, those that are missing in their place.
func (m maker) blocks() {
	sources := m.report.Record.Sources()
	for _, t := range m.office.Tapes {
		passed := m.passed(t, sources)
		all := slices.Concat(t.Recording.Blocks, t.Recording.Missing)
		slices.SortStableFunc(all, func(a, b *tape.Block) int { return a.Number - b.Number })
		for _, b := range all {
			if b.FileMark || b.Rubbish() {
				if b.Reason() != "" {
					m.Odd = append(m.Odd, fmt.Sprintf("%s, position %d: %s", t.Channel.Name, b.Position, b.Reason()))
				}
				continue
			}
			e := m.block(t, b, sources)
			e.met = b.Position >= 0 && b.Position <= passed || b.Missing() && passed >= before(t.Recording, b.Number)
			m.Blocks = append(m.Blocks, e)
		}
		if odd := t.Recording.Remark(); odd != "" {
			m.Odd = append(m.Odd, t.Channel.Name+": "+odd)
		}
	}
}

// block states what became of one block.
func (m maker) block(t bringup.Tape, b *tape.Block, sources map[memory.Origin]trail.Use) Block {
	e := Block{Channel: t.Channel.Name, Number: b.Number, Name: b.Name, Trouble: b.Reason(), whole: b.Whole(), Class: classMissing, Sum: none, Check: none, Parity: none}
	if b.Missing() {
		return e
	}
	proof := b.Proof()
	e.Sum, e.Check, e.Parity = outcomes[proof.Sum], outcomes[proof.Check], outcomes[proof.Parity]
	e.Words, e.Class = len(b.Words), classUnloaded
	if b.Addressed && len(b.Words) > 0 {
		e.Loads = m.addr(b.Addr) + "-" + m.addr(b.Addr+memory.Addr(len(b.Words)-1))
	}
	if b.Superseded != nil && b.Superseded.Whole() {
		e.Class, e.whole, e.Words = classAgain, true, 0
		return e
	}
	var idle []memory.Addr
	loaded := false
	for i := range b.Words {
		use, stood := sources[b.From(i)]
		loaded = loaded || stood
		switch {
		case use&trail.Run != 0:
			e.Run++
		case use&trail.Read != 0:
			e.Data++
		default:
			e.Untouched++
			idle = append(idle, b.Addr+memory.Addr(i))
		}
	}
	if b.Addressed {
		e.Places = m.runs(idle)
	}
	switch {
	case e.Run > 0:
		e.Class = classRun
	case e.Data > 0:
		e.Class = classData
	case loaded:
		e.Class = classUntouched
	}
	return e
}

// passed is the last position on a recording that the run is known to have come by, -1 where it came by none. A drive that
// went back was further before: the commands it remembers say so, and the words that came into store.
func (m maker) passed(t bringup.Tape, sources map[memory.Origin]trail.Use) int {
	last := -1
	if d, ok := m.report.Half.Rack.Device(t.Channel.Code).(*channel.Drive); ok {
		p := d.Position(m.report.At)
		last = p.Block - 1
		if p.Word > 0 {
			last = p.Block
		}
		for _, h := range p.Heard {
			last = max(last, h.Block-1)
		}
	}
	for _, b := range t.Recording.Blocks {
		for k := range b.Raw {
			if _, stood := sources[b.Origin(k)]; stood {
				last = max(last, b.Position)
				break
			}
		}
	}
	return last
}

// before is the position that a missing block would have had: that of the first block with a higher number, or behind all.
func before(rec *tape.Recording, number int) int {
	for _, b := range rec.Blocks {
		if b.Number > number {
			return b.Position
		}
	}
	return len(rec.Blocks) - 1
}

// Count is how many blocks are of a class.
func (s *Sheet) count(class string) int {
	n := 0
	for _, b := range s.Blocks {
		if b.Class == class {
			n++
		}
	}
	return n
}

// addr writes an address.
func (m maker) addr(a memory.Addr) string {
	g := &m.office.Code.Geometry
	return g.Style.Addr(a, g.AddrBits)
}

// runs writes addresses, those side by side as one run.
func (m maker) runs(all []memory.Addr) string {
	text := ""
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1] == all[j]+1 {
			j++
		}
		if text != "" {
			text += ", "
		}
		text += m.addr(all[i])
		if j > i {
			text += "-" + m.addr(all[j])
		}
		i = j + 1
	}
	return text
}

// name names a block for people.
func (b Block) name() string { return fmt.Sprintf("block %s on %s", b.Name, b.Channel) }
