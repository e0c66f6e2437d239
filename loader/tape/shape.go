package tape

import (
	"slices"

	"coldstart/memory"
)

// Data gives the words of data of a block: exactly so many, or at most so many where blocks vary.
func (l *Layout) Data() (words int, vary bool) { return l.data, l.vary }

// Length gives the words of a block with n words of data, mark, header and sum included.
func (l *Layout) Length(n int) int { return l.head + n + l.tail }

// Style is how the layout writes numbers.
func (l *Layout) Style() memory.Style { return l.style }

// Turned gives all words of the block as recorded, turned round where the block is inverted or backwards, like Words; those
// of Raw where nothing could be made of it. They are not to be changed.
func (b *Block) Turned() []memory.Word {
	if b.read == nil {
		return b.Raw
	}
	return b.read
}

// Strength gives the bits of the sum and the check code of a block together, 0 where it has neither: words of no meaning
// pass once in two to the power of it.
func (l *Layout) Strength() int {
	bits := 0
	if p := l.partOf(sumPart); p != nil {
		bits += max(p.sum.width, min(64, p.words*l.StoreWidth()))
	}
	if p := l.partOf(checkPart); p != nil {
		bits += p.code.bits
	}
	return bits
}

// FromBytes is the inverse of AppendRaw: it gives the words of as many whole groups of bytes as there are, words that only
// fill up the last one among them.
func (l *Layout) FromBytes(src []byte) []memory.Word {
	return l.packing.unpack(make([]memory.Word, 0, len(src)/l.packing.units*l.packing.words), src)
}

// titles are what people call the parts of a block.
var titles = map[kind]string{markPart: "mark", numberPart: "block number", addressPart: "load address", countPart: "count",
	sparePart: "spare word", dataPart: "data", sumPart: "sum", checkPart: "check code"}

// PartAt names, for people, the part of a block that its word k belongs to, of all words recorded of it. Parts before the
// data are counted from its front, those behind them from its end.
func (l *Layout) PartAt(k, all int) string {
	if k >= l.head && k < all-l.tail {
		return titles[dataPart]
	}
	parts := slices.Clone(l.parts)
	if k >= l.head {
		slices.Reverse(parts)
		k = all - 1 - k
	}
	for _, p := range parts {
		if k < p.words {
			return titles[p.kind]
		}
		k -= p.words
	}
	return titles[dataPart]
}
