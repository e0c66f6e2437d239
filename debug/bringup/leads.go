package bringup

import (
	"fmt"

	"coldstart/debug/watch"
)

// leads fills in where to look and how to settle it, the nearest cause first: store that does not give back what was
// written, lamps, tape, and then the order at which the run stopped.
func (t teller) leads(p *Report) {
	if p.Verdict == watch.Good {
		return
	}
	t.store(p)
	t.lamps(p)
	t.tape(p)
	if len(p.LookAt) == 0 {
		t.stopped(p)
	}
}

// store leads to the cells whose words came back wrong, the first one first.
func (t teller) store(p *Report) {
	for i, m := range t.record.Misread() {
		if i == 3 {
			break // the first is the cause or beside it; more only bury it
		}
		p.LookAt = append(p.LookAt, fmt.Sprintf("%s: written %s, read %s by the order at %s", t.chips(m.Addr, m.Written.Word, m.Read),
			t.word(m.Addr, m.Written.Word), t.word(m.Addr, m.Read), t.addr(m.Place)))
	}
	if len(t.record.Misread()) > 0 {
		a := t.record.Misread()[0].Addr
		p.ToSettle = append(p.ToSettle, fmt.Sprintf(
			"write and read back %s ten times from the keys or the maintenance channel; pull nothing until the trouble moves with the plug-in", t.addr(a)))
	}
}

// lamps leads to what a chase that was not as described points at.
func (t teller) lamps(p *Report) {
	for _, s := range p.Sightings {
		if s.Verdict != watch.Trouble {
			continue
		}
		p.LookAt = append(p.LookAt, s.Look...)
		if len(s.Look) > 0 {
			p.ToSettle = append(p.ToSettle, "key a word of ones into the row and see which lamps stay dark, then exchange the lamp before the driver")
		}
	}
}

// tape leads to blocks that are not good on the recording, where the run did not come to its end.
func (t teller) tape(p *Report) {
	if p.Ending == Arrived || p.Ending == Met || len(p.Tape) == 0 {
		return
	}
	p.LookAt = append(p.LookAt, p.Tape...)
	p.ToSettle = append(p.ToSettle, "read that block again in another pass, or from another copy, and compare: `coldstart survey` shows the sums")
}

// stopped leads to the order at which the run stopped, where nothing nearer is known.
func (t teller) stopped(p *Report) {
	last := t.record.Last(1)
	if len(last) == 0 {
		p.LookAt = append(p.LookAt, "the start-up place "+t.addr(p.Place)+": nothing was run")
		return
	}
	at := last[0].Place
	if loop, ok := t.record.Loop(); ok && t.turning(p.Ending) {
		p.LookAt = append(p.LookAt, fmt.Sprintf("the loop at %s%s", t.span(loop.Places), and(t.asked(loop))))
		at = loop.Places[0]
	} else {
		p.LookAt = append(p.LookAt, fmt.Sprintf("the order at %s, %s", t.addr(at), t.order(last[0])))
	}
	p.ToSettle = append(p.ToSettle, fmt.Sprintf("coldstart sit, then `hold at %s`, `roll` and `take 20`", t.addr(at)))
}

// and joins what a loop asks to where it is.
func and(asked string) string {
	if asked == "" {
		return ""
	}
	return ", which asks " + asked
}
