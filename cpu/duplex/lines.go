package duplex

import (
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/order"
)

// lines are what a half of a pair reaches its channels over; they are its cpu.Ports. They tell devices the time of the line,
// let nothing out over gated channels while the half is not on-line, and lead to the other half where the channel does.
type lines struct {
	pair *Pair
	half int
}

// Do carries out an action at its device, if it is let.
func (l lines) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	p, n := l.pair, l.half
	a.Half = n
	at, rack := p.clocks[n].line(now), p.halves[n].Rack
	d := p.code.Duplex
	if d.Mate != nil && d.Mate.Code == a.Code {
		return p.askMate(n, a, at)
	}
	out := a.Verb == cpu.Send || a.Verb == cpu.Command
	if out && slices.ContainsFunc(d.Gates, func(ch *order.Channel) bool { return ch.Code == a.Code }) {
		if !p.onLine(n) {
			p.lost[n]++
			return cpu.Reply{None: rack.Device(a.Code) == nil}
		}
		p.driven[n]++
	}
	if out && slices.Contains(p.common, a.Code) {
		p.wake(1-n, at)
	}
	return rack.Do(a, at)
}

// Next is when something around the half next changes by itself.
func (l lines) Next(now cpu.Time) cpu.Time {
	p, n := l.pair, l.half
	next := p.halves[n].Rack.Next(p.clocks[n].line(now))
	for i := range p.due {
		if d := &p.due[i]; d.what == mateActs && d.half == n {
			next = min(next, d.at)
		}
	}
	return p.clocks[n].own(next)
}
