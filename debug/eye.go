package debug

import (
	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
)

// An eye is shown every order of the half: it keeps the record and the milestones, hears the teletypewriters, and pauses
// the machine where a run is to end.
type eye struct {
	session *Session
	half    *duplex.Half
	record  *trail.Record
	watcher *watch.Watcher
	papers  []paper
	sent    []line // their end was sent, and they are not printed yet
	reached int    // milestones told of

	// Of the run in hand.
	shown bool             // each order is printed
	shows func(*cpu.Step)  // is shown each order too; nil: nothing
	until *watch.Condition // nil: none
	goal  goal
	why   string // why the run is to end; "" where nothing ends it
}

// A paper is how many lines of the teletypewriter at a channel were heard.
type paper struct {
	code  int
	lines int
}

// A line is a line sent to a teletypewriter.
type line struct {
	from string // the channel
	channel.Line
}

// Observe takes note of an order done. It is called for each of millions, so what is rare is looked for by what every step
// shows at once.
func (e *eye) Observe(s *cpu.Step) {
	e.record.Observe(s)
	e.watcher.Observe(s)
	if len(s.Writes) > 0 && e.half.Asked(s) {
		e.rows(s)
	}
	if len(e.sent) > 0 {
		e.print(s.At)
	}
	if len(s.Exchanges) > 0 {
		e.hear(s)
	}
	if e.shows != nil {
		e.shows(s)
	}
	if e.shown {
		e.session.showStep(s)
	}
	if len(e.session.pegs) > 0 && !e.session.replaying {
		e.peg()
	}
	if n := len(e.watcher.Reached()); n > e.reached {
		e.tell(n)
	}
	switch {
	case e.why != "" && !e.session.replaying:
		e.session.pause()
	case s.Trap != nil:
		e.end(e.session.trapText(s.Trap))
	case len(e.session.holds) > 0 && !s.Waiting && !e.session.replaying:
		e.atHold(s)
	}
	if e.until != nil && e.why == "" && e.until.Holds(e.half) {
		e.end("met: " + e.until.String())
	}
}

// end lets the run end, and says why.
func (e *eye) end(why string) {
	e.why = why
	if !e.session.replaying {
		e.session.pause()
	}
}

// atHold ends the run where a hold stops it.
func (e *eye) atHold(step *cpu.Step) {
	for i := range e.session.holds {
		if h := &e.session.holds[i]; h.comes(e.half, step) {
			h.met++
			if e.why == "" {
				e.end(e.session.holdText(h))
			}
		}
	}
}

// rows tells of the lamp rows that an order wrote.
func (e *eye) rows(s *cpu.Step) {
	for i := range s.Writes {
		if row, ok := e.half.Panel.Row(s.Writes[i].Addr); ok {
			e.watcher.Lamps(s.At, e.half.Line(row))
		}
	}
	if e.goal.chased(e.watcher, s.Done) {
		e.end("the chase is seen")
	}
}

// lamps tells of every lamp row as it is now: power came up, or a person altered something.
func (e *eye) lamps() {
	for _, row := range e.half.Panel.Rows() {
		e.watcher.Lamps(e.half.Machine.Now(), e.half.Line(row))
	}
}

// print shows the lines whose last character is on the paper by now.
func (e *eye) print(now cpu.Time) {
	for len(e.sent) > 0 && e.sent[0].Done <= now {
		l := e.sent[0]
		e.sent = e.sent[1:]
		e.session.say("%s prints: %s", l.from, l.Text())
		e.watcher.Printed(l.Done, l.Text())
	}
}

// hear takes note of the lines that teletypewriters have been sent the end of.
func (e *eye) hear(s *cpu.Step) {
	if e.session.pair != nil && e.half.Value(e.session.code.Duplex.OnLine) == 0 {
		e.papers = nil // what it sends goes nowhere
		return
	}
	for i := range s.Exchanges {
		a := s.Exchanges[i].Action
		if a.Verb != cpu.Send {
			continue
		}
		t, ok := e.half.Rack.Device(a.Code).(*channel.Teletypewriter)
		if !ok {
			continue
		}
		for p := e.paper(a.Code, t); p.lines < t.Len() && t.Line(p.lines).Ended; p.lines++ {
			e.sent = append(e.sent, line{e.session.channel(a.Code), t.Line(p.lines)})
		}
	}
}

// paper is how much of a teletypewriter was heard.
func (e *eye) paper(code int, t *channel.Teletypewriter) *paper {
	for i := range e.papers {
		if e.papers[i].code == code {
			return &e.papers[i]
		}
	}
	e.papers = append(e.papers, paper{code: code, lines: max(0, t.Len()-1)})
	return &e.papers[len(e.papers)-1]
}

// tell prints the milestones reached up to n, and ends a run that waits for one of them.
func (e *eye) tell(n int) {
	for _, r := range e.watcher.Reached()[e.reached:n] {
		e.half.Reach(r.Name)
		e.session.say("%s  %s%s", e.session.time(r.At), e.session.whose(e), r.Sentence)
		if r.Milestone == e.goal.milestone {
			e.end("reached: " + r.Name)
		}
	}
	e.reached = n
}
