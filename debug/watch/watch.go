package watch

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/panel"
	"coldstart/memory"
)

// A Watcher watches one run. It is a cpu.Observer, and must besides be told of lamp rows and printed lines. What it has
// seen follows from what it was told alone.
type Watcher struct {
	plan    *Plan
	whence  func(memory.Addr) memory.Origin
	pending []waiting // milestones not reached
	reached []Reached
	spots   []*spotter
	writers []writer // who wrote each row of a chase last
	looks   looks    // which orders may reach a pending milestone
	began   bool     // something was told
	step    int64    // the number of the order observed last
}

// waiting is a milestone not reached yet.
type waiting struct {
	*Milestone
	inside bool     // for holds: the last order was inside
	since  cpu.Time // for holds: when the first order inside began
}

// A writer is the order that wrote a row last.
type writer struct {
	row   memory.Addr
	place memory.Addr
	at    cpu.Time
	order memory.Word // its first word
	asked memory.Word
	some  bool
}

// New watches for what a plan expects. Whence tells where the word at an address came from; nil where nobody knows.
func New(plan *Plan, whence func(memory.Addr) memory.Origin) *Watcher {
	w := &Watcher{plan: plan, whence: whence}
	if whence == nil {
		w.whence = func(memory.Addr) memory.Origin { return memory.Origin{} }
	}
	for _, m := range plan.Milestones {
		w.pending = append(w.pending, waiting{Milestone: m})
	}
	w.look()
	for _, c := range plan.Chases {
		w.spots = append(w.spots, newSpotter(c))
		for _, p := range c.Places {
			if !slices.ContainsFunc(w.writers, func(o writer) bool { return o.row == p.Row.Addr }) {
				w.writers = append(w.writers, writer{row: p.Row.Addr})
			}
		}
	}
	return w
}

// Observe takes note of an order done. It is called for each of millions: it looks at each milestone that is still to be
// reached, of which there are few, and allocates only when one is.
func (w *Watcher) Observe(s *cpu.Step) {
	w.step, w.began = s.Number, true
	for i := range s.Writes {
		if a := &s.Writes[i]; a.Status&(memory.Protected|memory.NoReply) == 0 {
			w.written(a, s)
		}
	}
	few := !w.looks.may(s)
	for i := 0; i < len(w.pending); i++ {
		if few { // the others cannot be meant
			if i = w.looks.held(i); i < 0 {
				return
			}
		}
		m := &w.pending[i]
		at, met := s.Done, false
		switch m.kind {
		case begins:
			at, met = s.At, s.Place == m.addr
		case writes:
			met = wrote(s, m.addr)
		case holds:
			met = m.held(s)
		}
		if met {
			w.reach(i, at, w.atOrder(m, s))
			i--
		}
	}
}

// looks tells most orders that reach no milestone from those that may.
type looks struct {
	places uint64 // a one for each place that one waits for, by its last six bits
	writes bool   // one waits for a write
	every  []int  // which have to be told of every order
}

// look works that out for the milestones pending.
func (w *Watcher) look() {
	w.looks = looks{} // with a list of its own: a clone has the other
	for i := range w.pending {
		switch m := &w.pending[i]; m.kind {
		case begins:
			w.looks.places |= 1 << (m.addr & 63)
		case writes:
			w.looks.writes = true
		case holds:
			w.looks.every = append(w.looks.every, i)
		}
	}
}

// may tells whether an order may reach a milestone.
func (l *looks) may(s *cpu.Step) bool {
	return l.places>>(s.Place&63)&1 == 1 || l.writes && len(s.Writes) > 0
}

// held is the first of those that have to be told of every order, from one pending milestone on; -1 where there is none.
func (l *looks) held(from int) int {
	for _, i := range l.every {
		if i >= from {
			return i
		}
	}
	return -1
}

// wrote is whether an order stored something at an address.
func wrote(s *cpu.Step, a memory.Addr) bool {
	for i := range s.Writes {
		if x := &s.Writes[i]; x.Addr == a && x.Status&(memory.Protected|memory.NoReply) == 0 {
			return true
		}
	}
	return false
}

// held is whether orders have come from inside the ranges alone for long enough.
func (m *waiting) held(s *cpu.Step) bool {
	if !m.Milestone.inside(s.Place) {
		m.inside = false
		return false
	}
	if !m.inside {
		m.inside, m.since = true, s.At
	}
	return s.Done-m.since >= m.time
}

// written remembers who wrote a row of a chase.
func (w *Watcher) written(a *cpu.Access, s *cpu.Step) {
	for i := range w.writers {
		if r := &w.writers[i]; r.row == a.Addr {
			*r = writer{row: a.Addr, place: s.Place, at: s.At, asked: a.Word, some: true}
			if len(s.Words) > 0 {
				r.order = s.Words[0]
			}
		}
	}
}

// Lamps takes note of a lamp row as it is from the given time on. It is to be told of each row once when power comes up,
// and again whenever an order has written it, after Observe was told of that order.
func (w *Watcher) Lamps(at cpu.Time, l panel.Line) {
	w.began = true
	for _, s := range w.spots {
		if !s.line(at, l) {
			continue
		}
		for i := 0; i < len(w.pending); i++ {
			if w.pending[i].chase == s.chase {
				w.reach(i, at, w.chaseEvidence(s))
				i--
			}
		}
	}
}

