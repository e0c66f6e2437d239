package tape

import (
	"math/bits"

	"coldstart/memory"
)

// recordedOrder gives the bits of a group in the order recorded, and whether runs of them begin with their lowest.
func (p *packing) recordedOrder() (order []run, low bool) {
	if p.lowBit {
		return p.low, true
	}
	return p.high, false
}

// Bits gives the bits of raw words one a byte, 0 or 1, in the order recorded. What slipped by some bits on the tape
// has moved by as many places here.
func (l *Layout) Bits(raw []memory.Word) []byte {
	all := make([]byte, 0, len(raw)*l.width)
	order, low := l.packing.recordedOrder()
	for first := 0; first < len(raw); first += l.packing.words {
		for _, r := range order {
			if first+r.word >= len(raw) {
				continue // it fills up the last unit
			}
			v := r.take(raw[first+r.word], low)
			for i := r.count - 1; i >= 0; i-- {
				all = append(all, byte(v>>i&1))
			}
		}
	}
	return all
}

// FromBits is the inverse of Bits: it gives as many whole words as bits hold; a rest shorter than a word is dropped.
func (l *Layout) FromBits(recorded []byte) []memory.Word {
	raw := make([]memory.Word, len(recorded)/l.width)
	order, low := l.packing.recordedOrder()
	for first := 0; first < len(raw); first += l.packing.words {
		for _, r := range order {
			if first+r.word >= len(raw) {
				continue
			}
			var v uint64
			for _, bit := range recorded[:r.count] {
				v = v<<1 | uint64(bit&1)
			}
			recorded = recorded[r.count:]
			if low {
				v = bits.Reverse64(v) >> (64 - r.count)
			}
			raw[first+r.word] |= memory.Word(v) << r.low
		}
	}
	return raw
}

// AppendRaw records raw words behind dst as they stand, right or wrong; the last bytes are filled up with 0.
func (l *Layout) AppendRaw(dst []byte, raw []memory.Word) []byte { return l.packing.pack(dst, raw) }
