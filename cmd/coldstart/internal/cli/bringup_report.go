package cli

import (
	"fmt"
	"io"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A bringupReport is what bringup found.
type bringupReport struct {
	heading
	Office     string            `json:"office"`
	Machine    string            `json:"machine"`
	Ending     string            `json:"ending"`
	ClockPS    int64             `json:"clock_ps"`
	Orders     int64             `json:"orders"`
	Place      addressReport     `json:"place"`
	Milestones []milestoneReport `json:"milestones"`
	Missing    []string          `json:"missing"`
	Chases     []chaseReport     `json:"chases"`
	Printed    []printedReport   `json:"printed"`
	Registers  []registerReport  `json:"registers"`
	Resumed    []resumedReport   `json:"resumed"`
	Stop       []string          `json:"stop"`
	LastOrders []string          `json:"last_orders"`
	Misread    []string          `json:"misread"`
	Unwritten  []string          `json:"unwritten"`
	Tape       []string          `json:"tape"`
	Jams       []jamReport       `json:"jams"`
	Fills      []uint64          `json:"fills"`
	Agreed     string            `json:"fills_agree"`
	Swept      string            `json:"clocks_agree,omitempty"`
	Lamps      string            `json:"lamps"`
	Pair       *pairReport       `json:"pair,omitempty"`
	Evening    *eveningReport    `json:"evening,omitempty"`
	Network    *networkReport    `json:"network,omitempty"`

	clock string
}

// An addressReport is an address as a number and as the machine's handbook writes it.
type addressReport struct {
	Number uint64 `json:"number"`
	Text   string `json:"text"`
}

// A milestoneReport is a milestone reached.
type milestoneReport struct {
	Name     string `json:"name"`
	Sentence string `json:"sentence"`
	ClockPS  int64  `json:"clock_ps"`
	Orders   int64  `json:"orders"`
	Evidence string `json:"evidence"`

	clock string
}

// A chaseReport is what became of a chase.
type chaseReport struct {
	Name    string `json:"name"`
	Verdict string `json:"verdict"`
	Seen    string `json:"seen"`
	Cause   string `json:"cause,omitempty"`
	Laps    int    `json:"laps"`

	began     string
	milestone string // the one that waits for it
}

// A printedReport is a line that a teletypewriter printed.
type printedReport struct {
	Channel string `json:"channel"`
	ClockPS int64  `json:"clock_ps"`
	Text    string `json:"text"`
	Ended   bool   `json:"ended"` // false for a line that the machine stopped in

	// Raw are the characters of wrong parity, or with more bits than the line has, as they stand on the line.
	Raw []string `json:"wrong_on_the_line"`

	clock string
}

// A resumedReport is the resume key pressed at a halt.
type resumedReport struct {
	Halt    addressReport `json:"halt"`
	Order   string        `json:"order"`
	GoesOn  addressReport `json:"goes_on"`
	ClockPS int64         `json:"clock_ps"`
	Orders  int64         `json:"orders"`

	clock string
}

// A registerReport is what a register holds at the end.
type registerReport struct {
	Name   string `json:"name"`
	Number uint64 `json:"number"`
	Text   string `json:"text"`
	Known  bool   `json:"known"` // something has set it since power-up; else the number is the fill's
}

// A jamReport is a fault put in, and what it did.
type jamReport struct {
	Place  string `json:"place"`
	Effect string `json:"effect"`
}

// newBringupReport puts what a run came to into a report.
func newBringupReport(o *bringup.Office, r *bringup.Report, jams []jam.Jam) *bringupReport {
	g := &o.Code.Geometry
	addr := func(a memory.Addr) addressReport { return addressReport{uint64(a), g.Style.Addr(a, g.AddrBits)} }
	clock := seconds
	if o.Code.Cycle == 0 {
		clock = o.Time // it counts orders
	}
	b := &bringupReport{
		Office: o.Name, Machine: o.Code.Name, Ending: r.Ending.String(), clock: clock(r.At),
		ClockPS: int64(r.At), Orders: r.Orders, Place: addr(r.Place),
		Stop: some(r.Stop), LastOrders: some(r.Last), Misread: some(r.Misread), Unwritten: some(r.Unwritten), Tape: some(r.Tape),
		Jams: told(jams, r), Fills: r.Fills, Agreed: r.Agreed, Swept: r.Swept, Lamps: r.Half.Lamps(),
		Milestones: []milestoneReport{}, Missing: []string{}, Chases: []chaseReport{}, Printed: []printedReport{}, Registers: []registerReport{},
		Resumed: []resumedReport{},
	}
	if r.Pair != nil {
		b.Pair = newPairReport(o, r.Pair)
	}
	if r.Evening != nil {
		b.Evening = newEveningReport(o, r.Evening)
	}
	b.judge(r.Verdict)
	b.LookAt, b.ToSettle = r.LookAt, r.ToSettle
	for _, m := range r.Milestones {
		b.Milestones = append(b.Milestones, milestoneReport{m.Name, m.Sentence, int64(m.At), m.Number, r.Shown(m), clock(m.At)})
	}
	for _, m := range r.Missing {
		b.Missing = append(b.Missing, m.Sentence)
	}
	for _, s := range r.Sightings {
		b.Chases = append(b.Chases, chaseReport{s.Chase.Name, s.Verdict.String(), s.Text, s.Cause, s.Laps, clock(s.Began), r.Awaiting(s.Chase)})
	}
	for _, l := range r.Lines {
		b.Printed = append(b.Printed, printedReport{l.Channel, int64(l.At), list.Safe(l.Text()), l.Ended, some(l.Raw()), clock(l.At)})
	}
	for _, p := range r.Resumed {
		b.Resumed = append(b.Resumed, resumedReport{addr(p.Halt), p.Text, addr(p.Place), int64(p.At), p.Orders, clock(p.At)})
	}
	for _, reg := range o.Code.Registers {
		v := r.Half.Machine.Value(reg)
		b.Registers = append(b.Registers, registerReport{reg.Name, uint64(v), o.Code.Show(reg, v), r.Half.Machine.Known(reg)})
	}
	return b
}

// some gives a list that JSON shows as one, also where it is empty.
func some(lines []string) []string { return append([]string{}, lines...) }

// print prints the report for a person.
func (b *bringupReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%s, on machine %s", b.Office, b.Machine))
	if len(b.Milestones) > 0 {
		fmt.Fprintln(w)
		milestone(w, "clock", "milestone", "evidence")
	}
	for _, m := range b.Milestones {
		milestone(w, m.clock, m.Sentence, m.Evidence)
		for _, c := range b.Chases {
			if c.milestone == m.Name {
				fold(w, strings.Repeat(" ", 14), fmt.Sprintf("%s, began %s: %s", c.Verdict, c.began, c.Seen))
			}
		}
	}
	for _, m := range b.Missing {
		milestone(w, "not reached", m, "")
	}
	for _, c := range b.Chases {
		if c.Verdict != watch.Good.String() {
			fmt.Fprintln(w)
			fold(w, "", fmt.Sprintf("chase %s: %s  %s", c.Name, c.Seen, c.Verdict))
			fold(w, "  ", c.Cause)
		}
	}
	for i, l := range b.Printed {
		if i == 0 {
			fmt.Fprintln(w, "\nprinted:")
		}
		stopped := ""
		if !l.Ended {
			stopped = " (here the machine stopped)"
		}
		said := fmt.Sprintf("%-12s  %s  %s%s", l.clock, l.Channel, l.Text, stopped)
		if n := len(l.Raw); n > 0 {
			said += fmt.Sprintf(" (%s wrong on the line, the first %s)", amount(n, "character"), strings.Join(l.Raw[:min(n, mostRaw)], ", "))
		}
		fmt.Fprintln(w, list.Fold(said, strings.Repeat(" ", 16+len(l.Channel))))
	}
	var pressed []string
	for _, p := range b.Resumed {
		pressed = append(pressed, fmt.Sprintf("%-12s  at the halt %s, %s; on at %s", p.clock, p.Halt.Text, p.Order, p.GoesOn.Text))
	}
	section(w, "resume key pressed", pressed)
	if b.Lamps != "" {
		fmt.Fprintf(w, "\nlamps at the end:\n%s", b.Lamps)
	}
	b.Pair.print(w)
	b.Evening.print(w)
	b.Network.print(w)
	b.printStop(w)
}

// mostRaw is how many wrong characters of a line are shown bit for bit on paper; JSON has them all.
const mostRaw = 4

// milestone prints a line of the table of milestones; evidence that does not fit on paper beside it goes below.
func milestone(w io.Writer, clock, sentence, evidence string) {
	sentence, evidence = list.Safe(sentence), list.Safe(evidence)
	line := strings.TrimRight(fmt.Sprintf("%-12s  %-44s %s", clock, sentence, evidence), " ")
	if len(line) > list.Paper {
		line = fmt.Sprintf("%-12s  %s\n%17s%s", clock, sentence, "", evidence)
	}
	fmt.Fprintln(w, line)
}

// printStop prints what went wrong, what is doubtful, and what was put in.
func (b *bringupReport) printStop(w io.Writer) {
	section(w, "stopped", b.Stop)
	section(w, "the last orders", b.LastOrders)
	section(w, "store that gave back something else than was written", b.Misread)
	section(w, "on the tape", b.Tape)
	section(w, "read before anything wrote it", b.Unwritten)
	var put []string
	for _, j := range b.Jams {
		put = append(put, j.Place+": "+j.Effect)
	}
	section(w, "faults put in", put)
	fmt.Fprintf(w, "\n%s at %s, %s\n", b.Ending, b.clock, amount(int(b.Orders), "order"))
	fold(w, "", b.Agreed)
	fold(w, "", b.Swept)
}

// mostInSection is how many lines of a kind a report prints: all of the last orders, and of a tape that is bad throughout
// enough to see it. JSON has them all.
const mostInSection = 20

// section prints lines under a title, the first of many; nothing where there are none.
func section(w io.Writer, title string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s:\n", title)
	for _, l := range lines[:min(len(lines), mostInSection)] {
		fold(w, "  ", l)
	}
	if more := len(lines) - mostInSection; more > 0 {
		fmt.Fprintf(w, "  and %d more, which --json lists\n", more)
	}
}

// seconds is a time as a table shows it: in seconds, to the hundredth of a millisecond.
func seconds(t cpu.Time) string {
	const unit = 10 * cpu.Microsecond
	n := (t + unit/2) / unit
	return fmt.Sprintf("%d.%05d s", n/100_000, n%100_000)
}
