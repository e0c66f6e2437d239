package tape

import (
	"math/bits"

	"coldstart/memory"
)

// A packing says how words stand in a group of bytes (or characters in a word): each unit carries some bits at its right
// end, and the bits of all units of a group make words.
type packing struct {
	units    int  // of a group
	bits     int  // of a unit that count
	words    int  // of a group
	width    int  // bits of a word
	piece    int  // bits that have units of their own; 0 is all bits of a group
	lowFirst bool // the first unit holds the lowest bits, and the first word is the lowest
	turned   bool // each unit stands turned end for end
	inverse  bool // each bit stands for its complement
	lowBit   bool // the lowest bit of a unit was recorded first; its highest otherwise

	used []byte  // of each unit, the bits that words use
	runs [][]run // of each unit, once turned right, the runs of bits in it, from the highest down
	high []run   // the bits of a group as recorded, if the highest bit of each unit came first
	low  []run   // the same, if the lowest did
}

// size gives the bytes that n words take: whole groups, so that the last may hold words that are only filling.
func (p *packing) size(n int) int { return (n + p.words - 1) / p.words * p.units }

// per gives the bits of a piece, and how many units it has.
func (p *packing) per() (bits, units int) {
	if p.piece == 0 {
		return p.words * p.width, p.units
	}
	return p.piece, p.units * p.piece / (p.words * p.width)
}

// lay works out where each bit stands, once a packing is complete. The units of a piece are one long number, highest or lowest
// first; so are the pieces of a group, and its words.
func (p *packing) lay() {
	all := p.words * p.width
	per, units := p.per()
	p.used = make([]byte, p.units)
	plain := make([]int, p.units*p.bits) // the bit of the group that stands at each bit of each unit; -1 is none
	for i := range plain {
		plain[i] = -1
	}
	for w := range p.words {
		for b := range p.width {
			i := w*p.width + b // counted from the lowest bit of the group
			if !p.lowFirst {
				i = all - (w+1)*p.width + b
			}
			unit := i/per*units + i%per/p.bits
			if !p.lowFirst {
				unit = p.units - 1 - unit
			}
			bit := i % per % p.bits
			plain[unit*p.bits+bit] = w*p.width + b
			if p.turned {
				bit = p.bits - 1 - bit
			}
			p.used[unit] |= 1 << bit
		}
	}
	for unit := range p.units {
		p.runs = append(p.runs, runsOf(plain[unit*p.bits:(unit+1)*p.bits], p.width))
	}
	p.high, p.low = p.order(false), p.order(true)
}

// unpack appends to dst the words that stand in src, which holds whole groups.
func (p *packing) unpack(dst []memory.Word, src []byte) []memory.Word {
	flips := p.flips()
	for ; len(src) >= p.units; src = src[p.units:] {
		first := len(dst)
		for range p.words {
			dst = append(dst, flips)
		}
		group := dst[first:]
		for unit, runs := range p.runs {
			c := p.turn(src[unit])
			for _, r := range runs {
				group[r.word] ^= memory.Word(c>>r.at&(1<<r.count-1)) << r.low
			}
		}
	}
	return dst
}

// pack appends to dst the bytes that hold words; the last group is filled up with words of 0.
func (p *packing) pack(dst []byte, words []memory.Word) []byte {
	flips := p.flips()
	for first := 0; first < len(words); first += p.words {
		for _, runs := range p.runs {
			var c byte
			for _, r := range runs {
				w := flips
				if i := first + r.word; i < len(words) {
					w ^= words[i]
				}
				c |= byte(w>>r.low) & (1<<r.count - 1) << r.at
			}
			dst = append(dst, p.turn(c))
		}
	}
	return dst
}

// turn turns a unit end for end, if the packing has them so; it undoes itself.
func (p *packing) turn(c byte) byte {
	if !p.turned {
		return c
	}
	return bits.Reverse8(c << (8 - p.bits))
}

// flips gives the bits of a word that are recorded as their complement.
func (p *packing) flips() memory.Word {
	if p.inverse {
		return memory.Mask(p.width)
	}
	return 0
}

// stray finds the first byte of src, and counts all, in which a bit is set that no word uses.
func (p *packing) stray(src []byte) (first, count int) {
	first = -1
	for i, c := range src {
		if c&^p.used[i%p.units] != 0 {
			if count == 0 {
				first = i
			}
			count++
		}
	}
	return first, count
}
