// Package plan flattens the transfers of an order into steps, and binds them to one store word.
//
// Every value lives in one file of words: registers first, then locals and scratch places, then constants that nothing
// writes. A step names places in that file, so fields, constants and registers cost the same, and a bound order has no
// trace left of fields, groups or modes: they were folded when the word was bound.
package plan

import "coldstart/memory"

// A Step is one flat step: D, A, B and C are places in the value file.
type Step struct {
	Op         Op
	N          uint8  // a count of places, a width, or a number of a timer or trap
	D, A, B, C uint16 // places
	J          uint16 // where a jump goes, as an index of the steps
	Told       Told   // of its places, those that are registers
	M          memory.Word
}

// A Told says what an Observer has to be told of a step: which of its places are registers that it reads or sets.
type Told uint8

// The places, by bit.
const (
	ReadsA Told = 1 << iota
	ReadsB
	ReadsC
	SetsD
)

// tell works out what has to be told of a step in a file.
func (s *Step) tell(f *File) {
	a, b, c := s.Op.Reads()
	for _, p := range [...]struct {
		is    bool
		place uint16
		told  Told
	}{{a, s.A, ReadsA}, {b, s.B, ReadsB}, {c, s.C, ReadsC}, {s.Op.Sets(), s.D, SetsD}} {
		if p.is && int(p.place) < f.Registers {
			s.Told |= p.told
		}
	}
}

// An Op says what a Step does; Pictures shows each.
type Op uint8

// The steps. Values are masked to their width by M wherever a result could be wider.
const (
	End Op = iota
	Move
	Not
	And
	Or
	Xor
	Plus
	Minus
	Equal
	Unequal
	Below
	AtMost
	Join
	Bits
	Put
	SignExtend
	Left
	Right
	Draw
	RotateLeft
	RotateRight
	Leading
	Trailing
	Ones
	Parity
	Add
	Subtract
	Carry
	Overflow
	Less
	AddDecimal
	CarryDecimal
	Multiply
	Divide
	Remainder
	Jump
	JumpZero
	Count
	Load
	Store
	LoadPart
	StorePart
	StoreWrong
	After
	Receive
	Send
	Command
	Sign
	Halt
	Wait
	Spend
	Restart
	Trap
	ops
)

// A shape tells which of a step's places are read and whether D is set.
type shape struct {
	picture string
	a, b, c bool // places read
	d       bool // D is set
}

// shapes is total: a test walks all ops.
var shapes = [ops]shape{
	End:          {"the order is done", false, false, false, false},
	Move:         {"D <- A", true, false, false, true},
	Not:          {"D <- not A, within M", true, false, false, true},
	And:          {"D <- A and B", true, true, false, true},
	Or:           {"D <- A or B", true, true, false, true},
	Xor:          {"D <- A xor B", true, true, false, true},
	Plus:         {"D <- A + B, within M", true, true, false, true},
	Minus:        {"D <- A - B, within M", true, true, false, true},
	Equal:        {"D <- 1 if A = B, else 0", true, true, false, true},
	Unequal:      {"D <- 1 if A /= B, else 0", true, true, false, true},
	Below:        {"D <- 1 if A < B, else 0", true, true, false, true},
	AtMost:       {"D <- 1 if A <= B, else 0", true, true, false, true},
	Join:         {"D <- A moved left N places, or B", true, true, false, true},
	Bits:         {"D <- A moved right N places, within M", true, false, false, true},
	Put:          {"D <- D with the bits of M replaced by A moved left N places", true, false, false, true},
	SignExtend:   {"D <- A of N bits, its top bit repeated, within M", true, false, false, true},
	Left:         {"D <- A of N bits moved left B places", true, true, false, true},
	Right:        {"D <- A of N bits moved right B places", true, true, false, true},
	Draw:         {"D <- A of N bits moved right B places, the top bit repeated", true, true, false, true},
	RotateLeft:   {"D <- A of N bits turned left B places", true, true, false, true},
	RotateRight:  {"D <- A of N bits turned right B places", true, true, false, true},
	Leading:      {"D <- zeros left of the leftmost one of A of N bits", true, false, false, true},
	Trailing:     {"D <- zeros right of the rightmost one of A of N bits", true, false, false, true},
	Ones:         {"D <- how many ones A has", true, false, false, true},
	Parity:       {"D <- 1 if A has an odd number of ones, else 0", true, false, false, true},
	Add:          {"D <- adder: A, B, carry in C, N bits", true, true, true, true},
	Subtract:     {"D <- adder: A less B, N bits", true, true, false, true},
	Carry:        {"D <- carry out of the adder: A, B, carry in C, N bits", true, true, true, true},
	Overflow:     {"D <- overflow of the adder: A, B, carry in C, N bits", true, true, true, true},
	Less:         {"D <- 1 if A is below B as signed numbers of N bits, else 0", true, true, false, true},
	AddDecimal:   {"D <- A + B and carry in C, in digits of four bits, N bits", true, true, true, true},
	CarryDecimal: {"D <- carry out of the top digit of A + B and carry in C, N bits", true, true, true, true},
	Multiply:     {"D <- A times B, within M", true, true, false, true},
	Divide:       {"D <- A by B, within M; by 0 all ones", true, true, false, true},
	Remainder:    {"D <- what A by B leaves; by 0 A", true, true, false, true},
	Jump:         {"go on at step J", false, false, false, false},
	JumpZero:     {"go on at step J if A is 0; C says whether an order skips by it", true, false, false, false},
	Count:        {"D <- D - 1, or go on at step J if D is 0 already", false, false, false, true},
	Load:         {"D <- store[A], within M", true, false, false, true},
	Store:        {"store[A] <- B", true, true, false, false},
	LoadPart:     {"D <- N bits of store from unit A on", true, false, false, true},
	StorePart:    {"N bits of store from unit A on <- B", true, true, false, false},
	StoreWrong:   {"store[A] <- B, parity column C of the file made wrong; where C is 0, all", true, true, true, false},
	After:        {"D <- the place behind the order that stands at place A", true, false, false, true},
	Receive:      {"D <- what channel A gives, within M", true, false, false, true},
	Send:         {"channel A <- B", true, true, false, false},
	Command:      {"command B to channel A", true, true, false, false},
	Sign:         {"D <- sign B of channel A", true, true, false, true},
	Halt:         {"the machine stops after this order; for good where N is 1", false, false, false, false},
	Wait:         {"the order begins anew later if A is 0", true, false, false, false},
	Spend:        {"A more cycles", true, false, false, false},
	Restart:      {"timer N starts anew", false, false, false, false},
	Trap:         {"trap N springs", false, false, false, false},
}

// Picture is what the step does, in one line.
func (o Op) Picture() string { return shapes[o].picture }

// Reads tells which of the places A, B and C the step reads.
func (o Op) Reads() (a, b, c bool) { s := &shapes[o]; return s.a, s.b, s.c }

// Sets tells whether the step sets D.
func (o Op) Sets() bool { return shapes[o].d }
