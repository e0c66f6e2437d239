package proof

import (
	"math/bits"
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A space is a set of words: those that equal value where mask has ones.
type space struct{ mask, value memory.Word }

// meets tells whether some word lies in both.
func (s space) meets(o space) bool {
	both := s.mask & o.mask
	return s.value&both == o.value&both
}

// half is the part of s whose words have bit where one says.
func (s space) half(bit memory.Word, one bool) space {
	s.mask |= bit
	if one {
		s.value |= bit
	}
	return s
}

// words is how many words of a width lie in s.
func (s space) words(width int) uint64 {
	return 1 << bits.OnesCount64(uint64(memory.Mask(width)&^s.mask))
}

// A reader is a space of words that one order reads.
type reader struct {
	space
	order *order.Order
}

// readers gives the spaces of first words that orders read: of each order one, or where a group leaves values of a field
// out, one for each value that means a register.
func readers(orders []*order.Order) []reader {
	var all []reader
	for _, o := range orders {
		for _, s := range spaces(o) {
			all = append(all, reader{s, o})
		}
	}
	return all
}

// spaces gives the words that one order reads.
func spaces(o *order.Order) []space {
	p := o.Patterns[0]
	mine := []space{{p.Mask, p.Value}}
	for _, f := range o.Fields {
		if !slices.Contains(f.Group, nil) {
			continue
		}
		var split []space
		for v, r := range f.Group {
			if r == nil {
				continue
			}
			for _, s := range mine {
				split = append(split, s.with(f, memory.Word(v)))
			}
		}
		mine = split
	}
	return mine
}

// with is the part of s whose words have value v in a field, as far as the field stands in an order's first word.
func (s space) with(f *order.Field, v memory.Word) space {
	left := f.Width
	for _, p := range f.Pieces {
		width := p.Hi - p.Lo + 1
		left -= width
		if p.Word == 0 {
			s.mask |= memory.Mask(width) << p.Lo
			s.value = s.value&^(memory.Mask(width)<<p.Lo) | (v>>left&memory.Mask(width))<<p.Lo
		}
	}
	return s
}

// within gives the readers that have words in s.
func within(s space, all []reader) []reader {
	var live []reader
	for _, r := range all {
		if s.meets(r.space) {
			live = append(live, r)
		}
	}
	return live
}

// filled tells whether one reader has every word of s.
func filled(s space, live []reader) bool {
	for _, r := range live {
		if r.mask&^s.mask == 0 {
			return true
		}
	}
	return false
}

// fork picks the bit to look at next in a space that live readers fill in part: the highest that all of them fix, as order
// codes are laid out, else the one that most fix.
func fork(s space, live []reader) memory.Word {
	all, any := ^memory.Word(0), memory.Word(0)
	for _, r := range live {
		all &= r.mask
		any |= r.mask
	}
	if all &^= s.mask; all != 0 {
		return 1 << (bits.Len64(uint64(all)) - 1)
	}
	best, most := memory.Word(0), 0
	for left := any &^ s.mask; left != 0; left &= left - 1 {
		bit, n := left&-left, 0
		for _, r := range live {
			if r.mask&bit != 0 {
				n++
			}
		}
		if n >= most {
			best, most = bit, n
		}
	}
	return best
}

// outside gives the first word found in s that no reader has; ok is false where they have all, or where finding out takes
// more than the given number of looks, which counts down.
func outside(s space, all []reader, looks *int) (w memory.Word, ok bool) {
	live := within(s, all)
	if len(live) == 0 {
		return s.value, true
	}
	if *looks--; *looks < 0 || filled(s, live) {
		return 0, false
	}
	bit := fork(s, live)
	if w, ok := outside(s.half(bit, false), live, looks); ok {
		return w, true
	}
	return outside(s.half(bit, true), live, looks)
}
