package channel

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// A Clock ticks from power-up on. Sign 0, ready, is up when it has ticked since the last receive; to receive gives how
// often, and starts counting anew.
type Clock struct {
	period cpu.Time
	taken  cpu.Time // ticks received, of all since power-up
}

// NewClock is a clock that ticks each time the period has passed; the period is more than 0.
func NewClock(period cpu.Time) *Clock { return &Clock{period: period} }

// Do carries out one action; to send to a clock, or command it, has no effect.
func (c *Clock) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	ticks := now/c.period - c.taken
	switch {
	case a.Verb == cpu.Receive:
		c.taken += ticks
		return cpu.Reply{Word: memory.Word(ticks)}
	case a.Verb == cpu.Sign && a.Sign == 0 && ticks > 0:
		return cpu.Reply{Word: 1}
	}
	return cpu.Reply{}
}

// Next is the next tick.
func (c *Clock) Next(now cpu.Time) cpu.Time {
	if now >= cpu.Never-c.period {
		return cpu.Never
	}
	return (now/c.period + 1) * c.period
}

// Clone is a clock in the same state.
func (c *Clock) Clone() Device {
	d := *c
	return &d
}
