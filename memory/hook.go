package memory

import (
	"maps"
	"math/rand/v2"
	"slices"
)

// A hook is a jam that is in and is more than a mask on a word: one with a memory, or of many words. Words that no hook concerns
// are read and written as if there were none: hooks are found by the word or the area they are tied to, and flags tell of them.
type hook struct {
	Jam
	hookState
}

// A hookState is what a hook remembers.
type hookState struct {
	draws   rand.PCG // of an intermittent jam
	touched int64    // when a row that fades was last read or written; never: at its next access
	met     int64    // how often it could have acted
	altered int64    // and how often it made a difference
}

// never is the time of what has not been.
const never = -1 << 63

func newHook(j Jam) *hook {
	return &hook{j, hookState{draws: *rand.NewPCG(j.Seed, j.OneIn), touched: never}}
}

// fires is whether the jam acts this time. Only what is counted takes a draw: a look shows what the next access would meet.
func (h *hook) fires(counted bool) bool {
	if h.OneIn < 2 {
		return true
	}
	draws := h.draws
	hit := draws.Uint64()%h.OneIn == 0
	if counted {
		h.draws = draws
	}
	return hit
}

// note counts a time that the jam could act.
func (h *hook) note(counted, altered bool) {
	if !counted {
		return
	}
	h.met++
	if altered {
		h.altered++
	}
}

// shows is what the reader of a word of p sees of a column that the jam sticks.
func (h *hook) shows(p *placed) int {
	if h.Fault == ReadLine {
		return h.Value
	}
	return p.Cell(h.Value)
}

// A masks is columns of many words that are stuck at one, at zero.
type masks struct{ ones, zeros cells }

func (m *masks) through(c cells) cells {
	return cells{c.data&^m.zeros.data | m.ones.data, c.columns&^m.zeros.columns | m.ones.columns}
}

// An areaJams is the jams on all words of an area.
type areaJams struct {
	chip, line masks   // chips and read lines that are always stuck
	always     []*hook // those jams
	hooks      []*hook // the others, in the order of compareJams
	sense      cells   // what the columns last gave, for stuck-open cells
	open       int     // stuck-open cells in the area
}

func (j *areaJams) empty() bool { return len(j.always)+len(j.hooks)+j.open == 0 }

// insert keeps hooks in order, so that it is no matter which jam was put in first.
func insert(hooks []*hook, h *hook) []*hook {
	i, _ := slices.BinarySearchFunc(hooks, h, func(a, b *hook) int { return compareJams(a.Jam, b.Jam) })
	return slices.Insert(hooks, i, h)
}

func remove(hooks []*hook, h *hook) []*hook {
	return slices.DeleteFunc(hooks, func(other *hook) bool { return other == h })
}

// attach ties a hook to the words that it concerns, or frees them of it. One of few words is tied to these; one of all words of
// an area is tied to the area, and only the flags of its words say so.
func (s *Store) attach(h *hook, in bool) {
	change := insert
	if !in {
		change = remove
	}
	switch h.Fault {
	case Stuck, NeverRises, NeverFalls, StuckOpen, Fades, Inverts, Forces, Holds, Shades, Disturbs:
		s.attachWords(h, change)
		return
	case AddressLine, AddressTied:
		s.steering = change(s.steering, h)
	}
	for i := range s.layout.placed {
		p, j := &s.layout.placed[i], &s.areas[i]
		switch {
		case !h.concerns(p):
			continue
		case h.OneIn < 2 && (h.Fault == ChipStuck || h.Fault == ReadLine):
			j.always = change(j.always, h)
			j.remask(p)
		case h.Fault != AddressLine && h.Fault != AddressTied:
			j.hooks = change(j.hooks, h)
		}
		s.reflag(p)
	}
}

// concerns is whether a jam of many words is about those of an area.
func (h *hook) concerns(p *placed) bool {
	switch h.Fault {
	case ChipStuck, NoSelect:
		return p.first == h.Addr
	case ReadLine, WriteLine:
		return h.Column < p.Width
	}
	return true
}

// remask makes the masks of what is always stuck.
func (j *areaJams) remask(p *placed) {
	j.chip, j.line = masks{}, masks{}
	for _, h := range j.always {
		m := &j.chip
		if h.Fault == ReadLine {
			m = &j.line
		}
		bit := cellOf(p.Width, h.Column)
		if h.shows(p) == 1 {
			m.ones = m.ones.with(bit)
		} else {
			m.zeros = m.zeros.with(bit)
		}
	}
}

// attachWords ties a hook to single words.
func (s *Store) attachWords(h *hook, change func([]*hook, *hook) []*hook) {
	words := []Addr{h.Addr}
	switch {
	case h.Fault == Fades:
		words = slices.Collect(s.row(h.Jam))
	case h.Fault >= Inverts && h.By.Addr != h.Addr:
		words = append(words, h.By.Addr)
	}
	for _, a := range words {
		p := s.layout.find(a)
		slot := p.slot(a)
		j := s.jamAt(slot)
		if j == nil {
			j = new(jammed)
		}
		before := len(j.hooks)
		j.hooks = change(j.hooks, h)
		if h.Fault == StuckOpen {
			area := &s.areas[p.number]
			if area.open += len(j.hooks) - before; area.open == 0 {
				area.sense = cells{}
			}
			s.reflag(p)
		}
		s.setJam(slot, j)
	}
}

// reflag flags the words of an area anew.
func (s *Store) reflag(p *placed) {
	for slot := p.base; slot < p.base+int(p.length); slot += int(s.layout.step) {
		s.flags[slot] = s.flags[slot]&^(flagJammed|flagHooked) | s.jamFlags(p, s.jamAt(slot))
	}
}

// jamFlags is the flags of a word in p with these jams of its own, or nil. Where masks are all there is the word can still be
// bound and counted by whoever knows it; where they are not, it is Hooked.
func (s *Store) jamFlags(p *placed, j *jammed) flag {
	var f flag
	area := &s.areas[p.number]
	if j != nil || !area.empty() {
		f = flagJammed
	}
	// All words of an area with a stuck-open cell are read with care: each leaves its bits on the columns.
	if len(s.steering) > 0 || len(area.hooks) > 0 || area.open > 0 || (j != nil && len(j.hooks) > 0) {
		f = flagJammed | flagHooked
	}
	return f
}

// hookStates is what all hooks remember that have something to remember: of many thousand most are never met.
func (s *Store) hookStates() map[Jam]hookState {
	kept := map[Jam]hookState{}
	for _, h := range s.hooks {
		if h.met > 0 || h.Fault == Fades {
			kept[h.Jam] = h.hookState
		}
	}
	maps.Copy(kept, s.resting)
	return kept
}
