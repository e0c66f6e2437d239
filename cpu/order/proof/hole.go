package proof

import (
	"math/bits"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Hole is a run of words that no order reads.
type Hole struct {
	Mask, Value memory.Word  // the words that equal Value where Mask has ones
	Words       uint64       // how many of them no order reads
	Example     memory.Word  // the first of them
	Near        *order.Order // the one order that reads others of these words; nil: no order reads any
}

// mostHoles is how many holes are told apart; what is left over is one more, as wide as a word.
const mostHoles = 1000

// Holes gives the words that no order reads and for which no `undefined` line says what they do, by their leading bits
// and in the order of these. Words that differ from those of one order alone are one hole, named after it.
func Holes(c *order.Code) []Hole {
	s := &sounding{width: c.OrderWidth(), looks: 1 << 16}
	top := space{mask: memory.Mask(64) &^ memory.Mask(s.width)}
	s.split(top, append(readers(c.Orders), readers(c.Undefined)...))
	return s.holes
}

// mostClose is how many bits more than those that a hole begins with are told apart, where one order alone is near.
const mostClose = 3

// A sounding is one search for holes.
type sounding struct {
	width int
	looks int
	holes []Hole
}

// split looks for holes in a space, the half with the lower words first.
func (s *sounding) split(in space, all []reader) {
	live := within(in, all)
	if s.looks--; s.looks < 0 || len(s.holes) == mostHoles || filled(in, live) {
		return
	}
	if len(live) == 0 {
		s.holes = append(s.holes, Hole{Mask: in.mask, Value: in.value, Words: in.words(s.width), Example: in.value})
		return
	}
	if near := alone(live); near != nil && !s.close(in, live) {
		s.beside(in, near, live)
		return
	}
	bit := fork(in, live)
	s.split(in.half(bit, false), live)
	s.split(in.half(bit, true), live)
}

// alone gives the order that has all readers; nil where there are several.
func alone(live []reader) *order.Order {
	for _, r := range live[1:] {
		if r.order != live[0].order {
			return nil
		}
	}
	return live[0].order
}

// close tells whether the readers of a space differ from it only in the few bits that come next: then each half is
// looked at, so that a hole as wide as an order is drawn as what it is.
func (s *sounding) close(in space, live []reader) bool {
	all := ^memory.Word(0)
	for _, r := range live {
		all &= r.mask
	}
	next := bits.Len64(uint64(memory.Mask(s.width)&^in.mask)) - 1
	run := 0
	for next-run >= 0 && (all&^in.mask)>>(next-run)&1 == 1 {
		run++
	}
	return run >= 1 && run <= mostClose
}

// beside notes the words of a space that its one order does not read, if any.
func (s *sounding) beside(in space, near *order.Order, live []reader) {
	read := uint64(0)
	for _, r := range live { // they are values of fields, so no two have a word in common
		read += space{mask: in.mask | r.mask}.words(s.width)
	}
	if w, ok := outside(in, live, &s.looks); ok {
		s.holes = append(s.holes, Hole{Mask: in.mask, Value: in.value, Words: in.words(s.width) - read, Example: w, Near: near})
	}
}
