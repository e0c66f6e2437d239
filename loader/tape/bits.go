package tape

import "coldstart/memory"

// Bits gives the bits of raw words one a byte, 0 or 1, in the order recorded. What slipped by some bits on the tape
// has moved by as many places here.
func (l *Layout) Bits(raw []memory.Word) []byte {
	bits := make([]byte, 0, len(raw)*l.width)
	l.packing.eachBit(len(raw), l.packing.lowBit, func(word, bit int) { bits = append(bits, byte(raw[word]>>bit&1)) })
	return bits
}

// FromBits is the inverse of Bits: it gives as many whole words as bits hold; a rest shorter than a word is dropped.
func (l *Layout) FromBits(bits []byte) []memory.Word {
	raw := make([]memory.Word, len(bits)/l.width)
	i := 0
	l.packing.eachBit(len(raw), l.packing.lowBit, func(word, bit int) {
		raw[word] |= memory.Word(bits[i]&1) << bit
		i++
	})
	return raw
}

// AppendRaw records raw words behind dst as they stand, right or wrong; the last bytes are filled up with 0.
func (l *Layout) AppendRaw(dst []byte, raw []memory.Word) []byte { return l.packing.pack(dst, raw) }
