package splice

import (
	"slices"

	"coldstart/memory"
)

// A reading is a piece moved into the frame of its block: word for word where it has them.
type reading struct {
	piece *piece
	raw   []memory.Word
	has   []bool // the piece has all bits of the word
	near  []bool // the word stands beside a slip, so that its agreeing with the frame is no evidence
	slips []slip
	moved bool // raw is not as recorded
	cost  int
}

// bitsOf gives the bits of a piece in the order recorded.
func (m *merger) bitsOf(p *piece) []byte {
	if p.bits == nil {
		p.bits = m.Layout.Bits(p.raw)
	}
	return p.bits
}

// read moves a piece into a frame, as it is aligned with it.
func (m *merger) read(p *piece, a alignment) *reading {
	copied := m.bitsOf(p)
	r := &reading{piece: p, slips: a.slips(), cost: a.cost}
	bits, gone, near := make([]byte, len(a.at)), make([]byte, len(a.at)), make([]byte, len(a.at))
	for i, j := range a.at {
		switch {
		case j < 0:
			gone[i], r.moved = 1, true
		default:
			bits[i] = copied[j]
			r.moved = r.moved || int(j) != i
		}
		if i > 0 && j >= 0 && a.at[i-1] != j-1 {
			near[i], near[i-1] = 1, 1
		}
	}
	r.raw = m.Layout.FromBits(bits)
	r.has, r.near = make([]bool, len(r.raw)), make([]bool, len(r.raw))
	for i, w := range m.Layout.FromBits(gone) {
		r.has[i] = w == 0
	}
	for i, w := range m.Layout.FromBits(near) {
		r.near[i] = w != 0
	}
	return r
}

// A copy that slipped has to share one word in so many with its block to count as a copy of it, and more where it shows more
// slips than a few: between words that have nothing in common an alignment finds slips without end.
const (
	fewSlips   = 3
	sharedPart = 16
	sharedMuch = 4
)

// other says that the piece holds something else than the block it goes by the name of.
func (r *reading) other(raw []memory.Word) bool {
	if len(r.slips) == 0 {
		return false
	}
	part := sharedPart
	if len(r.slips) > fewSlips {
		part = sharedMuch
	}
	alike := 0
	for i, w := range raw {
		if i < len(r.raw) && r.has[i] && r.raw[i] == w {
			alike++
		}
	}
	return alike*part < len(raw)
}

// whole says that the piece has every word of the frame.
func (r *reading) whole() bool { return !slices.Contains(r.has, false) }
