package tape

import "coldstart/memory"

// A run is some neighbouring bits of one word that stand together in one unit.
type run struct {
	word, low, count int // word of the group; its lowest bit here, and how many
}

// runs gives for each unit of a group the runs of bits in it, from the highest of the unit down: what a person reading the
// bytes aloud would name in turn.
func (p *packing) runs() [][]run {
	all := make([][]run, p.units)
	for unit := range all {
		for bit := p.bits - 1; bit >= 0; bit-- {
			for i, at := range p.places {
				if int(at.unit) != unit || int(at.bit) != bit {
					continue
				}
				w, b := i/p.width, i%p.width
				if last := len(all[unit]) - 1; last >= 0 && all[unit][last].word == w && all[unit][last].low == b+1 {
					all[unit][last].low--
					all[unit][last].count++
				} else {
					all[unit] = append(all[unit], run{w, b, 1})
				}
			}
		}
	}
	return all
}

// each calls visit for every recorded bit of n words in the order recorded: byte after byte, each from its highest bit.
// Bits that no word uses were not recorded; they come from the packing.
func (p *packing) each(n int, visit func(word, bit int)) {
	runs := p.runs()
	for first := 0; first < n; first += p.words {
		for _, unit := range runs {
			for _, r := range unit {
				if first+r.word >= n {
					continue // filling
				}
				for b := r.low + r.count - 1; b >= r.low; b-- {
					visit(first+r.word, b)
				}
			}
		}
	}
}

// Bits gives the bits of raw words one a byte, 0 or 1, in the order recorded. What slipped by some bits on the tape
// has moved by as many places here.
func (l *Layout) Bits(raw []memory.Word) []byte {
	bits := make([]byte, 0, len(raw)*l.width)
	l.packing.each(len(raw), func(word, bit int) { bits = append(bits, byte(raw[word]>>bit&1)) })
	return bits
}

// FromBits is the inverse of Bits: it gives as many whole words as bits hold; a rest shorter than a word is dropped.
func (l *Layout) FromBits(bits []byte) []memory.Word {
	raw := make([]memory.Word, len(bits)/l.width)
	i := 0
	l.packing.each(len(raw), func(word, bit int) {
		raw[word] |= memory.Word(bits[i]&1) << bit
		i++
	})
	return raw
}

// AppendRaw records raw words behind dst as they stand, right or wrong; the last bytes are filled up with 0.
func (l *Layout) AppendRaw(dst []byte, raw []memory.Word) []byte { return l.packing.pack(dst, raw) }
