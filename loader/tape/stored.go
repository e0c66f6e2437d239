package tape

import (
	"math/bits"

	"coldstart/memory"
)

// A span is a run of bits of a recorded word, both ends included, counted from 0 at the right.
type span struct{ high, low int }

// mask gives the bits of the span.
func (s span) mask() memory.Word { return memory.Mask(s.high-s.low+1) << s.low }

// A parity is a rule about every recorded word: an odd or an even number of the bits of mask are ones. Makes is the bit
// that recording sets to make it so, the first named that does not go to store; -1 is none.
type parity struct {
	mask  memory.Word
	odd   bool
	makes int
}

// holds says whether the rule holds for a recorded word.
func (p parity) holds(w memory.Word) bool {
	return bits.OnesCount64(uint64(w&p.mask))%2 == 1 == p.odd
}

// StoreWidth is the number of bits of a recorded word that go to store, 1 to 64.
func (l *Layout) StoreWidth() int {
	if l.store == nil {
		return l.width
	}
	n := 0
	for _, s := range l.store {
		n += s.high - s.low + 1
	}
	return n
}

// storeName writes a word as it goes to store.
func (l *Layout) storeName(w memory.Word) string { return l.style.Word(w, l.StoreWidth()) }

// Stored gives what goes to store of words as recorded: fields, sums and check codes stand in these bits too. Where all
// bits do, it is raw itself.
func (l *Layout) Stored(raw []memory.Word) []memory.Word {
	if l.store == nil {
		return raw
	}
	words := make([]memory.Word, len(raw))
	for i, w := range raw {
		for _, s := range l.store {
			words[i] = words[i]<<(s.high-s.low+1) | w&s.mask()>>s.low
		}
	}
	return words
}

// record gives the word to be recorded for one in store: parity is made, and what no record speaks of is 0.
func (l *Layout) record(w memory.Word) memory.Word {
	if l.store == nil {
		return w
	}
	var raw memory.Word
	for i := len(l.store) - 1; i >= 0; i-- {
		s := l.store[i]
		raw |= w << s.low & s.mask()
		w >>= s.high - s.low + 1 // 64 places leave 0
	}
	for _, p := range l.parity {
		if p.makes >= 0 && !p.holds(raw) {
			raw |= 1 << p.makes
		}
	}
	return raw
}

// fitting says whether parity holds for a recorded word.
func (l *Layout) fitting(raw memory.Word) bool {
	for _, p := range l.parity {
		if !p.holds(raw) {
			return false
		}
	}
	return true
}

// stray gives the indices of the recorded words whose parity is wrong.
func (l *Layout) stray(raw []memory.Word) []int {
	var all []int
	for i, w := range raw {
		if !l.fitting(w) {
			all = append(all, i)
		}
	}
	return all
}
