package tape

import (
	"slices"

	"coldstart/memory"
)

// An Outcome is what one kind of proof says of a block. Its zero value is Absent: nothing is recorded to go by.
type Outcome uint8

// The outcomes of a proof.
const (
	Absent Outcome = iota // nothing recorded to go by
	Right
	Wrong
)

// outcome turns a comparison into what it proves.
func outcome(right bool) Outcome {
	if right {
		return Right
	}
	return Wrong
}

// A Proof is all that a block says about itself, each kind on its own: which kind is believed first is the reader's
// business. Stray are the indices of the raw words whose parity is wrong. Blank says that every word of data is 0, which
// many sums and check codes pass.
type Proof struct {
	Mark, Count, Check, Sum, Parity Outcome
	Blank                           bool
	Stray                           []int
}

// Prove holds the words of one block against what they say of themselves; raw are all of them, as recorded, mark, header
// and sum included. Where there are too few or too many, Count is Wrong, even in a layout without a count; what cannot be
// found in its place is then Wrong as well, never Absent.
func (l *Layout) Prove(raw []memory.Word) Proof {
	n, fits := l.dataWords(len(raw))
	p := Proof{Count: outcome(fits)}
	h := l.Fields(raw)
	if !l.has(countPart) && fits {
		p.Count = Absent
	}
	if l.has(countPart) {
		p.Count = outcome(fits && h.Counted && h.Count == uint64(n))
	}
	for i, at := range l.starts(len(raw)) {
		part := &l.parts[i]
		switch part.kind {
		case markPart:
			p.Mark = outcome(at+part.words <= len(raw) && l.markWrong(part, raw[at:at+part.words]) == nil)
		case sumPart:
			p.Sum = Wrong
		case checkPart:
			p.Check = Wrong
		case dataPart:
			p.Blank = fits && blank(l.Stored(raw[at:at+n]))
		}
	}
	if fits {
		l.proveSeals(&p, raw, n)
	}
	if l.parity != nil {
		p.Stray = l.stray(raw)
		p.Parity = outcome(len(p.Stray) == 0)
	}
	return p
}

// proveSeals holds sum and check code against the words of a block of right length.
func (l *Layout) proveSeals(p *Proof, raw []memory.Word, n int) {
	for _, s := range l.seals(raw, n) {
		if s.part.kind == sumPart {
			p.Sum = outcome(s.right())
		} else {
			p.Check = outcome(s.right())
		}
	}
}

// blank says that there are words, and all of them are 0.
func blank(words []memory.Word) bool {
	return len(words) > 0 && !slices.ContainsFunc(words, func(w memory.Word) bool { return w != 0 })
}

// dataWords gives the words of data in a block of so many words in all, and whether a block can have so many.
func (l *Layout) dataWords(all int) (n int, fits bool) {
	n = all - l.head - l.tail
	return n, n == l.data || l.vary && n >= 0 && n < l.data
}

// starts gives the place of each part in a block of so many words: those before the data and the data itself counted from
// the front, those behind it from the end. In a block too short for its parts, places lie beyond its end.
func (l *Layout) starts(all int) []int {
	places := make([]int, len(l.parts))
	at := 0
	for i := range l.parts {
		places[i] = at
		at += l.parts[i].length(0)
		if l.parts[i].kind == dataPart {
			at = max(l.head, all-l.tail)
		}
	}
	return places
}

// A Header is what the fields of a block say; each value is good only where the flag beside it is set: where the field is
// recorded, lies within the words given, and does not exceed 64 bits.
type Header struct {
	Number, Address, Count       uint64
	Numbered, Addressed, Counted bool
}

// Fields reads the header of a block from all its words as recorded, right or wrong. In a block of wrong length the
// fields before the data are looked for from its front, those behind the data from its end.
func (l *Layout) Fields(raw []memory.Word) Header {
	var h Header
	for i, at := range l.starts(len(raw)) {
		p := &l.parts[i]
		if at+p.length(0) > len(raw) {
			continue
		}
		switch p.kind {
		case numberPart:
			h.Number, h.Numbered = p.value(l.Stored(raw[at:at+p.words]), l.StoreWidth())
		case addressPart:
			h.Address, h.Addressed = p.value(l.Stored(raw[at:at+p.words]), l.StoreWidth())
		case countPart:
			h.Count, h.Counted = p.value(l.Stored(raw[at:at+p.words]), l.StoreWidth())
		}
	}
	return h
}

// DataAt gives the number of words of a block before its data.
func (l *Layout) DataAt() int { return l.head }
