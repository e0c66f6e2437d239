package bringup

import (
	"context"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/duplex"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// Limits bound a run: whichever is reached first ends it. Zero is a limit not stated: where neither is, the defaults hold;
// where one is, it rules alone.
type Limits struct {
	Time   cpu.Time
	Orders int64
}

// The limits of a run that states none.
const (
	DefaultTime   = 120 * cpu.Second
	DefaultOrders = 20_000_000
)

// A Start says how a half is set going, and what ends its run besides the office's last milestone.
type Start struct {
	Fill    uint64
	Direct  bool             // place tape blocks in store by the load map instead of having them read in
	At      *memory.Addr     // where to start; nil: where the boot rule says
	Until   *watch.Condition // nil: the last milestone
	Limits  Limits
	Resume  int                      // how often the resume key is pressed at halts; a trap that stops the machine ends the run all the same
	Traffic *plant.Traffic           // an evening; the run goes on until it is over, instead of to the last milestone
	Pair    bool                     // bring A up with B on standby; the last milestone is then that of the half on-line
	Keys    []cpu.Time               // when the changeover key of a pair is pressed
	Skew    duplex.Clock             // of B in a pair
	Prepare func(*duplex.Half) error // done to each half before power comes up; nil: nothing

	brief bool // nobody asks what the run did on the way

	// Typed gives the command line by which a person starts another command from the same, for what a report advises; nil
	// gives the command alone.
	Typed func(command string) string
}

// typed is the command line that starts another command from what this run started from.
func (s Start) typed(command string) string {
	if s.Typed == nil {
		return "coldstart " + command
	}
	return s.Typed(command)
}

// slice is how many orders are taken between two looks at whether the run can still come to anything.
const slice = 1 << 16

// A run is one half on its way.
type run struct {
	office  *Office
	start   Start
	half    *duplex.Half
	limits  Limits
	record  *trail.Record
	watcher *watch.Watcher // nil: nothing is expected
	printed map[*channel.Teletypewriter]int
	sent    []PrintedLine // their end has been sent, and not yet printed
	lines   []PrintedLine
	met     bool
	told    int // milestones that the half was told of
	presses []Press
	couple  *pairRun // nil: the half is alone
	pause   func()   // lets the run end after the order acting
	standby int      // pulses that a half asked for while it was not on-line
}

// A PrintedLine is a line of a teletypewriter; it may not have ended when the machine stopped.
type PrintedLine struct {
	Channel string
	channel.Line
}

// Run brings a half of the office up and says what came of it. The error means that it could not be set going.
func (o *Office) Run(ctx context.Context, s Start) (*Report, error) {
	if s.Pair {
		return o.runPair(ctx, s)
	}
	half, err := o.Half("A", s.Fill)
	if err != nil {
		return nil, err
	}
	o.Play(s.Traffic, half)
	r, err := o.begin(s, half)
	if err != nil {
		return nil, err
	}
	r.pause = half.Machine.Pause
	half.Machine.Boot()
	r.point()
	ending, err := r.takeOrders(ctx)
	if err != nil {
		return nil, err
	}
	return r.report(ending), nil
}

// begin readies a half to be followed.
func (o *Office) begin(s Start, half *duplex.Half) (*run, error) {
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
	r := &run{
		office: o, start: s, half: half, limits: s.bounds(o.Code.Cycle),
		record: trail.New(o.Code, s.stood(o)), printed: map[*channel.Teletypewriter]int{},
	}
	if s.brief {
		r.record.Brief()
	}
	if o.Plan != nil {
		r.watcher = watch.New(o.Plan, func(a memory.Addr) memory.Origin { return r.record.Whence(a).Origin })
		for _, row := range half.Panel.Rows() {
			r.watcher.Lamps(0, half.Line(row))
		}
	}
	half.Machine.Observe(r)
	return r, nil
}

// point lets the half begin where the start says, if it says so.
func (r *run) point() {
	if r.start.At != nil {
		r.half.Machine.Set(r.office.Code.Counter, memory.Word(*r.start.At))
	}
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
	m := r.half.Machine
	for {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		m.Run(min(slice, r.limits.Orders-m.Orders()), r.limits.Time)
		e, ended := r.ended()
		if !ended {
			endless := r.endless()
			if e, ended = r.ended(); !ended && endless { // to find out, it took a few orders more
				return Endless, nil
			}
		}
		if ended && (e != Halted || !r.press()) {
			return e, nil
		}
	}
}

// ended tells whether the orders taken so far ended the run, and how.
func (r *run) ended() (Ending, bool) {
	m := r.half.Machine
	switch {
	case r.met:
		return Met, true
	case r.arrived():
		return Arrived, true
	case r.played():
		return Played, true
	case m.Halted() && m.Waiting():
		return Standing, true
	case m.Halted() && r.trapped():
		return Trapped, true
	case m.Halted():
		return Halted, true
	case m.Now() >= r.limits.Time || m.Orders() >= r.limits.Orders:
		return Limit, true
	}
	return 0, false
}

// arrived tells whether the last milestone ends the run and was reached. A run that waits for a condition goes on.
func (r *run) arrived() bool {
	return r.watcher != nil && r.start.Until == nil && r.start.Traffic == nil && r.watcher.Done()
}

// bounds are the limits of a run on a machine with so many picoseconds a cycle; an evening may last as long as it is.
func (s Start) bounds(cycle int64) Limits {
	if s.Traffic != nil && s.Limits == (Limits{}) {
		return Limits{Time: max(DefaultTime, s.Traffic.Last()+afterwards)}.bounds(cycle)
	}
	return s.Limits.bounds(cycle)
}

// bounds are the limits that hold for a machine with so many picoseconds a cycle, 0 for one without a clock.
func (l Limits) bounds(cycle int64) Limits {
	switch {
	case l == Limits{} && cycle == 0:
		return Limits{cpu.Never, DefaultOrders} // its times count orders
	case l == Limits{}:
		return Limits{DefaultTime, DefaultOrders}
	case l.Time == 0:
		l.Time = cpu.Never
	case l.Orders == 0:
		// Orders that cost nothing would not let the time be reached: there must be a bound to those too.
		l.Orders = DefaultOrders
		if cycle > 0 {
			l.Orders = max(l.Orders, int64(l.Time)/cycle+1)
		}
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
	r.tell()
	if r.start.Until != nil && r.start.Until.Holds(r.half) {
		r.met = true
		r.pause()
	}
}

// tell tells the half which milestones were reached.
func (r *run) tell() {
	if r.watcher == nil {
		return
	}
	for reached := r.watcher.Reached(); r.told < len(reached); r.told++ {
		r.half.Reach(reached[r.told].Name)
	}
}

// watch shows a step to the watcher.
func (r *run) watch(s *cpu.Step) {
	before := len(r.watcher.Reached())
	r.watcher.Observe(s)
	if len(s.Writes) > 0 && r.half.Asked(s) {
		for i := range s.Writes {
			if row, ok := r.half.Panel.Row(s.Writes[i].Addr); ok {
				r.watcher.Lamps(s.At, r.half.Line(row))
			}
		}
	}
	if len(r.watcher.Reached()) > before && r.arrived() {
		r.pause()
	}
}

// hear takes in lines that a teletypewriter has been sent the end of.
func (r *run) hear(s *cpu.Step) {
	if r.couple != nil && r.half.Value(r.office.Code.Duplex.OnLine) == 0 {
		clear(r.printed) // what it sends goes nowhere
		return
	}
	for i := range s.Exchanges {
		a := s.Exchanges[i].Action
		if a.Verb != cpu.Send {
			continue
		}
		t, ok := r.half.Rack.Device(a.Code).(*channel.Teletypewriter)
		if !ok {
			continue
		}
		if _, heard := r.printed[t]; !heard { // what another half printed before is not its own
			r.printed[t] = max(0, t.Len()-1)
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
		if r.watcher == nil {
			continue
		}
		if r.watcher.Printed(l.Done, l.Text()); r.arrived() {
			r.pause()
		}
	}
}

// paper gives the lines printed. Of a machine that stopped, it gives those in the printer too: a teletypewriter needs no
// machine to finish what it was sent, and half a line may say most.
func (r *run) paper(e Ending) []PrintedLine {
	if e == Arrived || e == Met || e == Limit {
		return r.lines
	}
	all := append(r.lines[:len(r.lines):len(r.lines)], r.sent...)
	for _, ch := range r.office.Code.Channels {
		t, ok := r.half.Rack.Device(ch.Code).(*channel.Teletypewriter)
		if !ok || t.Len() == 0 {
			continue
		}
		if last := t.Line(t.Len() - 1); !last.Ended && last.Text() != "" {
			all = append(all, PrintedLine{ch.Name, last})
		}
	}
	return all
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
// runs, no channel it looks at will change, and a turn leaves every register as it was. It takes a turn to find out.
func (r *run) endless() bool {
	turn := r.record.Turn()
	if turn == nil || r.half.Machine.Deadline() != cpu.Never || slices.ContainsFunc(turn, r.moves) {
		return false
	}
	if r.limits.Orders-r.half.Machine.Orders() < int64(len(turn)) {
		return false
	}
	before := r.registers()
	r.half.Machine.Run(int64(len(turn)), cpu.Never)
	return slices.Equal(before, r.registers())
}

// moves tells whether an order of a turn changes something outside the registers, or may be answered otherwise next time.
func (r *run) moves(e trail.Entry) bool {
	if e.Wrote || e.Others || !e.Asked {
		return e.Wrote || e.Others // of several questions only the last is remembered
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
