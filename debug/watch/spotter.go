package watch

import (
	"fmt"

	"coldstart/cpu"
	"coldstart/cpu/panel"
	"coldstart/memory"
)

// A spotter watches for one chase in all three views.
type spotter struct {
	chase *Chase
	asked track // by the program
	store track // as the store shows it
	lamps track

	// Where a view did not show what the one before it had, at any time.
	storeWrong, lampWrong differences
}

// differences are places where one view did not follow another.
type differences struct {
	dark, lit set // a lamp dark, lit, against the view before
	first     cpu.Time
	some      bool
}

// note adds what differs between two views.
func (d *differences) note(at cpu.Time, c *Chase, before, after set) {
	if before == after {
		return
	}
	if !d.some {
		d.some, d.first = true, at
	}
	gone, come := before&^after, after&^before
	if c.Dark {
		gone, come = come, gone
	}
	d.dark |= gone
	d.lit |= come
}

// newSpotter watches for a chase.
func newSpotter(c *Chase) *spotter {
	return &spotter{chase: c, asked: track{chase: c}, store: track{chase: c}, lamps: track{chase: c}}
}

// line takes one row as it is from now on; it tells whether the chase has just been seen.
func (s *spotter) line(at cpu.Time, l panel.Line) bool {
	c := s.chase
	if !c.has(l.Addr) {
		return false
	}
	before := s.lamps.good.steps
	for _, view := range []struct {
		track *track
		word  memory.Word
	}{{&s.asked, l.Lights(l.Asked)}, {&s.store, l.Lights(l.Seen)}, {&s.lamps, l.Lit}} {
		view.track.show(at, c.update(view.track.shown, l.Addr, view.word))
	}
	s.storeWrong.note(at, c, s.asked.shown, s.store.shown)
	s.lampWrong.note(at, c, s.store.shown, s.lamps.shown)
	return s.lamps.good.steps > 0 && before == 0
}

// A Sighting is what became of one chase.
type Sighting struct {
	Chase    *Chase
	Verdict  Verdict
	Text     string   // one phrase: what was seen, with figures
	Cause    string   // which of program, store and lamp driver it comes from, and why; "" where the chase is good
	Look     []string // what somebody can put a finger on, store and lamps only: a program's fault is where it was written
	Began    cpu.Time // of a good chase: when its first place was reached
	Seen     cpu.Time // of a good chase: when its last lap was full
	Laps     int      // full laps without a fault
	Dwell    cpu.Time // of a good chase: the mean time from place to place
	Evidence Evidence // from the lamps as they are to the order that wrote them
}

// sighting is what became of the chase up to now.
func (s *spotter) sighting(now cpu.Time) Sighting {
	found := s.lamps.find(now)
	g := Sighting{Chase: s.chase, Text: found.text, Laps: s.lamps.latest.laps(s.chase)}
	switch found.state {
	case unseen:
		return g
	case fulfilled:
		run := s.lamps.good
		g.Verdict, g.Began, g.Seen, g.Laps = Good, run.began, s.lamps.seen, run.laps(s.chase)
		g.Dwell = (run.last - run.began) / cpu.Time(run.steps)
		g.Text = fmt.Sprintf("%s, %s", s.chase.looks(g.Dwell), count(g.Laps, "full lap"))
		return g
	case moving:
		g.Verdict = Undecided
		return g
	}
	g.Verdict = Trouble
	if found.state == idle && now-s.lamps.first < cpu.Time(s.chase.Laps)*s.chase.lap() {
		g.Verdict = Undecided // it may yet begin
	}
	s.blame(&g, now, found)
	return g
}

// blame says which view went wrong first, and what to look at: it is the first that comes to something else than the one
// before it. What one view has wrong on top of that is said besides.
func (s *spotter) blame(g *Sighting, now cpu.Time, found finding) {
	c := s.chase
	store, program := s.store.find(now), s.asked.find(now)
	lamps := fmt.Sprintf("%s since %v", s.lampWrong.words(c), brief(s.lampWrong.first))
	switch {
	case store.text != found.text:
		g.Cause = "the store shows it right and the lamps do not: " + lamps
		g.Look = c.each(s.lampWrong.dark|s.lampWrong.lit, c.driver)
		g.besides(store, "in the store the chase ")
		return
	case program.text != store.text:
		g.Cause = fmt.Sprintf("the program asks for it and the store shows something else: %s since %v",
			s.storeWrong.words(c), brief(s.storeWrong.first))
		g.Look = c.each(s.storeWrong.dark|s.storeWrong.lit, c.cell)
		g.besides(program, "as the program asks for it the chase ")
	default:
		g.Cause = "the program asks for just that"
	}
	if s.lampWrong.some {
		g.Cause += "; besides, the lamps differ from the store: " + lamps
		g.Look = append(g.Look, c.each(s.lampWrong.dark|s.lampWrong.lit, c.driver)...)
	}
}

// besides says what a view behind the one to blame has wrong by itself. One that merely stopped may have stopped because
// of the fault blamed.
func (g *Sighting) besides(f finding, where string) {
	if f.state == near {
		g.Cause += "; besides, " + where + f.text
	}
}

// words words the differences.
func (d differences) words(c *Chase) string {
	switch {
	case d.lit == 0:
		return c.place(d.dark) + " dark"
	case d.dark == 0:
		return c.place(d.lit) + " lit"
	}
	return c.place(d.dark) + " dark and " + c.place(d.lit) + " lit"
}

// driver names the bit of a lamp driver that lights place i.
func (c *Chase) driver(i int) string {
	row := c.Places[i].Row
	return fmt.Sprintf("%s bit %s (lamp row %s)", row.PlugIn, c.bits[i], row.Name)
}

// cell names the store bit that holds place i, and the chip it is in where the machine file names chips.
func (c *Chase) cell(i int) string {
	text := fmt.Sprintf("store %s bit %s", c.Places[i].Row.Name, c.bits[i])
	if c.chips[i] != "" {
		text += " (" + c.chips[i] + ")"
	}
	return text
}

// each words every place of a set.
func (c *Chase) each(s set, word func(i int) string) []string {
	var all []string
	for i := range c.Places {
		if s>>i&1 == 1 {
			all = append(all, word(i))
		}
	}
	return all
}
