package plan

import "coldstart/memory"

// Fusing makes the flat steps of a bound order into as few as can be, mostly one, so that an order costs one turn of the
// machine's loop. Which steps become one is decided by their form alone: the ops that follow one another, and which of their
// places are the same, with registers, constants and widths left out. The table of forms says so in one line each; no order
// and no machine is named in it, and what has none of its forms keeps its flat steps, one for one.
//
// A fused step has the effect of its flat steps, all of it or nothing: where it cannot, it gives way before it has set
// anything, and the flat steps it stands for are done in its place.

// A Fused is one fused step. Which fields count is said by its Form; D to G are places in the value file.
type Fused struct {
	Form Form
	N    uint8 // the number of a bit, the top one of a value where the form has one, or a count of places
	J    uint8 // how far A is moved left to make an address; for Compute its op
	More uint8 // the step of the same order that follows; 0: the order is done
	K    uint32
	D    uint16
	A    uint16
	B    uint16
	C    uint16
	E    uint16
	F    uint16
	G    uint16
	Cost uint16 // of the first step of an order, the cycles of the order; of others, the flat step they begin with
	M    memory.Word
}

// A FusedOrder is a bound order fused.
type FusedOrder struct {
	Bound *Bound
	Steps []Fused
}