// Printed takes note of a line that the teletypewriter has printed.
func (w *Watcher) Printed(at cpu.Time, text string) {
	for i := 0; i < len(w.pending); i++ {
		if m := &w.pending[i]; m.kind == prints && strings.Contains(text, m.text) {
			w.reach(i, at, Evidence{{At: at, Text: fmt.Sprintf("the teletypewriter printed %q", text)}})
			i--
		}
	}
}

// reach moves a milestone from those pending to those reached.
func (w *Watcher) reach(i int, at cpu.Time, e Evidence) {
	w.reached = append(w.reached, Reached{Milestone: w.pending[i].Milestone, At: at, Number: w.step, Evidence: e})
	w.pending = slices.Delete(w.pending, i, i+1)
	w.look()
}

// atOrder is the evidence for a milestone that an order reached.
func (w *Watcher) atOrder(m *waiting, s *cpu.Step) Evidence {
	var word memory.Word
	if len(s.Words) > 0 {
		word = s.Words[0]
	}
	e := Evidence{{At: s.At, Text: "the order there was done", Place: s.Place, Word: word, Origin: w.whence(s.Place)}}
	if m.kind == holds {
		e[0].Text = fmt.Sprintf("all orders since %v came from within, this one last", m.since)
	}
	if m.kind != writes {
		return e
	}
	for i := range s.Writes {
		if a := &s.Writes[i]; a.Addr == m.addr {
			return append(Evidence{{At: s.At, Text: "the word was written", Place: a.Addr, Word: a.Word, Origin: w.whence(a.Addr)}}, e...)
		}
	}
	return e
}

// chaseEvidence leads from the lamps of a chase, as they are, to the order that wrote them.
func (w *Watcher) chaseEvidence(s *spotter) Evidence {
	at := s.lamps.since
	e := Evidence{{At: at, Text: "lamps: " + s.lamps.standing(s.lamps.shown), Place: s.chase.Places[0].Row.Addr}}
	var last *writer
	for i := range w.writers {
		if r := &w.writers[i]; r.some && s.chase.has(r.row) && (last == nil || r.at > last.at) {
			last = r
		}
	}
	if last == nil {
		return e
	}
	e[0].Place = last.row
	return append(e,
		Lead{At: last.at, Text: "the word asked for in the row", Place: last.row, Word: last.asked},
		Lead{At: last.at, Text: "the order that wrote the row", Place: last.place, Word: last.order, Origin: w.whence(last.place)})
}

// Reached are the milestones reached, in the order they were.
func (w *Watcher) Reached() []Reached { return w.reached }

// Missing are the milestones not reached, in the order of the list.
func (w *Watcher) Missing() []*Milestone {
	var all []*Milestone
	for i := range w.pending {
		all = append(all, w.pending[i].Milestone)
	}
	return all
}

// Done is whether the last milestone of the list was reached: there is nothing more to wait for.
func (w *Watcher) Done() bool {
	n := len(w.plan.Milestones)
	return n > 0 && !slices.Contains(w.Missing(), w.plan.Milestones[n-1])
}

// Sightings is what became of each chase up to the given time, in the order of the list.
func (w *Watcher) Sightings(now cpu.Time) []Sighting {
	all := make([]Sighting, len(w.spots))
	for i, s := range w.spots {
		all[i] = s.sighting(now)
		if all[i].Verdict != NotTested {
			all[i].Evidence = w.chaseEvidence(s)
		}
	}
	return all
}

// Verdict judges the run up to the given time by its milestones and chases alone: Good if every required milestone was
// reached and every chase seen; Trouble if the run reached its last milestone without; Undecided if it may yet come to it,
// be it only that a chase that moves as it should wants more laps. That a run can never come to it is for whoever knows
// why it stopped to say.
func (w *Watcher) Verdict(now cpu.Time) Verdict {
	if !w.began || len(w.plan.Milestones)+len(w.plan.Chases) == 0 {
		return NotTested
	}
	verdict := Good
	for _, m := range w.pending {
		if m.Required && m.kind != chases { // chases are asked below
			verdict = Trouble
		}
	}
	for _, s := range w.spots {
		switch g := s.sighting(now); {
		case g.Verdict == Trouble:
			verdict = Trouble
		case g.Verdict != Good && verdict == Good:
			verdict = Undecided
		}
	}
	if verdict == Trouble && !w.Done() {
		return Undecided
	}
	return verdict
}

// Whence lets it be told from now on where the word at an address came from.
func (w *Watcher) Whence(f func(memory.Addr) memory.Origin) { w.whence = f }

// Clone is a Watcher that has seen the same; told the same from here on, it says the same.
func (w *Watcher) Clone() *Watcher {
	c := *w
	c.pending, c.writers = slices.Clone(w.pending), slices.Clone(w.writers)
	c.reached = slices.Clip(w.reached)
	c.spots = make([]*spotter, len(w.spots))
	for i, s := range w.spots {
		spot := *s
		for _, t := range []*track{&spot.asked, &spot.store, &spot.lamps} {
			t.beats = slices.Clone(t.beats)
		}
		c.spots[i] = &spot
	}
	return &c
}
