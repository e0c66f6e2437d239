package bringup

import (
	"context"
	"fmt"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// A pairRun is a pair on its way: each half is followed by itself, and the one on-line is what the run is about.
type pairRun struct {
	pair    *duplex.Pair
	runs    [2]*run
	leading int // the half that was on-line last
}

// runPair brings a pair up, A on-line first and B standing by.
func (o *Office) runPair(ctx context.Context, s Start) (*Report, error) {
	pair, err := o.Pair(s.Fill)
	if err != nil {
		return nil, err
	}
	o.Play(s.Traffic, pair.Half(0))
	p := &pairRun{pair: pair}
	for n := range p.runs {
		r, err := o.begin(s, pair.Half(n))
		if err != nil {
			return nil, err
		}
		r.couple, r.pause = p, pair.Pause
		p.runs[n] = r
	}
	pair.HeedWrites(func(n int, a memory.Addr, w memory.Word) { p.runs[n].record.Enter(a, w, pair.Time(n)) })
	p.runs[0].heedNetwork(pair)
	for _, at := range s.Keys {
		pair.Key(at)
	}
	pair.SetClock(1, s.Skew)
	pair.Boot(false)
	p.runs[0].point()
	return p.takeOrders(ctx)
}

// takeOrders takes orders of both halves until something ends the run of the half on-line, with nothing still to come that
// could change which half that is.
func (p *pairRun) takeOrders(ctx context.Context) (*Report, error) {
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r := p.runs[p.leading]
		taken := p.pair.Run(max(1, min(slice, r.limits.Orders-r.half.Machine.Orders())), r.limits.Time)
		p.follow()
		r = p.runs[p.leading]
		e, ended := r.ended()
		late := p.pair.Now() >= r.limits.Time || r.half.Machine.Orders() >= r.limits.Orders
		switch {
		case late && !ended, taken == 0 && !ended:
			return r.report(Limit), nil
		case ended && (late || taken == 0 || p.pair.Due() == cpu.Never) && (e != Halted || !r.press()):
			return r.report(e), nil
		}
	}
}

// follow lets the run be about the half that is on-line. What the teletypewriters had printed before is not its doing.
func (p *pairRun) follow() {
	n := 1 - p.leading
	if !p.pair.OnLine(n) || p.pair.OnLine(p.leading) {
		return
	}
	p.leading = n
}

// judgePair lets a run be trouble in which something went wrong in a half, both halves could drive, or none can any more.
func (r *run) judgePair(p *Report) {
	if r.couple == nil {
		return
	}
	p.Pair = r.couple.pair
	for _, e := range r.couple.pair.Events() {
		of := r.couple.runs[e.Cause.Half]
		switch {
		case e.Kind == duplex.Both:
			p.Verdict = watch.Trouble
			p.LookAt = append(p.LookAt, fmt.Sprintf("what made both halves on-line at %s", r.office.Time(e.At)))
		case e.Kind == duplex.Changeover && e.Cause.Trap != nil:
			p.Verdict = watch.Trouble
			p.LookAt = append(p.LookAt, fmt.Sprintf("half %s at %s: %s", of.half.Name, r.office.Time(e.At), teller{of}.trap(e.Cause.Trap)))
			if e.Cause.Half == 0 {
				p.ToSettle = append(p.ToSettle, "lay what the store of A holds over the tape: the same command with --dump crash.words, then coldstart overlay --dump crash.words")
			}
		case e.Kind == duplex.None && e.Until == cpu.Never:
			p.Verdict = watch.Trouble
			p.LookAt = append(p.LookAt, fmt.Sprintf("why no half has been on-line since %s", r.office.Time(e.At)))
		}
	}
}
