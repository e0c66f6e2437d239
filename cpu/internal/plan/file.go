package plan

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// scratch is how many places a bound order has for locals and values on the way; the checker refuses longer orders.
const scratch = 1024

// Written is the place where the condition of a protected range finds the address that is to be written.
func (f *File) Written() uint16 { return f.Spare() + 1 }

// aside is how many places beyond these the conditions have that are worked out while an order is being done, and must leave
// the order's places alone.
const aside = 1024

// full is how many places a File may have, so that a place fits a Step.
const full = 1 << 16

// A File is the value file of one machine: its registers, then the address of the order acting, the address that follows
// it, scratch places, and constants. Registers stand at their own numbers.
type File struct {
	Words     []memory.Word
	All       *[full]memory.Word // the array under Words, which never moves: any place is an index of it
	Registers int
	constants map[memory.Word]uint16
}

// NewFile makes a file for a Code, all registers zero.
func NewFile(c *order.Code) *File {
	f := &File{Registers: len(c.Registers), constants: map[memory.Word]uint16{}}
	f.All = new([full]memory.Word)
	f.Words = f.All[:f.first()]
	return f
}

// Here is the place that holds the address of the order acting, where it is not folded away.
func (f *File) Here() uint16 { return uint16(f.Registers) }

// Next is the place where an order finds the address of the order after it, and may set another, where the counter
// itself holds the order acting.
func (f *File) Next() uint16 { return uint16(f.Registers) + 1 }

// first is the first place behind the scratch places and those for conditions.
func (f *File) first() int { return int(f.Spare()) + 1 + aside }

// Full tells that there is hardly room for more constants: whoever binds orders must Forget, and bind anew.
func (f *File) Full() bool { return len(f.Words) > full-2*scratch }

// Forget drops all constants. Steps bound before are then worthless.
func (f *File) Forget() {
	f.Words = f.Words[:f.first()]
	clear(f.constants)
}

// constant is the place of a constant, made at its first use.
func (f *File) constant(w memory.Word) uint16 {
	if p, ok := f.constants[w]; ok {
		return p
	}
	p := uint16(len(f.Words))
	f.Words = append(f.Words, w)
	f.constants[w] = p
	return p
}

// Constant is the value of a place that holds a constant.
func (f *File) Constant(place uint16) (memory.Word, bool) {
	if int(place) < f.first() {
		return 0, false
	}
	return f.Words[place], true
}

// Scratch tells whether a place is one of a bound order's own, worth nothing when the order is done.
func (f *File) Scratch(place uint16) bool { return place > f.Next() && place <= f.Spare() }

// Spare is a scratch place that no bound order uses.
func (f *File) Spare() uint16 { return f.Next() + 1 + scratch }
