// Package jam names every place of a machine that can be made to fail, and puts such faults in. A jam is a fault put in on
// purpose; nothing above this package needs to know that there is one.
package jam

import (
	"fmt"
	"go/token"

	"coldstart/cpu/duplex"
)

// A Jam is one fault: a place, what is wrong there, when it is in force, and whether it comes and goes.
type Jam struct {
	Pos token.Position // in the list that has it; without a line where it was typed

	text  string
	place place
	when  when
	half  string // B, where it is put into that half of a pair; "": into A
}

// In is the name of the half that the jam is put into.
func (j Jam) In() string {
	if j.half == "" {
		return "A"
	}
	return j.half
}

// A place is something that is wrong somewhere. Equal places are the same fault.
type place interface {
	put(h *duplex.Half) error
	lift(h *duplex.Half) error
	// rest takes it out of force for now, or puts it back; what it remembers stays.
	rest(h *duplex.Half, out bool)
	effect(h *duplex.Half) string
	// about is what two faults share that cannot both be in, to be compared.
	about() any
}

// String is the jam in its one settled form, which Parse reads back.
func (j Jam) String() string { return j.text }

// Always tells whether the jam is in force from power-up on, whatever the machine does.
func (j Jam) Always() bool { return j.when == (when{}) }

// Put makes the fault in a half; one that is not always in force comes and goes by itself from then on. The error, one
// sentence, says that another jam has the same place, or what the half has not.
func (j Jam) Put(h *duplex.Half) error {
	if err := j.place.put(h); err != nil {
		return err
	}
	if !j.Always() {
		attend(h).add(j)
	}
	return nil
}

// Lift mends the fault. The error says that it was not there.
func (j Jam) Lift(h *duplex.Half) error {
	if !j.Always() {
		attend(h).remove(j) // in force again, so that it can be taken out
	}
	return j.place.lift(h)
}

// Effect says what the jam has done to the half so far: how often its place was met, and how often it made a difference. It
// is for whoever put the jam in; a verdict never rests on it.
func (j Jam) Effect(h *duplex.Half) string {
	effect := j.place.effect(h)
	if b, ok := h.Machine.Bench().(*bench); ok && b.all[j.text] != nil && !b.all[j.text].in {
		effect += "; not in force now"
	}
	return effect
}

// OfStoreAlone tells whether the jam is of the store of A, and from the start on: whoever uses a store without a machine that runs
// meets no other.
func (j Jam) OfStoreAlone() bool {
	_, is := j.place.(stored)
	return is && j.when == (when{}) && j.half == ""
}

// Contradicts tells whether another jam is about the same place and is not the same, so that both cannot be put in.
func (j Jam) Contradicts(other Jam) bool {
	_, _, found := Contradiction([]Jam{j, other})
	return found
}

// Contradiction finds the first jam of a list that contradicts an earlier one, and that one.
func Contradiction(jams []Jam) (later, earlier Jam, found bool) {
	type spot struct { // in one half
		half  string
		about any
	}
	first := map[spot]Jam{}
	lamps := map[spot][]Jam{} // by plug-in and bit, each of other rows or at another value
	for _, j := range jams {
		if l, lamp := j.place.(lampBit); lamp {
			key := spot{j.half, lampBit{plugIn: l.plugIn, bit: l.bit}}
			for _, other := range lamps[key] {
				if l.against(other.place.(lampBit)) {
					return j, other, true
				}
			}
			if len(lamps[key]) < 2 || j.text != lamps[key][len(lamps[key])-1].text {
				lamps[key] = append(lamps[key], j)
			}
			continue
		}
		about := spot{j.half, j.place.about()}
		other, some := first[about]
		if some && other.text != j.text {
			return j, other, true
		}
		first[about] = j
	}
	return Jam{}, Jam{}, false
}

// told says how often a fault was met, and how often it made a difference.
func told(met, altered int64) string {
	switch {
	case met == 0:
		return "its place was never met, so it changed nothing"
	case altered == 0:
		return fmt.Sprintf("times met: %d; it changed nothing", met)
	}
	return fmt.Sprintf("times met: %d, changed by it: %d", met, altered)
}
