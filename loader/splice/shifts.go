package splice

import "math/bits"

// stretch is how many bits in a row must be alike at a shift for it to be tried: what is shorter cannot pay for a slip.
const stretch = 24

// likely appends the shifts, from the lowest up and no farther than the band, at which some stretch of the reference stands
// in the copy. Stretches of zeros or ones only say nothing. Standing in place is always one of them.
func likely(dst []int, ref, copied []byte, band int) []int {
	r, c := packed(ref), packed(copied)
	windows := r.windows()
	for d := -min(band, len(ref)-1); d <= min(band, len(copied)-1); d++ {
		if d == 0 || r.meets(windows, c, d) {
			dst = append(dst, d)
		}
	}
	return dst
}

// A bitRow is bits, 64 to an element, the first one highest.
type bitRow struct {
	words []uint64
	n     int
}

// packed packs bits given one a byte.
func packed(src []byte) bitRow {
	p := bitRow{make([]uint64, len(src)/64+2), len(src)}
	for i, b := range src {
		p.words[i/64] |= uint64(b) << (63 - i%64)
	}
	return p
}

// at gives the 64 bits from i on, with zeros beyond the end.
func (p bitRow) at(i int) uint64 {
	w, s := i/64, i%64
	return p.words[w]<<s | p.words[w+1]>>1>>(63-s)
}

// A window is 64 bits at a place, and which of the stretches beginning in it hold both zeros and ones.
type window struct {
	at    int
	bits  uint64
	tells uint64
}

// windows gives windows over all of p, half overlapping, but those that tell nothing.
func (p bitRow) windows() []window {
	var all []window
	for i := 0; i+stretch <= p.n; i += 32 {
		w := window{at: i, bits: p.at(i)}
		w.tells = ^(runsOf(^w.bits) | runsOf(w.bits))
		if left := p.n - i; left < 64 {
			w.tells &= ^uint64(0) << (64 - (left - stretch + 1)) // none may go on beyond the end
		}
		if w.tells != 0 {
			all = append(all, w)
		}
	}
	return all
}

// runsOf marks each place of x that a whole stretch of ones begins at.
func runsOf(x uint64) uint64 {
	x &= x << 1
	x &= x << 2
	x &= x << 4
	x &= x << 8 // sixteen ones
	return x & (x << (stretch - 16))
}

// meets says whether some telling stretch of the windows stands in c shifted by d.
func (p bitRow) meets(windows []window, c bitRow, d int) bool {
	for _, w := range windows {
		i := w.at + d
		if i < 0 || i+stretch > c.n {
			continue
		}
		alike := ^(w.bits ^ c.at(i))
		if left := c.n - i; left < 64 {
			alike &= ^uint64(0) << (64 - left)
		}
		if runsOf(alike)&w.tells != 0 {
			return true
		}
	}
	return false
}

// ones counts the passes in a mask.
func ones(mask uint16) int { return bits.OnesCount16(mask) }
