package splice

import (
	"math/rand/v2"
	"testing"
)

// plainCost is the cheapest alignment by the plain recurrence over all cells, without a band and with nothing skipped.
func plainCost(ref, copied []byte) int {
	n, m := len(ref), len(copied)
	cells := make([][][3]int, n+1) // ending in both, in the copy alone, in the reference alone
	best := unreachable
	for i := range cells {
		cells[i] = make([][3]int, m+1)
		for j := range cells[i] {
			c := [3]int{unreachable, unreachable, unreachable}
			if i == 0 && j == 0 {
				c[0] = 0
			}
			if i > 0 && j > 0 {
				d := cells[i-1][j-1]
				c[0] = min(d[0], d[1], d[2])
				if ref[i-1] != copied[j-1] {
					c[0] += mismatchCost
				}
			}
			if j > 0 {
				d := cells[i][j-1]
				c[1] = min(d[0]+slipCost, d[1]) + perBitCost
			}
			if i > 0 {
				d := cells[i-1][j]
				c[2] = min(d[0]+slipCost, d[2]) + perBitCost
			}
			cells[i][j] = c
			if i == n || j == m {
				best = min(best, min(c[0], c[1], c[2])+(n-i)*perBitCost)
			}
		}
	}
	return best
}

// costOf prices an alignment anew from its places.
func costOf(a alignment, ref, copied []byte) int {
	cost, next, i := 0, 0, 0
	for i < len(ref) {
		lost := 0
		for i < len(ref) && a.at[i] < 0 {
			lost++
			i++
		}
		end := len(copied)
		if i < len(ref) {
			end = int(a.at[i])
		}
		if gained := end - next; gained > 0 && i < len(ref) {
			cost += slipCost + gained*perBitCost
		}
		switch {
		case lost > 0 && i == len(ref) && next == len(copied):
			cost += lost * perBitCost
		case lost > 0:
			cost += slipCost + lost*perBitCost
		}
		if i == len(ref) {
			break
		}
		if ref[i] != copied[end] {
			cost += mismatchCost
		}
		next = end + 1
		i++
	}
	return cost
}

// slipped makes a copy that has lost and gained bits in a few places, and has some of them wrong.
func slipped(r *rand.Rand, ref []byte) []byte {
	copied := append([]byte{}, ref...)
	for range r.IntN(4) {
		at, n := r.IntN(len(copied)+1), 1+r.IntN(5)
		switch r.IntN(3) {
		case 0:
			copied = append(copied[:at], copied[min(len(copied), at+n):]...)
		case 1:
			copied = append(copied[:at], append(randomBits(r, n), copied[at:]...)...)
		default:
			for i := range n {
				if at+i < len(copied) {
					copied[at+i] ^= 1
				}
			}
		}
		if len(copied) == 0 {
			break
		}
	}
	return copied
}

func randomBits(r *rand.Rand, n int) []byte {
	bits := make([]byte, n)
	for i := range bits {
		bits[i] = byte(r.IntN(2))
	}
	return bits
}

// Where all shifts are looked at, no cheaper alignment is there than the one found, by a search that leaves nothing out;
// and it costs what it says.
func TestSearchIsCheapest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	al := &aligner{}
	for n := range 600 {
		ref := randomBits(r, 1+r.IntN(160))
		copied := slipped(r, ref)
		if len(copied) == 0 {
			continue
		}
		got := al.searchAll(ref, copied)
		if want := plainCost(ref, copied); got.cost != want {
			t.Fatalf("%d: cost %d, want %d\nref    %v\ncopied %v", n, got.cost, want, ref, copied)
		}
		if again := costOf(got, ref, copied); again != got.cost {
			t.Fatalf("%d: it says it costs %d, and its places cost %d: %v", n, got.cost, again, got.at)
		}
	}
}

// searchAll looks at all shifts.
func (al *aligner) searchAll(ref, copied []byte) alignment {
	al.shifts = al.shifts[:0]
	for d := 1 - len(ref); d < len(copied); d++ {
		al.shifts = append(al.shifts, d)
	}
	return al.search(ref, copied)
}

// Looking only at shifts at which some stretch is alike misses little: what is cheaper otherwise is short, at an end or
// between two slips.
func TestAlignMissesLittle(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	al := &aligner{band: 160}
	missed, sets := 0, 300
	if testing.Short() {
		sets = 40
	}
	for range sets {
		ref := randomBits(r, 400+r.IntN(400))
		copied := slipped(r, ref)
		got := al.align(ref, copied)
		all := al.searchAll(ref, copied)
		if got.cost < all.cost {
			t.Fatalf("cost %d is less than the cheapest, %d", got.cost, all.cost)
		}
		if got.cost > all.cost {
			missed++
			if got.cost > all.cost+2*slipCost {
				t.Errorf("cost %d, and the cheapest is %d", got.cost, all.cost)
			}
		}
	}
	if missed > sets/20 {
		t.Errorf("%d of %d alignments are not the cheapest", missed, sets)
	}
}

// A bit or a word lost or gained is found where it was, or where the bits around leave it open.
func TestSlips(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	al := &aligner{band: 180}
	ref := randomBits(r, 4698)
	for _, moved := range []int{-144, -18, -2, -1, 1, 2, 18, 144} {
		at := 2934
		copied := append([]byte{}, ref[:at]...)
		if moved < 0 {
			copied = append(copied, ref[at-moved:]...)
		} else {
			copied = append(append(copied, randomBits(r, moved)...), ref[at:]...)
		}
		a := al.align(ref, copied)
		all := a.slips()
		if len(all) != 1 || all[0].moved != moved || all[0].bit > at+12 || all[0].bit < at-12 {
			t.Errorf("moved by %d at %d: found %+v", moved, at, all)
		}
	}
}

func BenchmarkAlign(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 3))
	al := &aligner{band: 180}
	ref := randomBits(r, 4698)
	copied := append(append([]byte{}, ref[:2000]...), ref[2001:]...)
	for b.Loop() {
		al.align(ref, copied)
	}
}
