package bringup

import (
	"fmt"

	"coldstart/debug/watch"
	"coldstart/memory"
)

// leads fills in where to look and how to settle it, the nearest cause first: store that does not give back what was
// written, a word that the passes do not agree on, lamps, tape, and then the order at which the run stopped.
func (t teller) leads(p *Report) {
	if p.Verdict == watch.Good {
		return
	}
	t.store(p)
	t.parity(p)
	t.doubt(p)
	t.lamps(p)
	t.tape(p)
	if len(p.LookAt) == 0 {
		t.stopped(p)
		return
	}
	t.resumable(p)
}

// resumable says how a halt is gone on from, where the resume key sets the machine going.
func (t teller) resumable(p *Report) {
	if t.half.Machine.Resumes() {
		p.ToSettle = append(p.ToSettle, fmt.Sprintf("where the handbook says to press resume there, add --resume %d", len(t.presses)+1))
	}
}

// store leads to the cells whose words came back wrong, the first one first.
func (t teller) store(p *Report) {
	for i, m := range t.record.Misread() {
		if i == few {
			break
		}
		p.LookAt = append(p.LookAt, fmt.Sprintf("%s: written %s, read %s", t.chips(m.Addr, m.Written.Word, m.Read),
			t.word(m.Addr, m.Written.Word), t.word(m.Addr, m.Read)))
	}
	if len(t.record.Misread()) > 0 {
		t.settleCell(p, t.record.Misread()[0].Addr)
	}
}

// doubt leads to the word that the stop is about, where the passes it was merged from do not agree on it.
func (t teller) doubt(p *Report) {
	a := t.bad(p.Ending)
	if a == nil {
		return
	}
	from := t.record.Whence(*a).Origin
	if readings := t.office.Doubt(from); readings != "" {
		p.LookAt = append(p.LookAt, fmt.Sprintf("%s: %s, which nobody is sure of: %s", t.addr(*a), t.office.block(from), readings))
		p.ToSettle = append(p.ToSettle, "splice the passes again with another mixture, by --take, and bring that up")
	}
}

// few is how many places of a kind a report leads to: the first is the cause or beside it, and more only bury it.
const few = 3

// settleCell says how a cell of store is tried out.
func (t teller) settleCell(p *Report, a memory.Addr) {
	p.ToSettle = append(p.ToSettle, fmt.Sprintf("write %s and read it back ten times, from the keys", t.addr(a)))
	if area := t.office.Code.Geometry.Area(a); area != nil && !area.Wired {
		p.ToSettle = append(p.ToSettle, fmt.Sprintf("pull nothing until the trouble moves when %s is exchanged for its like", area.Name))
	}
}

// parity leads to the parity cells of a word that stopped the machine although it reads as it was written.
func (t teller) parity(p *Report) {
	trap := t.half.Machine.LastTrap()
	if p.Ending != Trapped || trap.Kind.Name != "parity" || len(p.LookAt) > 0 {
		return
	}
	g := &t.office.Code.Geometry
	area := g.Area(trap.Addr)
	right := area.ParityBits(trap.Addr, t.half.Seen(trap.Addr))
	for i := range area.Parity {
		_, seen, _ := t.half.Store.Column(trap.Addr, area.Width+i)
		if memory.Word(seen) != right>>i&1 {
			p.LookAt = append(p.LookAt, fmt.Sprintf("%s %s @%s: does not fit the word, which reads as it was written",
				area.Name, t.column(area, area.Width+i), t.addr(trap.Addr)))
		}
	}
	t.settleCell(p, trap.Addr)
}

// lamps leads to what a chase that was not as described points at.
func (t teller) lamps(p *Report) {
	for _, s := range p.Sightings {
		if s.Verdict != watch.Trouble {
			continue
		}
		p.LookAt = append(p.LookAt, s.Look...)
		if len(s.Look) > 0 {
			p.ToSettle = append(p.ToSettle,
				"key ones into the row, then zeros: see which lamps do not follow, and read back",
				"exchange the lamp first, then what drives it, then the store of its row")
		}
	}
}

// tape leads to blocks that are not good on the recording, where the run did not come to its end.
func (t teller) tape(p *Report) {
	if p.Ending == Arrived || p.Ending == Met || len(p.wrong) == 0 {
		return
	}
	p.LookAt = append(p.LookAt, p.wrong[:min(few, len(p.wrong))]...)
	if more := len(p.wrong) - few; more > 0 {
		p.LookAt = append(p.LookAt, fmt.Sprintf("and %d more blocks of the tape", more))
	}
	p.ToSettle = append(p.ToSettle, "read the tape in another pass, or another copy; the sums are shown by", t.start.typed("survey"))
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
	t.resumable(p)
	p.ToSettle = append(p.ToSettle, t.start.typed("sit"), fmt.Sprintf("and at the desk %s`hold at %s`, `roll` and `take 20`", t.switched(), t.addr(at)))
}

// switched is what to type at the desk to come to where a pair was switched over by the key; "" where it was not.
func (t teller) switched() string {
	if t.couple == nil || len(t.start.Keys) == 0 || t.couple.leading == 0 {
		return ""
	}
	return fmt.Sprintf("`roll within %s`, `changeover`, `mate`, ", t.time(t.start.Keys[0]))
}

// and joins what a loop asks to where it is.
func and(asked string) string {
	if asked == "" {
		return ""
	}
	return ", which asks " + asked
}
