package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"coldstart/cpu"
	"coldstart/cpu/channel/plant"
	"coldstart/debug/bringup"
	"coldstart/loader/list"
)

// evening reads a traffic list; "" is none. The training office's own lies beside it.
func (s *startOption) evening(o *bringup.Office, name string) (*plant.Traffic, error) {
	if name == "" {
		return nil, nil
	}
	read := s.office.env.read
	if f := s.office.found; f != nil && f.files != nil {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			read = f.read
		}
	}
	src, err := read(name)
	if err != nil {
		return nil, err
	}
	return o.Traffic(name, src)
}

// An eveningReport is what came of a traffic list.
type eveningReport struct {
	Counts   []countReport    `json:"counts"`
	Calls    []callReport     `json:"calls"`
	Expected []expectedReport `json:"expected"`

	program bool
	typed   []string
}

// A countReport is one thing counted three times over.
type countReport struct {
	What    string `json:"calls"`
	Lived   int    `json:"people"`
	Network int    `json:"network"`
	Program *int   `json:"program"` // null where the office list does not say where the program counts
}

// A callReport is a call of the list, and what came of it.
type callReport struct {
	ClockPS int64  `json:"clock_ps"`
	From    string `json:"from"`
	Digits  string `json:"digits"`
	Outcome string `json:"outcome"`
}

// An expectedReport is text that should have been printed.
type expectedReport struct {
	Channel   string `json:"channel"`
	Text      string `json:"text"`
	BeforePS  int64  `json:"before_ps"`
	PrintedPS int64  `json:"printed_ps"` // -1 where it was not

	said string
}

// newEveningReport puts an evening into a report.
func newEveningReport(o *bringup.Office, e *bringup.Evening) *eveningReport {
	r := &eveningReport{program: e.Program != nil, Calls: []callReport{}, Expected: []expectedReport{}}
	for _, row := range e.Rows() {
		c := countReport{What: row.Name, Lived: row.Lived, Network: row.Network}
		if r.program {
			c.Program = &row.Program
		}
		r.Counts = append(r.Counts, c)
	}
	for i := range e.Calls {
		c := &e.Calls[i]
		r.Calls = append(r.Calls, callReport{int64(c.At), c.Name, c.Digits, e.Outcomes[i].String()})
	}
	for _, t := range e.Typed {
		r.typed = append(r.typed, fmt.Sprintf("%-12s  %s  %s", seconds(t.At), t.Channel, list.Safe(t.Text)))
	}
	for _, x := range e.Expected {
		p := expectedReport{Channel: x.Channel.Text, Text: x.Text, BeforePS: int64(x.Before), PrintedPS: int64(x.Printed)}
		p.said = fmt.Sprintf("%-12s  %s  %q, as expected before %s", seconds(x.Printed), p.Channel, x.Text, o.Time(x.Before))
		switch {
		case x.Printed == cpu.Never:
			p.PrintedPS = -1
			p.said = fmt.Sprintf("%-12s  %s  %q, expected before %s", "never", p.Channel, x.Text, o.Time(x.Before))
		case x.Printed > x.Before:
			p.said = fmt.Sprintf("%-12s  %s  %q, too late: expected before %s", seconds(x.Printed), p.Channel, x.Text, o.Time(x.Before))
		}
		r.Expected = append(r.Expected, p)
	}
	return r
}

// print prints the evening; nothing where there was none.
func (r *eveningReport) print(w io.Writer) {
	if r == nil {
		return
	}
	section(w, "typed", r.typed)
	fmt.Fprintf(w, "\ncalls counted by  people  network  program\n")
	for _, c := range r.Counts {
		program := "-"
		if c.Program != nil {
			program = fmt.Sprint(*c.Program)
		}
		fmt.Fprintf(w, "  %-14s %7d  %7d  %7s\n", c.What, c.Lived, c.Network, program)
	}
	counts := map[string]int{}
	var order []string
	for _, c := range r.Calls {
		if counts[c.Outcome]++; counts[c.Outcome] == 1 {
			order = append(order, c.Outcome)
		}
	}
	said := fmt.Sprintf("%s on the list", amount(len(r.Calls), "call"))
	for i, o := range order {
		said += fmt.Sprintf("%s %d %s", [...]string{":", ","}[min(i, 1)], counts[o], o)
	}
	fold(w, "  ", said)
	var printed []string
	for _, x := range r.Expected {
		printed = append(printed, x.said)
	}
	section(w, "expected on paper", printed)
}
