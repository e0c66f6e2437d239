package tape

import (
	"math/bits"
	"slices"

	"coldstart/memory"
)

// OneWrong names the one recorded bit that explains why the check code of a block is wrong: a word of raw, counted from 0,
// and a bit of it, from 0 at the right. It gives false where the code is right, where no single bit explains it, and where
// it could not tell one wrong bit from two: in blocks as long as this one, any two codes must be at least four bits apart.
// It gives false, too, where the sum or a parity of the block would be wrong with that bit turned: then more is wrong than
// one bit. Raw are all words of the block, mark and header included, of the right number. What it names is an inference:
// three wrong bits can look like one other.
//
// A wrong bit that stands e bits before the end of the code changes the register by x to the power of e, modulo the
// polynomial. So the powers of x are gone through until one is the change seen (the syndrome).
func (l *Layout) OneWrong(raw []memory.Word) (word, bit int, found bool) {
	p := l.partOf(checkPart)
	n, fits := l.dataWords(len(raw))
	if p == nil || !fits {
		return 0, 0, false
	}
	var change uint64
	at := 0
	for _, s := range l.seals(raw, n) {
		if s.part == p {
			if s.read&^p.code.ones != 0 {
				return 0, 0, false // a bit beside the code is wrong too
			}
			change, at = p.code.unvalue(s.read)^p.code.unvalue(s.found), s.at
		}
	}
	covered := l.covered(p.over, len(raw), n)
	length := p.code.bits
	for _, c := range covered {
		if c {
			length += l.width
		}
	}
	power, found := p.code.locate(change, length)
	switch {
	case !found:
		return 0, 0, false
	case power < p.code.bits:
		word, bit = l.codeBit(p, at, power)
		return word, bit, l.settles(raw, word, bit)
	}
	last := length - 1 - power // of the bits covered, counted from the first
	l.packing.eachBit(len(raw), p.code.in, func(w, b int) {
		if covered[w] {
			if last == 0 {
				word, bit = w, b
			}
			last--
		}
	})
	return word, bit, l.settles(raw, word, bit)
}

// settles says whether, with one bit turned, nothing that a block says of its words is wrong.
func (l *Layout) settles(raw []memory.Word, word, bit int) bool {
	turned := slices.Clone(raw)
	turned[word] ^= 1 << bit
	proof := l.Prove(turned)
	return proof.Check == Right && proof.Sum != Wrong && proof.Parity != Wrong
}

// mostApart bounds the length looked into where the polynomial has an odd number of terms: each power of x is kept.
const mostApart = 1 << 18

// locate gives the power of x, below length, that is the change seen; false where none is, and where any two codes of so
// many bits, the code included, are not at least four bits apart. Two alike but for one bit there never are, as the
// polynomial has a constant term; two bits apart are those where a power of x is 1 again; three, where the sum of two
// powers is. Where the polynomial has an even number of terms so has every multiple of it, and three cannot come about.
func (c *code) locate(change uint64, length int) (power int, found bool) {
	x := uint64(1)
	for i := range length {
		if x == 1 && i > 0 {
			return 0, false
		}
		if x == change {
			power, found = i, true
		}
		x = c.step(x)
	}
	if even := bits.OnesCount64(c.poly)%2 == 1; even || !found { // its highest term is left out
		return power, found
	}
	return power, length <= mostApart && !c.threeApart(length)
}

// threeApart says whether the sum of two powers of x below length is 1.
func (c *code) threeApart(length int) bool {
	seen := map[uint64]bool{}
	x := c.step(1)
	for range length - 1 {
		if seen[x^1] {
			return true
		}
		seen[x] = true
		x = c.step(x)
	}
	return false
}

// codeBit gives the recorded place of a bit of the register, the code standing at word at.
func (l *Layout) codeBit(p *part, at, power int) (word, bit int) {
	if p.code.out {
		power = p.code.bits - 1 - power
	}
	word, bit = power/l.StoreWidth(), power%l.StoreWidth()
	if !p.lowFirst {
		word = p.words - 1 - word
	}
	if l.store == nil {
		return at + word, bit
	}
	for i := len(l.store) - 1; i >= 0; i-- {
		s := l.store[i]
		if bit <= s.high-s.low {
			return at + word, s.low + bit
		}
		bit -= s.high - s.low + 1
	}
	return at + word, bit
}
