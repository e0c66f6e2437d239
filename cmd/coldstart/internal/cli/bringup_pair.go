package cli

import (
	"fmt"
	"io"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
)

// A pairReport is how the two halves of a pair stand at the end, and what their on-line flip-flops came to.
type pairReport struct {
	GapPS  int64        `json:"gap_ps"`
	Halves []halfReport `json:"halves"`
	Events []lineReport `json:"line"`

	rows [][3]string // for a person
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
}

// A timerReport is a timer at the end.
type timerReport struct {
	Name   string `json:"name"`
	LeftPS int64  `json:"left_ps"` // before it runs out; -1 where it does not run
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
	r := &pairReport{GapPS: o.Code.Duplex.Gap, Events: []lineReport{}, rows: p.Rows(seconds)}
	for n := range 2 {
		h := p.Half(n)
		m := h.Machine
		s := halfReport{Name: h.Name, ClockPS: int64(p.Time(n)), Orders: m.Orders(), OnLine: p.OnLine(n), State: p.State(n), Timers: []timerReport{}}
		s.Place = addressReport{uint64(m.Place()), g.Style.Addr(m.Place(), g.AddrBits)}
		s.Driven, s.Lost = p.Outputs(n)
		for i, t := range o.Code.Timers {
			left := timerReport{t.Name, -1}
			if at := m.RunsOut(i); at != cpu.Never {
				left.LeftPS = int64(at - m.Now())
			}
			s.Timers = append(s.Timers, left)
		}
		r.Halves = append(r.Halves, s)
	}
	for _, e := range p.Events() {
		l := lineReport{int64(e.At), -1, p.Tell(e), p.Why(e.Cause), seconds(e.At)}
		if e.Until != cpu.Never {
			l.LastedPS = int64(e.Until - e.At)
		}
		r.Events = append(r.Events, l)
	}
	return r
}

// print prints A and B side by side, and what the line came to; nothing of a half alone.
func (r *pairReport) print(w io.Writer) {
	if r == nil {
		return
	}
	fmt.Fprintln(w, "\nthe pair at the end:")
	for _, row := range r.rows {
		fmt.Fprintln(w, strings.TrimRight(fmt.Sprintf("  %-20s  %-20s  %s", row[0], row[1], row[2]), " "))
	}
	var lines []string
	for _, e := range r.Events {
		lines = append(lines, fmt.Sprintf("%-12s  %s, %s", e.clock, e.What, e.Cause))
	}
	if lines == nil {
		lines = []string{"A alone, from beginning to end"}
	}
	section(w, "on the line", lines)
}
