package cli

import (
	"fmt"
	"io"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
)

// A pairReport is how the two halves of a pair stand at the end, and what their on-line flip-flops came to.
type pairReport struct {
	GapPS  int64        `json:"gap_ps"`
	Halves []halfReport `json:"halves"`
	Events []lineReport `json:"line"`
}

// A halfReport is how a half stands at the end.
type halfReport struct {
	Name    string        `json:"name"`
	ClockPS int64         `json:"clock_ps"`
	Place   addressReport `json:"place"`
	State   string        `json:"state"`
	OnLine  bool          `json:"on_line"`
	Timers  []timerReport `json:"timers"`
	Orders  int64         `json:"orders"`
	Driven  int64         `json:"outputs"`
	Lost    int64         `json:"outputs_kept_back"`

	clock string
}

// A timerReport is a timer at the end.
type timerReport struct {
	Name   string `json:"name"`
	LeftPS int64  `json:"left_ps"` // before it runs out; -1 where it does not run

	left string
}

// A lineReport is a changeover, or a time in which both halves or none were on-line.
type lineReport struct {
	ClockPS  int64  `json:"clock_ps"`
	LastedPS int64  `json:"lasted_ps"` // -1 where it was not over
	What     string `json:"what"`
	Cause    string `json:"cause"`

	clock string
}

// newPairReport puts how a pair stands into a report.
func newPairReport(o *bringup.Office, p *duplex.Pair) *pairReport {
	g := &o.Code.Geometry
	r := &pairReport{GapPS: o.Code.Duplex.Gap, Events: []lineReport{}}
	for n := range 2 {
		h := p.Half(n)
		m := h.Machine
		s := halfReport{Name: h.Name, ClockPS: int64(p.Time(n)), clock: seconds(p.Time(n)), Orders: m.Orders(), OnLine: p.OnLine(n), State: standing(p, n), Timers: []timerReport{}}
		s.Place = addressReport{uint64(m.Place()), g.Style.Addr(m.Place(), g.AddrBits)}
		s.Driven, s.Lost = p.Outputs(n)
		for i, t := range o.Code.Timers {
			left := timerReport{t.Name, -1, "at rest"}
			if at := m.RunsOut(i); at != cpu.Never {
				left.LeftPS, left.left = int64(at-m.Now()), seconds(at-m.Now())+" left"
			}
			s.Timers = append(s.Timers, left)
		}
		r.Halves = append(r.Halves, s)
	}
	for _, e := range p.Events() {
		l := lineReport{int64(e.At), -1, happened(p, e), caused(p, e.Cause), seconds(e.At)}
		if e.Until != cpu.Never {
			l.LastedPS = int64(e.Until - e.At)
		}
		r.Events = append(r.Events, l)
	}
	return r
}

// standing is what a half does at the end.
func standing(p *duplex.Pair, n int) string {
	switch m := p.Half(n).Machine; {
	case p.Dead(n):
		return "without power"
	case m.Waiting():
		return "waiting"
	case m.Halted():
		return "standing still"
	}
	return "running"
}

// happened is an event in words.
func happened(p *duplex.Pair, e duplex.Event) string {
	lasted := "until the end"
	if e.Until != cpu.Never {
		lasted = fmt.Sprintf("for %v", e.Until-e.At)
	}
	switch e.Kind {
	case duplex.Both:
		return "BOTH HALVES ON-LINE " + lasted
	case duplex.None:
		return "no half on-line " + lasted
	}
	return fmt.Sprintf("changeover to %s in %v", p.Half(e.To).Name, e.Until-e.At)
}

// caused is a cause in words.
func caused(p *duplex.Pair, c duplex.Cause) string {
	half := p.Half(c.Half).Name
	switch c.By {
	case duplex.ByKey:
		return "by the key"
	case duplex.ByOrder:
		return "by an order of " + half
	case duplex.ByTrap:
		return fmt.Sprintf("by trap %s in %s", c.Trap.Kind.Name, half)
	case duplex.ByTimer:
		return fmt.Sprintf("by trap %s in %s, of a timer", c.Trap.Kind.Name, half)
	case duplex.ByMate:
		return "by the maintenance channel of " + half
	case duplex.ByGap:
		return "at the end of the gap"
	case duplex.ByPower:
		return half + " lost its power"
	}
	return "by hand"
}

// print prints A and B side by side, and what the line came to; nothing of a half alone.
func (r *pairReport) print(w io.Writer) {
	if r == nil {
		return
	}
	row := func(what string, cell func(h *halfReport) string) {
		fmt.Fprintf(w, "  %-20s  %-20s  %s\n", what, cell(&r.Halves[0]), cell(&r.Halves[1]))
	}
	fmt.Fprintln(w, "\nthe pair at the end:")
	row("", func(h *halfReport) string { return h.Name })
	row("on-line", func(h *halfReport) string {
		if h.OnLine {
			return "yes"
		}
		return "no"
	})
	row("state", func(h *halfReport) string { return h.State })
	row("next order", func(h *halfReport) string { return h.Place.Text })
	for i := range r.Halves[0].Timers {
		row("timer "+r.Halves[0].Timers[i].Name, func(h *halfReport) string { return h.Timers[i].left })
	}
	row("clock", func(h *halfReport) string { return h.clock })
	row("orders done", func(h *halfReport) string { return fmt.Sprint(h.Orders) })
	row("gated outputs", func(h *halfReport) string { return fmt.Sprint(h.Driven) })
	row("kept back", func(h *halfReport) string { return fmt.Sprint(h.Lost) })
	var lines []string
	for _, e := range r.Events {
		lines = append(lines, fmt.Sprintf("%-12s  %s, %s", e.clock, e.What, e.Cause))
	}
	if lines == nil {
		lines = []string{"A alone, from beginning to end"}
	}
	section(w, "on the line", lines)
}
