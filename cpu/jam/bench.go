package jam

import (
	"cmp"
	"slices"

	"coldstart/cpu/duplex"
	"coldstart/memory"
)

// A bench puts the jams of a half in force and out while it runs. What is in force follows from the half's state alone: how
// many orders it has begun, which milestones it has reached, and what the order in hand has touched.
type bench struct {
	half    *duplex.Half
	all     map[string]*timed // by the text of the jam
	orders  []*timed          // from some order on, by that
	begun   int               // of these, how many are in force
	marks   []*timed          // between milestones
	changes int               // of the half's milestones, when the marks were last looked at
	spans   map[when]*span
	ranges  []*span // those, by first address
	active  []*span // those in force
	turned  int64   // orders begun at the last Turn
	stale   bool    // orders and ranges are not sorted
}

// A timed is a jam that is not always in force.
type timed struct {
	Jam
	in bool
}

// A span is a range of addresses, and the jams in force while it is touched.
type span struct {
	when
	reach   memory.Addr // the farthest last address of this span and those before it
	jams    []*timed
	in      bool
	touched bool // by the order in hand
}

// attend is the bench of a half, made where there is none yet.
func attend(h *duplex.Half) *bench {
	if b, ok := h.Machine.Bench().(*bench); ok {
		return b
	}
	b := &bench{half: h, all: map[string]*timed{}, spans: map[when]*span{}, changes: h.Changes()}
	h.Machine.Attend(b)
	return b
}

// add lets a jam that was put in come and go; twice is once.
func (b *bench) add(j Jam) {
	if b.all[j.text] != nil {
		return
	}
	t := &timed{j, true}
	b.all[j.text] = t
	switch {
	case j.when.order > 0:
		b.orders, b.stale = append(b.orders, t), true
		b.turn(t, j.when.order <= b.half.Machine.Orders())
	case j.when.touched:
		s := b.spans[j.when]
		if s == nil {
			s = &span{when: j.when}
			b.spans[j.when], b.ranges, b.stale = s, append(b.ranges, s), true
		}
		s.jams = append(s.jams, t)
		b.turn(t, s.in)
	default:
		b.marks = append(b.marks, t)
		b.turn(t, b.between(t))
	}
}

// remove puts a jam in force for good, so that it can be taken out.
func (b *bench) remove(j Jam) {
	if t := b.all[j.text]; t != nil {
		b.turn(t, true)
		is := func(other *timed) bool { return other == t }
		delete(b.all, j.text)
		b.orders, b.marks = slices.DeleteFunc(b.orders, is), slices.DeleteFunc(b.marks, is)
		if s := b.spans[j.when]; s != nil {
			s.jams = slices.DeleteFunc(s.jams, is)
		}
		b.stale = true
	}
	if len(b.all) == 0 {
		b.half.Machine.Attend(nil)
	}
}

// turn puts a jam in force, or out.
func (b *bench) turn(t *timed, in bool) {
	if t.in != in {
		t.in = in
		t.place.rest(b.half, !in)
	}
}

// sort brings in order what was added.
func (b *bench) sort() {
	n := b.half.Machine.Orders()
	slices.SortStableFunc(b.orders, func(s, t *timed) int { return cmp.Compare(s.when.order, t.when.order) })
	b.begun = 0
	for _, t := range b.orders {
		if b.turn(t, t.when.order <= n); t.in {
			b.begun++
		}
	}
	slices.SortFunc(b.ranges, func(s, t *span) int {
		return cmp.Or(cmp.Compare(s.first, t.first), cmp.Compare(s.last, t.last))
	})
	reach := memory.Addr(0)
	for _, s := range b.ranges {
		reach = max(reach, s.last)
		s.reach = reach
	}
	b.stale = false
}

// Turn looks at what hangs on orders begun and on milestones, in front of each order and after going back. What the last
// order touched stays in force until the next access, which comes before anything else shows it.
func (b *bench) Turn() {
	if b.stale {
		b.sort()
	}
	n := b.half.Machine.Orders()
	for ; b.begun < len(b.orders) && b.orders[b.begun].when.order <= n; b.begun++ {
		b.turn(b.orders[b.begun], true)
	}
	for ; b.begun > 0 && b.orders[b.begun-1].when.order > n; b.begun-- {
		b.turn(b.orders[b.begun-1], false)
	}
	if changes := b.half.Changes(); changes != b.changes {
		b.changes = changes
		for _, t := range b.marks {
			b.turn(t, b.between(t))
		}
	}
	for _, s := range b.active {
		if s.touched = false; n != b.turned+1 { // gone back
			b.set(s, false)
		}
	}
	if n != b.turned+1 {
		b.active = b.active[:0]
	}
	b.turned = n
}

// between tells whether the run is between the milestones of a jam.
func (b *bench) between(t *timed) bool {
	return b.half.Reached(t.when.from) && (t.when.to == "" || !b.half.Reached(t.when.to))
}

// Touch puts in force what is while an address is touched, and out what the order in hand has not touched.
func (b *bench) Touch(a memory.Addr) {
	if len(b.ranges) == 0 {
		return
	}
	i, _ := slices.BinarySearchFunc(b.ranges, a, func(s *span, a memory.Addr) int {
		if s.first <= a {
			return -1
		}
		return 1
	})
	for i--; i >= 0 && b.ranges[i].reach >= a; i-- {
		s := b.ranges[i]
		if s.last < a || s.touched {
			continue
		}
		if s.touched = true; !s.in {
			b.active = append(b.active, s)
			b.set(s, true)
		}
	}
	b.active = slices.DeleteFunc(b.active, func(s *span) bool {
		if !s.touched {
			b.set(s, false)
		}
		return !s.touched
	})
}

// set puts the jams of a span in force, or out.
func (b *bench) set(s *span, in bool) {
	s.in = in
	for _, t := range s.jams {
		b.turn(t, in)
	}
}
