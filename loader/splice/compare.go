package splice

import (
	"fmt"
	"slices"
)

// place tells of each lost block where it should load, where its neighbours leave just the room for it.
func (m *merger) place() {
	for i := 0; i < len(m.Blocks); {
		if m.Blocks[i].Raw != nil {
			i++
			continue
		}
		end := i
		for end < len(m.Blocks) && m.Blocks[end].Raw == nil {
			end++
		}
		if i > 0 && end < len(m.Blocks) {
			m.needed(i, end)
		}
		i = end
	}
}

// needed looks whether the blocks from index i up to end fit between their neighbours.
func (m *merger) needed(i, end int) {
	before, after := m.Blocks[i-1], m.Blocks[end]
	h, k := m.Layout.Fields(before.Raw), m.Layout.Fields(after.Raw)
	n, vary := m.Layout.Data()
	if !h.Addressed || !k.Addressed || vary {
		return
	}
	at := h.Address + uint64(before.Count)
	if at+uint64(n*(end-i)) != k.Address {
		return
	}
	for _, b := range m.Blocks[i:end] {
		b.Addressed, b.Addr, b.Count = true, at, n
		at += uint64(n)
	}
}

// suspicious is how many damaged words two passes must share, and no other, to be taken for one; and how many whole blocks
// must differ between them to be taken for passes of two tapes.
const suspicious = 3

// compare looks at passes two by two for what no single block shows.
func (m *merger) compare() {
	for a := range m.Passes {
		for b := a + 1; b < len(m.Passes); b++ {
			m.sameDamage(a, b)
			m.otherTape(a, b)
		}
	}
}

// sameDamage notes two passes that are damaged in the same words, and in the same way. Two times past a head that never
// happens; two decodes of one time look so.
func (m *merger) sameDamage(a, b int) {
	shared, apart := 0, 0
	for _, d := range m.damage {
		switch x, y := d.by[a], d.by[b]; {
		case x == y && x != 0:
			shared++
		case x != y:
			apart++
		}
	}
	if shared >= suspicious && apart == 0 {
		m.Notes = append(m.Notes, fmt.Sprintf("%s and %s are damaged in the same %d places and in no other: they look like two decodes of one pass; if they are, give one of them with --decode",
			m.Passes[a].Name, m.Passes[b].Name, shared))
	}
}

// otherTape notes two passes of which whole blocks mostly differ: nothing can be spliced of two tapes, or of two states of one.
func (m *merger) otherTape(a, b int) {
	alike, differ := 0, 0
	for _, groups := range m.whole {
		var in [2]int
		for g, mask := range groups {
			for k, pass := range []int{a, b} {
				if mask>>pass&1 != 0 {
					in[k] = g + 1
				}
			}
		}
		switch {
		case in[0] == 0 || in[1] == 0:
		case in[0] == in[1]:
			alike++
		default:
			differ++
		}
	}
	if differ >= suspicious && differ > alike {
		m.Notes = append(m.Notes, fmt.Sprintf("of the blocks that %s and %s both have whole, %d differ and %d are alike: look whether they are passes of one tape",
			m.Passes[a].Name, m.Passes[b].Name, differ, alike))
	}
}

// A damage is a place where some copy differs from the block as settled: what each pass has there, 0 where it is right.
type damage struct{ by []uint64 }

// note remembers the damage of the copies of a settled block.
func (s *settling) note() {
	b := s.b
	if b.State != Settled || b.Rule == "decision" {
		return
	}
	for i, w := range b.Raw {
		var d damage
		for _, r := range s.readings {
			if r == nil || i >= len(r.raw) || r.has[i] && r.raw[i] == w {
				continue
			}
			if d.by == nil {
				d.by = make([]uint64, len(s.Passes))
			}
			d.by[r.piece.pass] = 1
			if r.has[i] {
				d.by[r.piece.pass] = 2 + uint64(r.raw[i]^w)
			}
		}
		if d.by != nil {
			s.damage = append(s.damage, d)
		}
	}
	// A pass without the block at all is damaged there too.
	if missing := s.absentIn(); missing != nil {
		s.damage = append(s.damage, damage{missing})
	}
}

// absentIn marks the passes that have no copy of the block; nil where all have one.
func (s *settling) absentIn() []uint64 {
	by := make([]uint64, len(s.Passes))
	for i := range by {
		if s.b.Copies[i].State == "lost" {
			by[i] = 1
		}
	}
	if !slices.Contains(by, 1) {
		return nil
	}
	return by
}
