package splice

import "slices"

// The costs of an alignment. Bits that differ are cheap and slips dear, so that a dropout is read as damage in its place
// and not as a row of slips: a slip there and back must explain twenty-four bits, and a lost word about as many as it has.
const (
	mismatchCost = 4
	slipCost     = 48 // of a slip of any length, and
	perBitCost   = 1  // for each bit lost or gained by it
)

// An alignment says where the bits of a reference stand in a copy of it that has lost and gained some.
type alignment struct {
	at   []int32 // for each bit of the reference, its place in the copy; -1 where the copy has none
	cost int
}

// A slip is a place from which on a copy stands shifted against what it is a copy of.
type slip struct {
	bit   int // of the reference: the first one that is lost, or that stands elsewhere
	moved int // bits gained there; below 0, bits lost
}

// slips lists the places where the copy lost or gained bits, in their order. What is missing at the end is no slip.
func (a *alignment) slips() []slip {
	var all []slip
	expect, lost := int32(0), 0
	for i, j := range a.at {
		if j < 0 {
			lost++
			continue
		}
		// As many bits lost as gained are damage in its place.
		if moved := int(j-expect) - lost; moved != 0 {
			all = append(all, slip{bit: i - lost, moved: moved})
		}
		expect, lost = j+1, 0
	}
	return all
}

// one makes the alignment of n bits that stand in their places, with more lost at the end.
func one(n, more int) []int32 {
	at := make([]int32, n+more)
	for i := range at {
		at[i] = int32(i)
		if i >= n {
			at[i] = -1
		}
	}
	return at
}

// An aligner aligns copies, and keeps the room it needs from one to the next.
type aligner struct {
	band int // the most bits a copy is looked for away from its place

	shifts []int
	cost   [2][]int32 // of the cheapest ways that end in this row and the one before, by shift
	came   []int32    // how the cheapest way to each cell came there
	column []int32    // by bit of the copy: the row of the cheapest cell yet to come from by losing bits
	price  []int32    // and its cost, less its row
}

// unreachable is more than any alignment costs, with room for adding to it.
const unreachable = 1 << 29

// align finds the cheapest alignment of a copy with its reference, both given one bit a byte, among those that keep to the
// shifts at which some stretch of the two is alike. What the copy has beyond the end of the reference costs nothing: it
// is filling.
func (al *aligner) align(ref, copied []byte) alignment {
	// Without any slip, nothing can be cheaper than what the first slip would cost.
	n, wrong := min(len(ref), len(copied)), 0
	for i, b := range ref[:n] {
		wrong += int(b ^ copied[i])
	}
	if cost := wrong*mismatchCost + (len(ref)-n)*perBitCost; cost <= slipCost || n == 0 {
		return alignment{one(n, len(ref)-n), cost}
	}
	al.shifts = likely(al.shifts[:0], ref, copied, al.band)
	al.nearest(max(3, mostCells/len(ref)))
	return al.search(ref, copied)
}

// mostCells bounds the room of a search. Only blocks of repeated patterns and ones far longer than a tape has come near it.
const mostCells = 1 << 25

// nearest keeps no more than so many shifts, those that move the least.
func (al *aligner) nearest(most int) {
	if len(al.shifts) <= most {
		return
	}
	slices.SortStableFunc(al.shifts, func(a, b int) int { return max(a, -a) - max(b, -b) })
	al.shifts = al.shifts[:most]
	slices.Sort(al.shifts)
}

// search finds the cheapest way through the cells of the shifts kept: in row i, shift d holds bit i of the reference
// against bit i+d of the copy. A way goes on in its shift, or changes to a higher one by gaining bits, or to a lower one by
// losing some. Both changes are found by running least costs, so that each cell is looked at once.
func (al *aligner) search(ref, copied []byte) alignment {
	n, m, k := len(ref), len(copied), len(al.shifts)
	al.room(n, m, k)
	best, row, col := int32(unreachable), -1, 0
	for i := range n {
		now, last := al.cost[i&1], al.cost[1-i&1]
		came := al.came[i*k : (i+1)*k]
		gain, from := int32(unreachable), 0 // the cheapest lower shift in the row before, less its bits
		for c, d := range al.shifts {
			j := i + d
			if j < 0 || j >= m {
				now[c] = unreachable
				if i > 0 && last[c]-int32(d) < gain {
					gain, from = last[c]-int32(d), c
				}
				continue
			}
			cost, way := unreachable+int32(0), int32(goesOn)
			if i > 0 {
				cost = last[c]
			} else if d == 0 {
				cost = 0
			} else if d > 0 {
				cost, way = slipCost+int32(d)*perBitCost, begins
			}
			if x := gain + slipCost + int32(d)*perBitCost; x < cost {
				cost, way = x, int32(from)
			}
			if x := al.price[j] + slipCost + int32(i-1)*perBitCost; x < cost { // price[j] is for bit j-1 of the copy
				cost, way = x, lostSince-al.column[j]
			}
			if i > 0 && last[c]-int32(d) < gain {
				gain, from = last[c]-int32(d), c
			}
			cost += mismatchCost * int32(ref[i]^copied[j])
			now[c], came[c] = cost, way
			end := cost
			if i < n-1 {
				if j < m-1 {
					continue
				}
				end += int32(n-1-i) * perBitCost // the rest of the reference was cut off
			}
			if end < best {
				best, row, col = end, i, c
			}
		}
		for c, d := range al.shifts {
			if j := i + d + 1; j > 0 && j <= m && now[c] < unreachable {
				if x := now[c] - int32(i)*perBitCost; x < al.price[j] {
					al.price[j], al.column[j] = x, int32(i)
				}
			}
		}
	}
	return alignment{al.back(n, row, col), int(best)}
}

// How a way came to a cell: by a number from 0 from that lower shift, by lostSince or less from a row.
const (
	goesOn    = -1
	begins    = -2
	lostSince = -4 // less the row it came from; -3 for the row ahead of the first
)

// room makes room for a search, and sets the beginning: nothing of either, for nothing.
func (al *aligner) room(n, m, k int) {
	for i := range al.cost {
		al.cost[i] = slices.Grow(al.cost[i][:0], k)[:k]
	}
	al.came = slices.Grow(al.came[:0], n*k)[:n*k]
	al.price = slices.Grow(al.price[:0], m+1)[:m+1]
	al.column = slices.Grow(al.column[:0], m+1)[:m+1]
	for j := range al.price {
		al.price[j] = unreachable
	}
	al.price[0], al.column[0] = 1, -1
}

// back walks from the end of the cheapest way to its beginning, and notes where each bit of the reference stands.
func (al *aligner) back(n, i, c int) []int32 {
	at := make([]int32, n)
	for x := range at {
		at[x] = -1
	}
	k := len(al.shifts)
	for i >= 0 {
		j := i + al.shifts[c]
		at[i] = int32(j)
		switch way := al.came[i*k+c]; {
		case way == goesOn:
			i--
		case way == begins:
			return at
		case way >= 0:
			i, c = i-1, int(way)
		default: // the bit of the copy before this one stood against an earlier bit of the reference
			i = lostSince - int(way)
			if i < 0 {
				return at
			}
			c, _ = slices.BinarySearch(al.shifts, j-1-i)
		}
	}
	return at
}
