package tape

import "coldstart/memory"

// A packing says how words stand in a group of bytes (or characters in a word): each unit carries some bits at its right
// end, and the bits of all units of a group make words.
type packing struct {
	units    int  // of a group
	bits     int  // of a unit that count
	words    int  // of a group
	width    int  // bits of a word
	lowFirst bool // the first unit holds the lowest bits, and the first word is the lowest
}

// size gives the bytes that n words take: whole groups, so that the last may hold words that are only filling.
func (p *packing) size(n int) int { return (n + p.words - 1) / p.words * p.units }

// fits gives the words that n bytes hold.
func (p *packing) fits(n int) int { return n / p.units * p.words }

// place gives the unit of its group, and the bit of that unit, that bit b of word w of a group stands in.
func (p *packing) place(w, b int) (unit, bit int) {
	i := w*p.width + b // counted from the lowest bit of the group
	if !p.lowFirst {
		i = (p.words-1-w)*p.width + b
	}
	unit, bit = i/p.bits, i%p.bits
	if !p.lowFirst {
		unit = p.units - 1 - unit
	}
	return unit, bit
}

// unpack appends to dst the words that stand in src, which holds whole groups.
func (p *packing) unpack(dst []memory.Word, src []byte) []memory.Word {
	for ; len(src) >= p.units; src = src[p.units:] {
		for w := range p.words {
			var word memory.Word
			for b := range p.width {
				unit, bit := p.place(w, b)
				word |= memory.Word(src[unit]>>bit&1) << b
			}
			dst = append(dst, word)
		}
	}
	return dst
}

// pack appends to dst the bytes that hold words; the last group is filled up with words of 0.
func (p *packing) pack(dst []byte, words []memory.Word) []byte {
	start := len(dst)
	dst = append(dst, make([]byte, p.size(len(words)))...)
	for i, word := range words {
		group := dst[start+i/p.words*p.units:]
		for b := range p.width {
			unit, bit := p.place(i%p.words, b)
			group[unit] |= byte(word>>b&1) << bit
		}
	}
	return dst
}

// stray finds the first byte of src, and counts all, in which a bit is set that no word uses.
func (p *packing) stray(src []byte) (first, count int) {
	used := p.used()
	first = -1
	for i, c := range src {
		if c&^used[i%p.units] != 0 {
			if count == 0 {
				first = i
			}
			count++
		}
	}
	return first, count
}

// used gives for each byte of a group the bits that words use.
func (p *packing) used() []byte {
	used := make([]byte, p.units)
	for w := range p.words {
		for b := range p.width {
			unit, bit := p.place(w, b)
			used[unit] |= 1 << bit
		}
	}
	return used
}
