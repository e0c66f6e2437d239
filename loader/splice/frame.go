package splice

import (
	"cmp"
	"slices"
)

// A frame is a guess at how many bits the copies of a block lost and gained, and where: bits to align them with.
type frame struct {
	bits     []byte
	aligned  []alignment // of each piece with it
	cost     int         // of all of them
	expanded bool
}

// slackCost is by how much a frame may cost more than the best and still be a rival to it.
const slackCost = slipCost/2 + 2*18

// mostFrames is how many frames are looked at for a block of so many copies: each copy as it is, and fewer others the more
// copies there are to be aligned with them.
func mostFrames(copies int) int { return max(copies+6, 72/copies) }

// A framing looks for the likely frames of a block that no copy proves. A copy that lost a bit is a bad reference where the
// others have it: so what a copy has otherwise than a frame is put into the frame in turn.
type framing struct {
	*merger
	pieces []*piece
	length int // of the block in words
	all    []*frame
}

// framing begins with each copy as it is, and goes on as long as that leads to others.
func (m *merger) framing(pieces []*piece, length int) *framing {
	f := &framing{merger: m, pieces: pieces, length: length}
	for _, p := range pieces {
		f.add(m.bitsOf(p))
	}
	for f.expand() {
	}
	return f
}

// add takes bits for a frame, cut to the length of the block, unless there are enough or it is known; it says whether it did.
func (f *framing) add(bits []byte) bool {
	sized := make([]byte, f.length*f.Layout.Width())
	copy(sized, bits)
	if len(f.all) == mostFrames(len(f.pieces)) || slices.ContainsFunc(f.all, func(x *frame) bool { return slices.Equal(x.bits, sized) }) {
		return false
	}
	x := &frame{bits: sized}
	for _, p := range f.pieces {
		a := f.aligner.align(sized, f.bitsOf(p))
		x.aligned = append(x.aligned, a)
		x.cost += a.cost
	}
	f.all = append(f.all, x)
	return true
}

// likely gives the frames that cost about as little as the best, likeliest first.
func (f *framing) likely() []*frame {
	sorted := slices.Clone(f.all)
	slices.SortStableFunc(sorted, func(a, b *frame) int { return cmp.Compare(a.cost, b.cost) })
	end := slices.IndexFunc(sorted, func(x *frame) bool { return x.cost > sorted[0].cost+slackCost })
	if end < 0 {
		end = len(sorted)
	}
	return sorted[:end]
}

// expand looks for further frames, by taking what a copy lost or gained for right, one slip at a time; it says whether it
// found any.
func (f *framing) expand() (found bool) {
	for _, x := range f.likely() {
		if x.expanded {
			continue
		}
		x.expanded = true
		for k, p := range f.pieces {
			for _, bits := range variants(x.bits, f.bitsOf(p), x.aligned[k]) {
				found = f.add(bits) || found
			}
		}
	}
	return found
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
