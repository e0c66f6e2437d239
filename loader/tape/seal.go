package tape

import (
	"fmt"

	"coldstart/memory"
)

// A seal is what a block carries to be held against its words: a sum or a check code, as recorded and as made of the
// words read.
type seal struct {
	part        *part
	at          int // its first word
	read, found uint64
}

// right says that the two agree.
func (s seal) right() bool { return s.read == s.found }

// seals gives the sum and the check of a block whose length is right; raw are all its words, n of them data. A sum or code
// wider than 64 bits as recorded cannot be right.
func (l *Layout) seals(raw []memory.Word, n int) []seal {
	var all []seal
	at := 0
	for i := range l.parts {
		p := &l.parts[i]
		s := seal{part: p, at: at}
		if p.kind == sumPart || p.kind == checkPart {
			v, ok := p.value(l.Stored(raw[at:at+p.words]), l.StoreWidth())
			s.read, s.found = v, l.made(p, raw, n)
			if !ok {
				s.read = ^s.found
			}
			all = append(all, s)
		}
		at += p.length(n)
	}
	return all
}

// made gives the sum or check code of a block as its part p says.
func (l *Layout) made(p *part, raw []memory.Word, n int) uint64 {
	if p.kind == sumPart {
		return uint64(l.sumOf(p, raw, n))
	}
	return l.codeOf(p, raw, n)
}

// sums makes sum and check code of a block of full length and holds them against the recorded ones.
func (r *Reader) sums(b *Block) {
	l := r.layout
	for _, s := range l.seals(b.read, len(b.Words)) {
		if s.part.kind == checkPart {
			b.Checked, b.CodeRead, b.CodeFound = true, s.read, s.found
			continue
		}
		b.Summed, b.SumWanted, b.SumFound = true, memory.Word(s.read), memory.Word(s.found)
	}
	if b.CodeRead != b.CodeFound {
		b.problem(-1, fmt.Errorf("%w: %s is recorded, and the bits read give %s", ErrCheck,
			l.codeName(b.CodeRead), l.codeName(b.CodeFound)+l.ifOne(b.read)))
	}
	if b.SumWanted != b.SumFound {
		b.problem(-1, fmt.Errorf("%w: %s is recorded, and the words read give %s", ErrSum, l.SumName(b.SumWanted), l.SumName(b.SumFound)))
	}
}

// ifOne says which bit it is, if a single one is wrong; "" where the check code names none, or the block is so long that it
// is better not looked for in every bad one.
func (l *Layout) ifOne(raw []memory.Word) string {
	if len(raw)*l.width > mostApart {
		return ""
	}
	word, bit, found := l.OneWrong(raw)
	n, _ := l.dataWords(len(raw))
	as := ""
	if l.store != nil {
		as = " as recorded" // its bits have other numbers in store
	}
	switch {
	case !found:
		return ""
	case word < l.head || word >= l.head+n:
		return fmt.Sprintf("; if a single bit is wrong, it is bit %d of word %s%s of all, beside the data", bit, l.style.Number(uint64(word)), as)
	}
	return fmt.Sprintf("; if a single bit is wrong, it is bit %d of word %s%s", bit, l.style.Number(uint64(word-l.head)), as)
}

// parities notes the words of b whose parity is wrong.
func (r *Reader) parities(b *Block) {
	stray := r.layout.stray(b.read)
	if len(stray) == 0 {
		return
	}
	word := stray[0] - r.layout.head
	if word < 0 || word >= len(b.Words) {
		word = -1
	}
	b.problem(word, fmt.Errorf("%w: in %d of the %d words of the block; the first is %s", ErrParity,
		len(stray), len(b.read), r.layout.WordName(b.read[stray[0]])))
}

// SumName writes a sum as the layout does, with all its digits; "" where blocks have none.
func (l *Layout) SumName(v memory.Word) string {
	p := l.partOf(sumPart)
	if p == nil {
		return ""
	}
	return l.style.Word(v, max(p.sum.width, min(64, p.words*l.StoreWidth())))
}

// codeName writes a check code in hexadecimal, with all its digits.
func (l *Layout) codeName(v uint64) string { return hexName(v, l.partOf(checkPart).code.bits) }
