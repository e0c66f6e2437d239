package tape

import "coldstart/memory"

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
