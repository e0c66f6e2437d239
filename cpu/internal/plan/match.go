package plan

import (
	"coldstart/memory"
)

// A match is a pattern being held against flat steps.
type match struct {
	fuser  *fuser
	out    Fused
	places [32]uint16 // by name
	known  uint32     // names that have a place, by bit
	set    uint32     // names that the steps have set so far
	gone   uint32     // scratch names whose place was set anew
	bound  uint8      // which of N, J, K and M are said
	over   int        // the step that an unless goes on at; 0: there is none
}

// The bits of bound.
const (
	saidN = 1 << iota
	saidJ
	saidK
	saidM
)

// match holds a pattern against the steps from one on; it gives the fused step, and the step after the last.
func (u *fuser) match(p *pattern, at int) (Fused, int, bool) {
	if p.adds && !u.twos {
		return Fused{}, 0, false
	}
	m := match{fuser: u, out: Fused{Form: p.form}}
	i := at
	for n := range p.wants {
		w := &p.wants[n]
		if w.stands {
			if i >= len(u.steps) || !m.stands(w.a, u.steps[i].A) {
				return Fused{}, 0, false
			}
			continue
		}
		if i >= len(u.steps) || i > at && u.label[i] || !m.step(w, &u.steps[i]) {
			return Fused{}, 0, false
		}
		i++
	}
	if p.counted && (m.bound&saidN == 0 || m.out.N > 62) || m.over != 0 && m.over != i || !m.dead(p, i) {
		return Fused{}, 0, false
	}
	if p.counted && m.bound&saidM == 0 {
		m.out.M = memory.Mask(int(m.out.N) + 1)
	}
	m.fill()
	return m.out, i, true
}

// fill gives the fused step its places.
func (m *match) fill() {
	o := &m.out
	for i, p := range [...]*uint16{&o.D, &o.A, &o.B, &o.C, &o.E, &o.F, &o.G} {
		*p = m.places[i]
	}
}

// step holds one flat step against what is wanted.
func (m *match) step(w *want, s *Step) bool {
	if s.Op != w.op || !m.number(w.n, memory.Word(s.N)) || !m.number(w.m, s.M) {
		return false
	}
	a, b, c := s.Op.Reads()
	if a && !m.reads(w.a, s.A) || b && !m.reads(w.b, s.B) || c && !m.reads(w.c, s.C) {
		return false
	}
	if s.Op == JumpZero {
		m.over = int(s.J)
	}
	return !s.Op.Sets() || m.sets(w.d, s.D)
}

// number holds N or M against a rule.
func (m *match) number(r rule, w memory.Word) bool {
	switch r {
	case anything:
		return true
	case aSign:
		return m.said(saidN, w < 64, func() bool { return m.out.N == uint8(w) }, func() { m.out.N = uint8(w) })
	case aWidth:
		return w > 0 && m.number(aSign, w-1)
	case aMask:
		return m.bound&saidN != 0 && w == memory.Mask(int(m.out.N)+1)
	case aMove:
		return m.said(saidJ, w < 64, func() bool { return m.out.J == uint8(w) }, func() { m.out.J = uint8(w) })
	case aReach:
		return m.said(saidM, true, func() bool { return m.out.M == w }, func() { m.out.M = w })
	case aWord:
		return w == m.fuser.word
	}
	return w == memory.Word(r)
}

// said lets a number of the fused step be what it was said to be before, or be said now.
func (m *match) said(bit uint8, fits bool, same func() bool, say func()) bool {
	if m.bound&bit != 0 {
		return fits && same()
	}
	m.bound |= bit
	if fits {
		say()
	}
	return fits
}

// constant lets K be a number, as it was said before or now.
func (m *match) constant(w memory.Word) bool {
	return m.said(saidK, w < 1<<32, func() bool { return m.out.K == uint32(w) }, func() { m.out.K = uint32(w) })
}

// reads lets a step read a place under a name. What the fused step reads it reads before it sets anything: so no place may be
// read under one name that was set before under another.
func (m *match) reads(n name, place uint16) bool {
	w, fixed := m.fuser.constant(place)
	switch n {
	case zero, one:
		return fixed && w == memory.Word(n-zero)
	case far:
		return fixed && m.constant(w)
	case target:
		slot, ok := m.fuser.slot(w)
		return fixed && ok && m.constant(memory.Word(slot))
	}
	for other := range name(len(m.places)) {
		if m.set>>other&1 != 0 && other != n && m.places[other] == place {
			return false
		}
	}
	return m.names(n, place)
}

// sets lets a step set a place under a name, which none of the others has set.
func (m *match) sets(n name, place uint16) bool {
	switch {
	case n == counter:
		return place == m.fuser.counterTo
	case place == m.fuser.counterTo || m.set>>n&1 != 0:
		return false
	case n >= small && !m.fuser.scratch(place):
		return false
	}
	for other := range name(len(m.places)) {
		if m.set>>other&1 == 0 || m.places[other] != place {
			continue
		}
		if n < small || other < small {
			return false
		}
		m.set &^= 1 << other // a scratch place used again: the first value is gone
		m.gone |= 1 << other
	}
	if !m.names(n, place) {
		return false
	}
	m.set |= 1 << n
	return true
}

// names lets a name stand for a place.
func (m *match) names(n name, place uint16) bool {
	if m.gone>>n&1 != 0 {
		return false
	}
	if m.known>>n&1 != 0 {
		return m.places[n] == place
	}
	m.known |= 1 << n
	m.places[n] = place
	return true
}

// stands lets the address under a name be a place as it is: one no step of the pattern makes, or that of an address before.
func (m *match) stands(n name, place uint16) bool {
	if m.known>>nameA&1 == 0 {
		return m.names(n, place) && m.names(nameA, place) && m.constant(0) && m.number(aMove, 0) && m.number(aReach, ^memory.Word(0))
	}
	for other := small; other < name(len(m.places)); other++ {
		if m.set>>other&1 != 0 && m.places[other] == place {
			return false // made on the way, as something else
		}
	}
	return m.out.M == ^memory.Word(0) && m.places[nameA] == place && m.names(n, place)
}

// dead tells whether nothing reads the scratch places of a pattern after it.
func (m *match) dead(p *pattern, next int) bool {
	for n := small; n < name(p.names); n++ {
		if m.set>>n&1 != 0 && m.fuser.live(m.places[n], next) {
			return false
		}
	}
	return true
}
