package tape

import (
	"math/bits"
	"slices"

	"coldstart/memory"
)

// A sumMode is a way of adding up.
type sumMode uint8

// The ways of adding up. Each keeps to the width of the sum.
const (
	add          sumMode = iota // carries out of the sum are lost
	addEndAround                // carries out of the sum are added in at the right
	exclusiveOr
)

// A turning is what is done to a sum before it is recorded. Each undoes itself.
type turning uint8

// The turnings of a sum.
const (
	asMade       turning = iota
	complemented         // ones complement: every bit turned
	negated              // twos complement: sum and words then add up to 0
)

// A sum says how the sum of a block is made.
type sum struct {
	mode    sumMode
	turning turning
	width   int  // bits
	bytes   bool // of the recorded bytes, not of the words in store
}

// turn makes what is recorded of the sum as added up, and the other way round.
func (s *sum) turn(v memory.Word) memory.Word {
	switch s.turning {
	case complemented:
		v = ^v
	case negated:
		v = -v
	}
	return v & memory.Mask(s.width)
}

// over goes on adding up from v.
func (s *sum) over(v memory.Word, items ...memory.Word) memory.Word {
	mask := memory.Mask(s.width)
	for _, w := range items {
		switch s.mode {
		case add:
			v = (v + w) & mask
		case addEndAround:
			v = s.around(v, w)
		case exclusiveOr:
			v = (v ^ w) & mask
		}
	}
	return v
}

// around adds w to v, and what leaves the sum on the left again at its right end, as often as something does: a word may
// be wider than the sum.
func (s *sum) around(v, w memory.Word) memory.Word {
	mask := memory.Mask(s.width)
	for w != 0 {
		low, carry := bits.Add64(uint64(v), uint64(w&mask), 0)
		// Below 64 bits the carry is the bit above the sum; at 64 bits it has left it.
		v, w = memory.Word(low)&mask, w>>s.width+memory.Word(carry|low>>s.width)
	}
	return v
}

// sumOf makes the sum of a block as part p says; raw are all its words as recorded, n of them data.
func (l *Layout) sumOf(p *part, raw []memory.Word, n int) memory.Word {
	v := memory.Word(0)
	if p.sum.bytes {
		v = p.sum.over(v, l.bytesOf(raw, l.covered(p.over, len(raw), n))...)
	} else {
		v = p.sum.over(v, l.wordsOf(raw, l.covered(p.over, len(raw), n))...)
	}
	return p.sum.turn(v)
}

// covered says which words of a block, n of them data, belong to parts of the kinds given.
func (l *Layout) covered(over []kind, all, n int) []bool {
	is := make([]bool, all)
	at := 0
	for i := range l.parts {
		p := &l.parts[i]
		end := at + p.length(n)
		if slices.Contains(over, p.kind) {
			for k := at; k < min(end, all); k++ {
				is[k] = true
			}
		}
		at = end
	}
	return is
}

// wordsOf gives the words of raw that are covered, as they go to store.
func (l *Layout) wordsOf(raw []memory.Word, covered []bool) []memory.Word {
	words := make([]memory.Word, 0, len(raw))
	for i, w := range l.Stored(raw) {
		if covered[i] {
			words = append(words, w)
		}
	}
	return words
}

// bytesOf gives what the bytes of the covered words of raw say, each turned right if the layout turns them. No byte holds
// bits of two words, where a sum is made of bytes.
func (l *Layout) bytesOf(raw []memory.Word, covered []bool) []memory.Word {
	var all []memory.Word
	for first := 0; first < len(raw); first += l.packing.words {
		for _, unit := range l.packing.runs {
			var v memory.Word
			of := -1
			for _, r := range unit {
				if of = first + r.word; of < len(raw) {
					v = v<<r.count | memory.Word(r.take(raw[of], false))
				}
			}
			if of >= 0 && of < len(raw) && covered[of] {
				all = append(all, v)
			}
		}
	}
	return all
}

// codeOf makes the check code of a block as part p says: of the bits of all words covered, in the order they stand on the
// recording.
func (l *Layout) codeOf(p *part, raw []memory.Word, n int) uint64 {
	covered := l.covered(p.over, len(raw), n)
	reg := register{code: p.code, r: p.code.start}
	order := l.packing.high
	if p.code.in {
		order = l.packing.low
	}
	for first := 0; first < len(raw); first += l.packing.words {
		for _, r := range order {
			if at := first + r.word; at < len(raw) && covered[at] {
				reg.push(r.take(raw[at], p.code.in), r.count)
			}
		}
	}
	return p.code.value(reg.rest())
}
