package bringup

import (
	"context"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// Limits bound a run: whichever is reached first ends it. A zero limit is the default.
type Limits struct {
	Time   cpu.Time
	Orders int64
}

// The limits of a run that states none.
const (
	DefaultTime   = 120 * cpu.Second
	DefaultOrders = 100_000_000
)

// A Start says how a half is set going, and what ends its run besides the office's last milestone.
type Start struct {
	Fill    uint64
	Direct  bool             // place tape blocks in store by the load map instead of having them read in
	At      *memory.Addr     // where to start; nil: where the boot rule says
	Until   *watch.Condition // nil: the last milestone
	Limits  Limits
	Prepare func(*duplex.Half) error // done before power comes up; nil: nothing
}

// slice is how many orders are taken between two looks at whether the run can still come to anything.
const slice = 1 << 16

// A run is one half on its way.
type run struct {
	office  *Office
	start   Start
	half    *duplex.Half
	record  *trail.Record
	watcher *watch.Watcher // nil: nothing is expected
	printed map[*channel.Teletypewriter]int
	sent    []PrintedLine // their end has been sent, and not yet printed
	lines   []PrintedLine
	met     bool
}

// A PrintedLine is a line of a teletypewriter that has ended.
type PrintedLine struct {
	Channel string
	channel.Line
}

// Run brings a half of the office up and says what came of it. The error means that it could not be set going.
func (o *Office) Run(ctx context.Context, s Start) (*Report, error) {
	half, err := o.Half("A", s.Fill)
	if err != nil {
		return nil, err
	}
	if s.Direct {
		if err := half.Store.Load(o.Image); err != nil {
			return nil, err
		}
	}
	if s.Prepare != nil {
		if err := s.Prepare(half); err != nil {
			return nil, err
		}
	}
	r := &run{office: o, start: s, half: half, record: trail.New(o.Code, s.stood(o)), printed: map[*channel.Teletypewriter]int{}}
	if o.Plan != nil && s.Until == nil {
		r.watcher = watch.New(o.Plan, func(a memory.Addr) memory.Origin { return r.record.Whence(a).Origin })
	}
	m := half.Machine
	m.Observe(r)
	m.Boot()
	if s.At != nil {
		m.Set(o.Code.Counter, memory.Word(*s.At))
	}
	ending, err := r.takeOrders(ctx)
	if err != nil {
		return nil, err
	}
	return r.report(ending), nil
}

// stood is what stands in store at power-up.
func (s Start) stood(o *Office) *memory.Image {
	if s.Direct {
		return o.Image
	}
	return o.Wired
}

// takeOrders takes orders until something ends the run.
func (r *run) takeOrders(ctx context.Context) (Ending, error) {
	m, l := r.half.Machine, r.start.limits()
	for {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		m.Run(min(slice, l.Orders-m.Orders()), l.Time)
		switch {
		case r.met:
			return Met, nil
		case r.watcher != nil && r.watcher.Done():
			return Arrived, nil
		case m.Halted() && m.Waiting():
			return Standing, nil
		case m.Halted() && r.trapped():
			return Trapped, nil
		case m.Halted():
			return Halted, nil
		case m.Now() >= l.Time || m.Orders() >= l.Orders:
			return Limit, nil
		case r.endless():
			return Endless, nil
		}
	}
}

// limits are the limits of the run, the defaults where none are stated.
func (s Start) limits() Limits {
	l := s.Limits
	if l.Time == 0 {
		l.Time = DefaultTime
	}
	if l.Orders == 0 {
		l.Orders = DefaultOrders
	}
	return l
}

// trapped tells whether the last order ended in a trap.
func (r *run) trapped() bool {
	last := r.record.Last(1)
	return len(last) == 1 && last[0].Trap != nil
}

// Observe follows the run: the record, the milestones, lamp rows and printed lines.
func (r *run) Observe(s *cpu.Step) {
	r.record.Observe(s)
	if len(r.sent) > 0 {
		r.print(s.At)
	}
	if r.watcher != nil {
		r.watch(s)
	}
	if len(s.Exchanges) > 0 {
		r.hear(s)
	}
	if r.start.Until != nil && r.start.Until.Holds(r.half) {
		r.met = true
		r.half.Machine.Pause()
	}
}

// watch shows a step to the watcher.
func (r *run) watch(s *cpu.Step) {
	r.watcher.Observe(s)
	if len(s.Writes) > 0 && r.half.Asked(s) {
		for i := range s.Writes {
			if row, ok := r.half.Panel.Row(s.Writes[i].Addr); ok {
				r.watcher.Lamps(s.At, r.half.Line(row))
			}
		}
	}
	if r.watcher.Done() {
		r.half.Machine.Pause()
	}
}

// hear takes in lines that a teletypewriter has been sent the end of.
func (r *run) hear(s *cpu.Step) {
	for i := range s.Exchanges {
		a := s.Exchanges[i].Action
		if a.Verb != cpu.Send {
			continue
		}
		t, ok := r.half.Rack.Device(a.Code).(*channel.Teletypewriter)
		if !ok {
			continue
		}
		for n := r.printed[t]; n < t.Len() && t.Line(n).Ended; n++ {
			r.printed[t]++
			r.sent = append(r.sent, PrintedLine{r.channel(a.Code), t.Line(n)})
		}
	}
}

// print takes lines off the paper whose last character has been printed by now.
func (r *run) print(now cpu.Time) {
	for len(r.sent) > 0 && r.sent[0].Done <= now {
		l := r.sent[0]
		r.sent = r.sent[1:]
		r.lines = append(r.lines, l)
		if r.watcher != nil {
			r.watcher.Printed(l.Done, l.Text())
		}
	}
}

// channel is the name of a channel code.
func (r *run) channel(code int) string {
	for _, ch := range r.office.Code.Channels {
		if ch.Code == code {
			return ch.Name
		}
	}
	return ""
}

// endless tells whether the machine turns in a loop that nothing can end: it writes nothing and takes nothing in, no timer
// runs, no channel it looks at will change, and a turn leaves every register as it was.
func (r *run) endless() bool {
	turn := r.record.Turn()
	if turn == nil || r.half.Machine.Deadline() != cpu.Never || slices.ContainsFunc(turn, r.moves) {
		return false
	}
	before := r.registers()
	r.half.Machine.Run(int64(len(turn)), cpu.Never)
	return slices.Equal(before, r.registers())
}

// moves tells whether an order of a turn changes something outside the registers, or may be answered otherwise next time.
func (r *run) moves(e trail.Entry) bool {
	if e.Wrote || !e.Asked {
		return e.Wrote
	}
	a := e.Exchange.Action
	d := r.half.Rack.Device(a.Code)
	return a.Verb != cpu.Sign || d != nil && d.Next(r.half.Machine.Now()) != cpu.Never
}

// registers are what all registers hold.
func (r *run) registers() []memory.Word {
	var all []memory.Word
	for _, reg := range r.office.Code.Registers {
		all = append(all, r.half.Machine.Value(reg))
	}
	return all
}
