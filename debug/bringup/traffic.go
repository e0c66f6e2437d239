package bringup

import (
	"errors"
	"fmt"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/duplex"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/memory"
)

// Exchange tells whether an exchange stands around the machine.
func (o *Office) Exchange() bool {
	return slices.ContainsFunc(o.devices, func(r list.Record) bool { return slices.Contains(plant.Kinds, r.Args()[1].Text) })
}

// Traffic reads a traffic list for the exchange of the office.
func (o *Office) Traffic(name string, src []byte) (*plant.Traffic, error) {
	rack, err := o.rack()
	if err != nil {
		return nil, err
	}
	x := plant.Of(rack)
	if x == nil {
		return nil, errors.New("the office has no exchange around its machine, so nobody can call; its office list needs a line `device CHANNEL pulser`")
	}
	t, err := plant.ReadTraffic(name, src, x.Spec(), o.Code.Geometry.Style)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	for _, typed := range t.Typed {
		if tty := o.typewriter(&errs, rack, typed.Channel); tty != nil {
			if err := tty.Type(typed.Text, typed.At); err != nil { // to see whether it can be
				errs.Add(typed.Channel.Pos, "%v; it cannot be typed there", err)
			}
		}
	}
	for _, e := range t.Expected {
		o.typewriter(&errs, rack, e.Channel)
	}
	return t, errs.Err()
}

// typewriter is the teletypewriter at a channel; where there is none that is noted.
func (o *Office) typewriter(errs *list.Errors, rack *channel.Rack, name list.Word) *channel.Teletypewriter {
	ch := o.Code.Channel(name.Text)
	if ch == nil {
		errs.Add(name.Pos, "%s", list.Unknown("channel", name.Text, channelNames(o.Code)))
		return nil
	}
	t, ok := rack.Device(ch.Code).(*channel.Teletypewriter)
	if !ok {
		errs.Add(name.Pos, "there is no teletypewriter at channel %s", name.Text)
	}
	return t
}

// Play lets an evening, nil for none, begin around a half of the office, whose power is off.
func (o *Office) Play(t *plant.Traffic, h *duplex.Half) {
	if t == nil {
		return
	}
	plant.Of(h.Rack).Play(t)
	var errs list.Errors // Traffic has found none
	for _, typed := range t.Typed {
		o.typewriter(&errs, h.Rack, typed.Channel).Type(typed.Text, typed.At)
	}
}

// afterwards is how long a run with a traffic list goes on at most behind the last time in it, where no limit is stated.
const afterwards = 60 * cpu.Second

// played tells whether the evening is over: everybody has hung up, and what is expected is overdue or there.
func (r *run) played() bool {
	t := r.start.Traffic
	if t == nil {
		return false
	}
	now := r.half.Machine.Now()
	return now >= t.Last() && plant.Of(r.half.Rack).Over(now)
}

// An Evening is what came of a traffic list.
type Evening struct {
	Lived, Network plant.Counts
	Program        *plant.Counts // nil where the office list does not say where the program counts
	Calls          []plant.Call
	Outcomes       []plant.Outcome
	Typed          []TypedLine
	Expected       []Expectation
}

// A TypedLine is a line typed at a channel.
type TypedLine struct {
	Channel string
	plant.Typed
}

// An Expectation is text that was expected, and when its line was printed; cpu.Never where it was not.
type Expectation struct {
	plant.Expected
	Printed cpu.Time
}

// evening is what came of the traffic list of a run; nil where it had none.
func (r *run) evening(p *Report) *Evening {
	t := r.start.Traffic
	if t == nil {
		return nil
	}
	x, now := plant.Of(r.half.Rack), r.half.Machine.Now()
	e := &Evening{Calls: t.Calls, Outcomes: x.Outcomes(now)}
	e.Lived, e.Network = x.Counts(now)
	e.Program = r.pegs()
	for _, typed := range t.Typed {
		e.Typed = append(e.Typed, TypedLine{typed.Channel.Text, typed})
	}
	var errs list.Errors
	for _, want := range t.Expected {
		e.Expected = append(e.Expected, Expectation{want, r.office.typewriter(&errs, r.half.Rack, want.Channel).Printed(want.Text)})
	}
	return e
}

// pegs are the calls as the program counted them; nil where nobody says where.
func (r *run) pegs() *plant.Counts {
	c := r.office.Counts
	if len(c) == 0 {
		return nil
	}
	peg := func(name string) int {
		if a, ok := c[name]; ok {
			return int(r.half.Seen(a))
		}
		return 0
	}
	return &plant.Counts{Offered: peg("offered"), SetUp: peg("set-up"), Answered: peg("answered"), Released: peg("released")}
}

// judgeEvening lets a run be trouble whose counts do not agree, or that did not print what was expected.
func (p *Report) judgeEvening() {
	e := p.Evening
	if e == nil {
		return
	}
	agree := true
	for _, row := range e.Rows() {
		if row.Lived != row.Network || e.Program != nil && row.Program != row.Network {
			p.Verdict, agree = watch.Trouble, false
			p.LookAt = append(p.LookAt, row.says(e.Program != nil))
		}
	}
	if !agree {
		p.ToSettle = append(p.ToSettle, "see which paths were left, and what the program's map says: the same command with --network")
	}
	for _, want := range e.Expected {
		if want.Printed > want.Before {
			p.Verdict = watch.Trouble
			p.LookAt = append(p.LookAt, fmt.Sprintf("%s, which did not print %q before %s", want.Channel.Text, want.Text, p.office.Time(want.Before)))
		}
	}
}

// A CountRow is one thing counted, three times over.
type CountRow struct {
	Name                    string
	Lived, Network, Program int
}

// Rows are what was counted, in the order of a call.
func (e *Evening) Rows() []CountRow {
	var of plant.Counts
	if e.Program != nil {
		of = *e.Program
	}
	return []CountRow{
		{"offered", e.Lived.Offered, e.Network.Offered, of.Offered},
		{"set up", e.Lived.SetUp, e.Network.SetUp, of.SetUp},
		{"answered", e.Lived.Answered, e.Network.Answered, of.Answered},
		{"released", e.Lived.Released, e.Network.Released, of.Released},
	}
}

// says is a row that does not agree, in a phrase.
func (c CountRow) says(program bool) string {
	s := fmt.Sprintf("calls %s: people lived %d, the network shows %d", c.Name, c.Lived, c.Network)
	if program {
		s += fmt.Sprintf(", the program counts %d", c.Program)
	}
	return s
}

// counts reads where the program keeps its pegs.
func (r *reading) counts() error {
	var errs list.Errors
	g := &r.office.Code.Geometry
	for _, c := range r.names.Counts {
		n, err := g.Style.Parse(c.At.Text)
		switch a := memory.Addr(n); {
		case err != nil:
			errs.Add(c.At.Pos, "%v; an address of store belongs here", err)
		case g.Area(a) == nil:
			errs.Add(c.At.Pos, "there is no store at %s", c.At.Text)
		default:
			if r.office.Counts == nil {
				r.office.Counts = map[string]memory.Addr{}
			}
			r.office.Counts[c.What] = a
		}
	}
	return errs.Err()
}
