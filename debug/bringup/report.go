package bringup

import (
	"fmt"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// An Ending says what ended a run.
type Ending uint8

// The endings there are.
const (
	Arrived  Ending = iota // the last milestone was reached
	Met                    // the condition waited for was met
	Trapped                // a trap stopped the machine
	Halted                 // the machine halted by an order
	Standing               // the machine waits for what will never come
	Endless                // the machine turns in a loop that nothing can end
	Played                 // the evening of a traffic list is over
	Limit                  // a limit was reached while the machine was still running
)

// endings are the endings in words.
var endings = [...]string{
	Arrived:  "last milestone reached",
	Met:      "condition met",
	Trapped:  "stopped by a trap",
	Halted:   "halted",
	Standing: "waiting for what never comes",
	Endless:  "in a loop that nothing can end",
	Played:   "the evening is over",
	Limit:    "limit reached, still running",
}

// String is the ending in words.
func (e Ending) String() string { return endings[e] }

// A Report says what came of a run.
type Report struct {
	Verdict    watch.Verdict
	Ending     Ending
	At         cpu.Time // when it ended
	Orders     int64
	Place      memory.Addr // of the next order
	Milestones []watch.Reached
	Missing    []*watch.Milestone
	Sightings  []watch.Sighting
	Lines      []PrintedLine
	Resumed    []Press  // the resume key pressed, in the order it was
	Stop       []string // what is to say about a run that did not come to its end: a line each
	Last       []string // the last orders of such a run, the oldest first
	Unwritten  []string // what was read before anything had written it
	Misread    []string // what came back from store otherwise than it was written
	Tape       []string // what is wrong on the tapes, then what is only worth knowing
	LookAt     []string
	ToSettle   []string
	Fills      []uint64 // of the runs made
	Swept      string   // whether runs of a pair with other clocks came to the same; "" where none was made
	Agreed     string   // whether runs with different fills came to the same; "" where one run was made

	Record *trail.Record
	Half   *duplex.Half
	Pair   *duplex.Pair // nil: the half was alone

	Evening *Evening // nil: nobody called
	Network *Network // nil: there is none

	office  *Office
	outcome string   // of the run by itself, before others were held against it
	wrong   []string // what is wrong on the tapes
	lost    bool     // some of Unwritten is where a missing block would load
	bare    bool     // some of it is not
}

// lastOrders is how many orders a report shows before a stop.
const lastOrders = 20

// report says what came of the run.
func (r *run) report(e Ending) *Report {
	m := r.half.Machine
	p := &Report{
		Ending: e, At: m.Now(), Orders: m.Orders(), Place: m.Place(), Lines: r.paper(e), Resumed: r.presses,
		Record: r.record, Half: r.half, office: r.office,
	}
	if w := r.judged().watcher; w != nil {
		p.Milestones = w.Reached()
		if r.start.Until == nil { // a run that waits for something else is not asked for the rest
			p.Missing, p.Sightings = w.Missing(), w.Sightings(m.Now())
		}
	}
	t := teller{r}
	var remarks []string
	p.wrong, remarks = t.tapes()
	p.Tape = slices.Concat(p.wrong, remarks)
	p.Unwritten, p.lost, p.bare = t.unwritten()
	p.Misread = t.misread()
	if e != Arrived && e != Met && e != Played {
		p.Stop = t.stop(e)
		p.Last = t.last()
	}
	p.Verdict = r.verdict(p)
	r.judgePair(p)
	p.Evening, p.Network = r.evening(p), r.network()
	p.judgeEvening()
	t.leads(p)
	p.outcome = p.cameTo()
	return p
}

// judged is the run whose milestones count: of a half that goes on with the calls of the other, and did not start anew, that
// of the other.
func (r *run) judged() *run {
	if r.couple == nil || r.start.Traffic == nil {
		return r
	}
	if first := r.couple.runs[0]; first.watcher != nil && first.watcher.Done() {
		return first
	}
	return r
}

// verdict judges a run. Store that does not give back what was written is trouble, whatever else went well.
func (r *run) verdict(p *Report) watch.Verdict {
	switch {
	case p.Ending == Limit:
		return watch.Undecided
	case p.Ending != Arrived && p.Ending != Met && p.Ending != Played, len(p.Misread) > 0:
		return watch.Trouble
	case p.Ending == Met, r.watcher == nil:
		return watch.Good
	}
	return r.judged().watcher.Verdict(r.half.Machine.Now())
}

// Shown is what shows that a milestone was reached, in a few words: an address, with the order that wrote it where one did,
// or a printed line.
func (p *Report) Shown(m watch.Reached) string {
	g := &p.office.Code.Geometry
	last := m.Evidence[len(m.Evidence)-1]
	switch {
	case m.Prints():
		return last.Text
	case len(m.Evidence) > 1:
		return fmt.Sprintf("%s (order %s)", g.Style.Addr(m.Evidence[0].Place, g.AddrBits), g.Style.Addr(last.Place, g.AddrBits))
	}
	return g.Style.Addr(last.Place, g.AddrBits)
}

// Awaiting names the milestone reached that waited for a chase; "" where there is none.
func (p *Report) Awaiting(c *watch.Chase) string {
	for _, m := range p.Milestones {
		if m.Awaits(c) {
			return m.Name
		}
	}
	return ""
}
