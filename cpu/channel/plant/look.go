package plant

import (
	"slices"

	"coldstart/cpu"
)

// look lets everybody see and hear what is so now: tones, ringing, paths, and who is at the other end.
func (p *Plant) look() {
	p.ring()
	for i := range p.people.callers {
		p.hear(&p.people.callers[i])
	}
	p.speak()
}

// ring lets bells begin and cease to ring.
func (p *Plant) ring() {
	ps := &p.people
	ps.bells = slices.DeleteFunc(ps.bells, func(b bell) bool { return !p.alerted(b.terminal) || p.closed(b.terminal) })
	for terminal := range p.tones {
		if !p.alerted(terminal) || p.closed(terminal) || slices.ContainsFunc(ps.bells, func(b bell) bool { return b.terminal == terminal }) {
			continue
		}
		ps.bells = append(ps.bells, bell{terminal: terminal, since: p.now, at: p.now + answers})
	}
	for i := range ps.bells {
		p.calledBy(&ps.bells[i])
	}
}

// calledBy lets somebody who is called answer as the call says that has a path to them.
func (p *Plant) calledBy(b *bell) {
	if b.known {
		return
	}
	for _, other := range p.joined(b.terminal) {
		for i := range p.people.callers {
			if c := &p.people.callers[i]; c.from == other && c.stage >= sounding {
				b.known, b.at = true, cpu.Never
				if call := &p.traffic.Calls[c.call]; call.Answers != cpu.Never {
					b.at = max(p.now, b.since+call.Answers)
				}
				return
			}
		}
	}
}

// hear lets a caller take in what there is.
func (p *Plant) hear(c *caller) {
	call := &p.traffic.Calls[c.call]
	tone := p.tones[c.from]
	switch {
	case c.stage == waiting && tone == DialTone:
		p.people.counts.Offered++
		c.stage, c.at = thinking, p.now+thinks
	case c.stage == sounding:
		p.listen(c)
	case c.stage == talking:
		if !slices.Contains(p.joined(c.from), c.to) || !p.closed(c.to) {
			p.people.outcomes[c.call] = CutOff
			c.stage, c.at = leaving, p.now+hangsUp
			p.sends(c.to, p.now+hangsUp)
		}
	case c.stage == listening:
		p.reach(c, call)
	}
	if (tone == BusyTone || tone == ReorderTone) && (c.stage == pausing || c.stage == listening) {
		p.people.outcomes[c.call] = Refused
		c.stage, c.at = leaving, p.now+hangsUp
	}
}

// reach lets a caller get through: to somebody who is called, and then to somebody who has answered.
func (p *Plant) reach(c *caller, call *Call) {
	for _, to := range p.joined(c.from) {
		if k := p.kindOf(to); k != line && k != trunk {
			continue
		}
		if there := p.closed(to); there || p.alerted(to) {
			if !c.setUp {
				c.setUp = true
				p.people.counts.SetUp++
			}
			if there {
				p.people.counts.Answered++
				c.stage, c.to, c.at = talking, to, p.now+call.Talks
				p.sends(to, cpu.Never)
				return
			}
		}
	}
}

// speak counts paths on which both ends are off-hook, as the network shows it.
func (p *Plant) speak() {
	for i := range p.net.paths {
		path := &p.net.paths[i]
		if !path.spoken && p.between(path) == speech && p.closed(path.From) && p.closed(path.To) {
			path.spoken = true
			p.counts.Answered++
		}
	}
}
