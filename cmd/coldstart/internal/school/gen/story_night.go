package main

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/loader"
	"coldstart/memory"
	"coldstart/memory/overlay"
)

// The fault of story 4, and when it begins: nothing else of that night is made up.
const (
	nightCell = "ST2 U08 @024107 = 1"
	nightJam  = nightCell + ", from milestone changed"
	nightAt   = memory.Addr(0o24107)
)

// changedMilestone is what the story's own chase list knows besides.
const changedMilestone = `milestone changed           prints "LINE 017 CLASS 3 DONE" "a change of office data confirmed"` + "\n"

// night is story 4: one cell of A goes bad in the middle of an evening. The dump comes from that run, and so does all else.
func night(t *teller) (string, []file, error) {
	chase, err := t.open(chaseFile)
	if err != nil {
		return "", nil, err
	}
	chase = bytes.Replace(chase, []byte("milestone held"), []byte(changedMilestone+"milestone held"), 1)
	office, err := bringup.Open(func(name string) ([]byte, error) {
		if name == chaseFile {
			return chase, nil
		}
		return t.open(name)
	}, officeFile)
	if err != nil {
		return "", nil, err
	}
	r, err := t.play(office)
	if err != nil {
		return "", nil, err
	}
	a := r.Pair.Half(0)
	dump := overlay.Of(office.Code.Geometry, a.Store)
	var words bytes.Buffer
	if err := loader.WriteDump(&words, dump, office.Code.Geometry); err != nil {
		return "", nil, err
	}
	answer, err := t.nightAnswer(r, overlay.Lay(office.Code.Geometry, office.Image, dump, office.Areas.Parts()))
	if err != nil {
		return "", nil, err
	}
	list, err := t.open(eveningFile)
	if err != nil {
		return "", nil, err
	}
	return answer, []file{
		{chaseFile, chase}, {eveningFile, list}, {"crash.words", words.Bytes()}, {"bay.txt", []byte(t.nightBay(r))},
	}, nil
}

// play plays the evening on a pair whose half A has the fault.
func (t *teller) play(office *bringup.Office) (*bringup.Report, error) {
	list, err := t.open(eveningFile)
	if err != nil {
		return nil, err
	}
	traffic, err := office.Traffic(eveningFile, list)
	if err != nil {
		return nil, err
	}
	j, err := jam.Parse(office.Code, nightJam, office.Plan.Names()...)
	if err != nil {
		return nil, err
	}
	r, err := office.Run(context.Background(), bringup.Start{
		Fill: 1, Pair: true, Traffic: traffic, Prepare: func(h *duplex.Half) error {
			if h.Name != j.In() {
				return nil
			}
			return j.Put(h)
		},
	})
	if err != nil {
		return nil, err
	}
	trap := r.Pair.Half(0).Machine.LastTrap()
	switch {
	case r.Ending != bringup.Played || trap == nil || !r.Pair.OnLine(1) || r.Pair.OnLine(0):
		return nil, fmt.Errorf("half A does not stop in the evening, with B going on: %v", r.Ending)
	case r.Evening.Lived != r.Evening.Network || *r.Evening.Program != r.Evening.Network:
		return nil, fmt.Errorf("the counts do not agree: %+v", r.Evening.Rows())
	}
	return r, nil
}

// nightBay is what a person at the bay sees.
func (t *teller) nightBay(r *bringup.Report) string {
	var p prose
	a := r.Pair.Half(0)
	code := a.Machine.Code()
	p.say("# What was written down at the bay that night.")
	p.say("")
	p.say("Half A stands still. Keys and registers:")
	for _, name := range []string{"saved", "reason"} {
		if reg := code.Register(name); reg != nil {
			p.say("  %-7s %0*o", name, (reg.Width+2)/3, uint64(a.Value(reg)))
		}
	}
	p.say("Lamps of A:")
	for l := range strings.Lines(a.Lamps()) {
		p.say("  %s", strings.TrimRight(l, "\n "))
	}
	p.say("Half B is on-line, and drives alone.")
	p.say("")
	p.say("The last lines of the teletypewriter:")
	tty := a.Rack.Device(code.Channel("TT1").Code).(*channel.Teletypewriter)
	for i := range tty.Len() {
		p.say("  %s", tty.Line(i).Text())
	}
	return p.String()
}

// nightAnswer says what there is to find, with what was counted in this run.
func (t *teller) nightAnswer(r *bringup.Report, o *overlay.Overlay) (string, error) {
	var fixed, judged []overlay.Difference
	for _, d := range o.Differences {
		if d.Part.Rule == overlay.Fixed {
			fixed = append(fixed, d)
		} else {
			judged = append(judged, d)
		}
	}
	if len(fixed) != 1 || fixed[0].Addr != nightAt || len(o.Groups) != 1 || !fixed[0].InStore() {
		return "", fmt.Errorf("the dump differs from the program in %d words; want one, at %s, gone bad in the store", len(fixed), t.addr(nightAt))
	}
	d, g := fixed[0], o.Groups[0]
	var p prose
	p.say("One word of the program: %s is %s on the tape and %s in the dump.", t.addr(d.Addr), t.word(d.Tape), t.word(d.Dump))
	p.say("Bit 7 is up, which is ST2 U08. Of %d words of ST2 that must not differ and", g.Of)
	p.say("have bit 7 = 0 on the tape, %d are 0 in the dump: one cell, not the chip; and", g.Of-len(g.Addrs))
	p.say("in the other plug-ins %d of %d, so not the line either.", g.ElsewhereOf-g.Elsewhere, g.ElsewhereOf)
	p.say("Its parity still fits the word on the tape: it went bad in the store, after it")
	p.say("was written. The fault is %s.", nightCell)
	p.say("")
	p.say("Office data differ in %d words: the class of line 017, which was changed that", len(judged))
	p.say("evening, and the sums of the tables that go with it:")
	for _, d := range judged {
		p.say("  %s  %s on the tape, %s in the dump", t.addr(d.Addr), t.word(d.Tape), t.word(d.Dump))
	}
	for _, tally := range o.Tallies {
		if tally.Rule == overlay.Free {
			p.say("  %s: %d words, not searched", tally.Kind, tally.Words)
		}
	}
	p.say("")
	p.say("Jammed from the milestone \"changed\" on, A stops at the same address:")
	a := r.Pair.Half(0)
	p.say("  trap %s at %s; the same lamps", a.Machine.LastTrap().Kind.Name, t.addr(a.Machine.LastTrap().Place))
	for _, e := range r.Pair.Events() {
		lasted := "it lasts"
		if e.Until != cpu.Never {
			lasted = (e.Until - e.At).String()
		}
		p.say("  %v  %s, %s (%s)", e.At, r.Pair.Tell(e), r.Pair.Why(e.Cause), lasted)
	}
	n := r.Network
	var set, released, unknown int
	for _, c := range n.Concentrators {
		unknown, set, released = unknown+c.Reeds[0], set+c.Reeds[1], released+c.Reeds[2]
	}
	p.say("Both never drove at once. Pulses by A %d, by B %d, by a half on standby %d.", n.Asked[0], n.Asked[1], n.Standby)
	p.say("Of the crosspoints %d are set, %d released, and of %d nobody knows.", set, released, unknown)
	return p.String(), nil
}
