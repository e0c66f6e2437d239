package channel

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"coldstart/cpu"
)

// A Part is a part of a channel, or of the tape on it, that can fail.
type Part uint8

// The parts, and what of a Fault each looks at. Values are those on the line, whatever they mean to a program.
const (
	ReceiveBit  Part = iota // bit Bit of what comes to the machine is Value
	SendBit                 // bit Bit of what goes to the device, commands too, is Value
	SignLine                // sign Bit is Value
	Dead                    // nobody answers
	TapeBit                 // bit Bit of data word Word of block Block is read turned round
	TapeMissing             // nothing can be read where block Block stands
	TapeGap                 // the gap before block Block lasts only Gap
	parts
)

// A Fault is one thing that fails at a channel. Bits are counted from the right, blocks by the number that they carry. Equal
// faults are the same fault.
type Fault struct {
	Part        Part
	Bit, Value  int
	Block, Word int
	Gap         cpu.Time
	cpu.Chance
}

// place is what two faults share that cannot both be in.
func (f Fault) place() Fault {
	return Fault{Part: f.Part, Bit: f.Bit, Block: f.Block, Word: f.Word}
}

// A failing is a fault that is in.
type failing struct {
	Fault
	cpu.Draws
	rests bool // it is out for now
}

// A spot is a word of a block; -1 is the block itself.
type spot struct{ block, word int }

// Faults are those in one channel. The nil Faults are none.
type faults struct {
	all   map[Fault]*failing // by place
	lines []*failing         // those of no tape, in the order of compareFaults
	spots map[spot][]*failing
}

// compareFaults puts faults in an order that does not hang on which was put in first.
func compareFaults(a, b *failing) int {
	return cmp.Or(cmp.Compare(a.Part, b.Part), cmp.Compare(a.Bit, b.Bit))
}

// Jam puts a fault in at a channel code. The error, one sentence, says that there is no such place, or that another fault is
// there already. The same fault again changes nothing.
func (r *Rack) Jam(code int, f Fault) error {
	i, found := r.find(code)
	if !found {
		return errors.New("no device stands at this channel, so nothing of it can fail")
	}
	s := &r.slots[i]
	if err := f.check(s.device); err != nil {
		return err
	}
	if other := s.faults.all[f.place()]; other != nil {
		if other.Fault == f {
			return nil
		}
		return errors.New("another fault is at this place already: take that jam out first")
	}
	s.faults.add(&failing{Fault: f, Draws: f.Begin()})
	return nil
}

// Unjam takes a fault out. The error says that it is not in.
func (r *Rack) Unjam(code int, f Fault) error {
	in := r.fault(code, f)
	if in == nil {
		return errors.New("this fault is not in")
	}
	i, _ := r.find(code)
	r.slots[i].faults.remove(in)
	return nil
}

// Rest takes a fault that is in out of force for now, or puts it back in force; what it remembers stays.
func (r *Rack) Rest(code int, f Fault, out bool) {
	if in := r.fault(code, f); in != nil {
		in.rests = out
	}
}

// Effect is how often a fault could have acted so far, and how often it made a difference.
func (r *Rack) Effect(code int, f Fault) (met, altered int64) {
	if in := r.fault(code, f); in != nil {
		return in.Met, in.Altered
	}
	return 0, 0
}

// Request is the number of the sign by which the device at a channel code asks to be served.
func (r *Rack) Request(code int) int {
	if d, ok := r.Device(code).(*Drive); ok {
		return d.spec.Signs[ready]
	}
	return 0
}

// fault is a fault that is in at a channel code; nil where it is not.
func (r *Rack) fault(code int, f Fault) *failing {
	i, found := r.find(code)
	if !found {
		return nil
	}
	if in := r.slots[i].faults.all[f.place()]; in != nil && in.Fault == f {
		return in
	}
	return nil
}

// check finds what the device cannot have.
func (f Fault) check(device Device) error {
	switch {
	case f.Part >= parts:
		return fmt.Errorf("there is no part %d", f.Part)
	case f.Value != 0 && f.Value != 1:
		return fmt.Errorf("nothing is held at %d: give 0 or 1", f.Value)
	case f.Bit < 0 || f.Bit > 63:
		return fmt.Errorf("there is no bit %d", f.Bit)
	case f.Part < TapeBit:
		return nil
	}
	d, ok := device.(*Drive)
	if !ok || d.tape == nil {
		return errors.New("no tape is seated at this channel")
	}
	for i := range d.tape.Len() {
		if d.tape.Origin(i, 0).Block == f.Block {
			return f.checkBlock(d, i)
		}
	}
	return errors.New("there is no such block on the tape")
}

// checkBlock finds what the block at position i of the tape in a drive cannot have.
func (f Fault) checkBlock(d *Drive, i int) error {
	switch {
	case f.Part == TapeGap && (f.Gap < 1 || f.Gap >= d.spec.Gap):
		return fmt.Errorf("a gap lasts %v here: a short one lasts more than nothing and less than that", d.spec.Gap)
	case f.Part != TapeBit:
		return nil
	}
	for k := range d.tape.Words(i) {
		if d.tape.Origin(i, k).Word == f.Word {
			return nil
		}
	}
	return errors.New("the block has no such word: words are counted from 0, header and sum left out")
}

// add puts a fault in.
func (fs *faults) add(in *failing) {
	fs.all[in.place()] = in
	if in.Part < TapeBit {
		at, _ := slices.BinarySearchFunc(fs.lines, in, compareFaults)
		fs.lines = slices.Insert(fs.lines, at, in)
		return
	}
	at := in.spot()
	list := fs.spots[at]
	i, _ := slices.BinarySearchFunc(list, in, compareFaults)
	fs.spots[at] = slices.Insert(list, i, in)
}

// remove takes a fault out.
func (fs *faults) remove(in *failing) {
	is := func(other *failing) bool { return other == in }
	delete(fs.all, in.place())
	fs.lines = slices.DeleteFunc(fs.lines, is)
	if at := in.spot(); len(fs.spots[at]) > 0 {
		fs.spots[at] = slices.DeleteFunc(fs.spots[at], is)
	}
}

// spot is where on a tape the fault is.
func (f Fault) spot() spot {
	if f.Part == TapeBit {
		return spot{f.Block, f.Word}
	}
	return spot{f.Block, -1}
}

// newFaults is no faults yet.
func newFaults() *faults { return &faults{all: map[Fault]*failing{}, spots: map[spot][]*failing{}} }

// clone is the same faults, which remember the same.
func (fs *faults) clone() *faults {
	c := newFaults()
	for _, in := range fs.all {
		other := *in
		c.add(&other)
	}
	return c
}

// recall lets the faults remember what others, kept, do; those that are not among them begin anew.
func (fs *faults) recall(kept *faults) {
	for place, in := range fs.all {
		in.Draws = in.Begin()
		if other := kept.all[place]; other != nil && other.Fault == in.Fault {
			in.Draws = other.Draws
		}
	}
}
