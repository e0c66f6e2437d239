package splice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A recorded order is that of one decode: block numbers, each where its first proved copy stands.
type recordedOrder struct {
	pass, decode int
	row          []int
}

// order gives the numbers of all blocks in the order they go into the image: ascending where the layout states them, else as
// most passes have them. What stands otherwise on a pass is noted.
func (m *merger) order() []int {
	var all []int
	for n := range m.pieces {
		all = append(all, n)
	}
	for n := m.first; n <= m.last; n++ {
		if len(m.pieces[n]) == 0 {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	recorded := m.recorded(all)
	merged, why := all, "in the order of their numbers"
	if m.last < m.first && len(recorded) > 0 {
		merged, why = m.most(recorded, all), "as most passes have them"
	}
	for _, r := range recorded {
		if a, b, other := apart(r.row, merged); other && r.decode == 0 {
			m.Notes = append(m.Notes, fmt.Sprintf("%s has block %s ahead of %s: the merged recording has the blocks %s",
				m.Passes[r.pass].Name, m.Layout.BlockName(a), m.Layout.BlockName(b), why))
		}
	}
	return merged
}

// recorded gives the order of each decode, the fullest first.
func (m *merger) recorded(all []int) []recordedOrder {
	place := map[[2]int]map[int]int{}
	for _, n := range all {
		for _, p := range m.pieces[n] {
			if p.guessed || m.form.strength > 0 && !p.proven {
				continue
			}
			k := [2]int{p.pass, p.decode}
			if place[k] == nil {
				place[k] = map[int]int{}
			}
			if _, known := place[k][n]; !known {
				place[k][n] = p.seq
			}
		}
	}
	var orders []recordedOrder
	for k, at := range place {
		r := recordedOrder{pass: k[0], decode: k[1]}
		for n := range at {
			r.row = append(r.row, n)
		}
		slices.SortFunc(r.row, func(a, b int) int { return cmp.Or(at[a]-at[b], a-b) })
		orders = append(orders, r)
	}
	slices.SortFunc(orders, func(a, b recordedOrder) int {
		return cmp.Or(len(b.row)-len(a.row), a.pass-b.pass, a.decode-b.decode)
	})
	return orders
}

// most gives all blocks in the order that agrees with most passes; those that are not in it go behind the number before.
func (m *merger) most(orders []recordedOrder, all []int) []int {
	best, row := 0, []int(nil)
	for _, r := range orders {
		agree := uint16(0)
		for _, q := range orders {
			if _, _, other := apart(q.row, r.row); !other {
				agree |= 1 << q.pass
			}
		}
		if n := ones(agree); n > best {
			best, row = n, r.row
		}
	}
	if slices.IsSorted(row) {
		return all
	}
	row = slices.Clone(row)
	for _, n := range all {
		if !slices.Contains(row, n) {
			row = slices.Insert(row, slices.Index(row, n-1)+1, n)
		}
	}
	return row
}

// apart gives the first two blocks in a row, both in the other too, that stand the other way about there.
func apart(row, other []int) (a, b int, is bool) {
	at := map[int]int{}
	for i, n := range other {
		at[n] = i
	}
	last := -1
	for _, n := range row {
		i, there := at[n]
		if !there {
			continue
		}
		if last >= 0 && i < at[last] {
			return last, n, true
		}
		last = n
	}
	return 0, 0, false
}

// leftOut notes blocks that are whole on a pass and not among the numbers that the layout states.
func (m *merger) leftOut(strips []strip) {
	on := map[int]uint16{}
	for _, s := range strips {
		for _, p := range s {
			if p.proven && p.number >= 0 && !m.expected(p.number) && m.numberCovered(p.raw) {
				on[p.number] |= 1 << p.pass
			}
		}
	}
	var passes uint16
	for n, mask := range on {
		m.LeftOut = append(m.LeftOut, n)
		passes |= mask
	}
	if len(on) == 0 {
		return
	}
	slices.Sort(m.LeftOut)
	var blocks, names []string
	for _, n := range m.LeftOut[:min(len(m.LeftOut), mostNamed)] {
		blocks = append(blocks, m.Layout.BlockName(n))
	}
	if more := len(m.LeftOut) - mostNamed; more > 0 {
		blocks = append(blocks, fmt.Sprintf("and %d more", more))
	}
	for i := range m.Passes {
		if passes>>i&1 != 0 {
			names = append(names, m.Passes[i].Name)
		}
	}
	m.Notes = append(m.Notes, fmt.Sprintf("left out, though whole on %s: block %s; layout %s states blocks %s to %s; mend it if these belong to the tape",
		strings.Join(names, ", "), strings.Join(blocks, ", "), m.Layout.Name(), m.Layout.BlockName(m.first), m.Layout.BlockName(m.last)))
}

// mostNamed is how many blocks that are left out are named.
const mostNamed = 8
