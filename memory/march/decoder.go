package march

import "fmt"

// stuckOpen is a cell that is not reached.
func stuckOpen(int) []variant {
	return []variant{{"stuck-open", func(cells int) (ms []*model) {
		for c := range cells {
			m := faulty()
			m.open = c
			ms = append(ms, m)
		}
		return ms
	}}}
}

// misread is a memory with every address reaching its own cell so far, and the ways that a wrong decoder reads.
func misread(cells int, none uint8, and bool) *model {
	m := faulty()
	m.wired, m.none, m.and = true, none, and
	for c := range cells {
		m.reach[c] = []int{c}
	}
	return m
}

// decoderA is an address x that reaches no cell.
func decoderA(int) (all []variant) {
	for none := range uint8(2) {
		all = append(all, variant{fmt.Sprintf("no cell reads %d", none), func(cells int) (ms []*model) {
			for x := range cells {
				m := misread(cells, none, false)
				m.reach[x] = nil
				ms = append(ms, m)
			}
			return ms
		}})
	}
	return all
}

// decoderB is an address x that reaches no cell, while y reaches both.
func decoderB(int) (all []variant) {
	for none := range uint8(2) {
		for _, and := range []bool{false, true} {
			all = append(all, decoderPairs(fmt.Sprintf("no cell reads %d, two read %s", none, gate(and)), none, and, func(m *model, x, y int) {
				m.reach[x], m.reach[y] = nil, []int{x, y}
			})...)
		}
	}
	return all
}

// decoderC is an address x that reaches the cell of y.
func decoderC(int) []variant {
	return decoderPairs("one cell", 0, false, func(m *model, x, y int) { m.reach[x] = []int{y} })
}

// decoderD is an address x that reaches the cell of y beside its own.
func decoderD(int) (all []variant) {
	for _, and := range []bool{false, true} {
		all = append(all, decoderPairs("two read "+gate(and), 0, and, func(m *model, x, y int) { m.reach[x] = []int{x, y} })...)
	}
	return all
}

func gate(and bool) string {
	if and {
		return "AND"
	}
	return "OR"
}

// decoderPairs is the two variants of a decoder fault of two addresses: x below y, and above.
func decoderPairs(name string, none uint8, and bool, cross func(m *model, x, y int)) (all []variant) {
	for side, where := range []string{"x below y", "x above y"} {
		all = append(all, variant{name + ", " + where, func(cells int) (ms []*model) {
			for lower, upper := range pairs(cells) {
				x, y := lower, upper
				if side == 1 {
					x, y = upper, lower
				}
				m := misread(cells, none, and)
				cross(m, x, y)
				ms = append(ms, m)
			}
			return ms
		}})
	}
	return all
}
