package march

import (
	"strings"
)

// An Op is one operation on a cell.
type Op uint8

// The operations. The lowest bit is the value written or expected.
const (
	R0 Op = iota
	R1
	W0
	W1
)

var opNames = [...]string{"r0", "r1", "w0", "w1"}

// String is the operation as it is written in the notation.
func (o Op) String() string { return opNames[o&W1] }

func (o Op) value() uint8 { return uint8(o & 1) }
func (o Op) writes() bool { return o >= W0 }

// An Order is the way an element goes through the addresses.
type Order uint8

// The orders.
const (
	Either Order = iota
	Up
	Down
)

var orderNames = [...]string{"either", "up", "down"}

// String is the order as it is written in the notation.
func (o Order) String() string { return orderNames[o%3] }

// An Element is what is done to each cell before the next one's turn.
type Element struct {
	Order Order
	Ops   []Op
}

// String is the element as Parse reads it.
func (e Element) String() string {
	var ops []string
	for _, op := range e.Ops {
		ops = append(ops, op.String())
	}
	return e.Order.String() + "(" + strings.Join(ops, ",") + ")"
}

// A Test is a march test. Name, Published and Source are empty for one that a person wrote.
type Test struct {
	Name      string
	Elements  []Element
	Published int    // the length that the literature gives
	Source    string // where sequence and length are from
}

// String is the test in its one settled form, which Parse reads back.
func (t Test) String() string {
	var elements []string
	for _, e := range t.Elements {
		elements = append(elements, e.String())
	}
	return strings.Join(elements, "; ")
}

// Length is how many operations are done on each cell.
func (t Test) Length() int {
	n := 0
	for _, e := range t.Elements {
		n += len(e.Ops)
	}
	return n
}

// reads is how many of the operations on a cell are reads.
func (t Test) reads() int {
	n := 0
	for _, e := range t.Elements {
		for _, op := range e.Ops {
			if !op.writes() {
				n++
			}
		}
	}
	return n
}
