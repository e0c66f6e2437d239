package tape

import (
	"math/bits"

	"coldstart/memory"
)

// A sumMode is a way of making the sum of a block.
type sumMode uint8

// The ways of summing. Each keeps to the width of a word.
const (
	add          sumMode = iota // carries out of the word are lost
	addEndAround                // carries out of the word are added in at the right
	exclusiveOr
)

// over gives the sum of words of width bits, going on from s.
func (m sumMode) over(s memory.Word, words []memory.Word, width int) memory.Word {
	mask := memory.Mask(width)
	for _, w := range words {
		switch m {
		case add:
			s = (s + w) & mask
		case addEndAround:
			sum, carry := bits.Add64(uint64(s), uint64(w), 0)
			// Below 64 bits the carry is the bit above the word; at 64 bits it has left the sum.
			s = memory.Word(sum)&mask + memory.Word(carry|sum>>width)
		case exclusiveOr:
			s ^= w
		}
	}
	return s
}

// sum makes the sum of a block as its layout says; raw are all its words, n of them data.
func (l *Layout) sum(s *part, raw []memory.Word, n int) memory.Word {
	return s.mode.over(0, l.summed(s, raw, n), l.width)
}
