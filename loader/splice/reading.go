package splice

import (
	"cmp"
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

// whole says that the piece has every word of the frame.
func (r *reading) whole() bool { return !slices.Contains(r.has, false) }

// A frame is a guess at how many bits the copies of a block lost and gained, and where: bits to align them with.
type frame struct {
	bits    []byte
	aligned []alignment // of each piece with it
	cost    int         // of all of them
}

// Bounds of the search for frames.
const (
	mostFrames = 24                // looked at for one block
	slackCost  = slipCost/2 + 2*18 // one that costs more than the best by this is no rival to it
)

// frames gives the likely frames of a block that no copy proves, likeliest first. A copy that lost a bit is a bad
// reference where the others have it: so what a copy has otherwise than the frame is put into the frame in turn, and
// kept where that makes the copies fit better or as well.
func (m *merger) frames(pieces []*piece, length int) []frame {
	var all []frame
	add := func(bits []byte) {
		if len(all) == mostFrames || slices.ContainsFunc(all, func(f frame) bool { return slices.Equal(f.bits, bits) }) {
			return
		}
		f := frame{bits: bits}
		for _, p := range pieces {
			a := m.aligner.align(bits, m.bitsOf(p))
			f.aligned = append(f.aligned, a)
			f.cost += a.cost
		}
		all = append(all, f)
	}
	for _, p := range pieces {
		add(m.sized(m.bitsOf(p), length))
	}
	for i := 0; i < len(all) && i < mostFrames/2; i++ {
		best := slices.MinFunc(all, func(a, b frame) int { return a.cost - b.cost })
		if all[i].cost > best.cost+slackCost {
			continue
		}
		for k, p := range pieces {
			for _, bits := range variants(all[i].bits, m.bitsOf(p), all[i].aligned[k]) {
				add(m.sized(bits, length))
			}
		}
	}
	slices.SortStableFunc(all, func(a, b frame) int { return cmp.Compare(a.cost, b.cost) })
	for i, f := range all {
		if f.cost > all[0].cost+slackCost {
			return all[:i]
		}
	}
	return all
}

// sized cuts bits to the length of a block in words, or fills them up.
func (m *merger) sized(bits []byte, length int) []byte {
	want := length * m.Layout.Width()
	out := make([]byte, want)
	copy(out, bits)
	return out
}

// variants gives the frames that come of taking what a copy lost or gained for right, one slip at a time.
func variants(frame, copied []byte, a alignment) [][]byte {
	var all [][]byte
	expect, lost := 0, 0
	for i, at := range a.at {
		j := int(at)
		if j < 0 {
			lost++
			continue
		}
		if j-expect != lost {
			all = append(all, slices.Concat(frame[:i-lost], copied[expect:j], frame[i:]))
		}
		expect, lost = j+1, 0
	}
	return all
}
