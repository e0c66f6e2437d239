package order

import (
	"slices"

	"coldstart/cpu/order/syntax"
)

// duplex takes over how two machines are coupled.
func (c *checker) duplex() {
	for _, s := range every[*syntax.Duplex](c) {
		d := &Duplex{Gap: c.duration(s.Gap), Page: s.Reference(), Doubt: doubted(s)}
		if c.code.Cycle == 0 {
			c.errorf(s.At, "a changeover takes time, and the file has no clock line, such as `clock 2.5 us`")
		}
		d.OnLine = c.flipFlop(s.OnLine, "which machine is on-line is told by one")
		for _, n := range s.Gates {
			ch := c.channel(n)
			if ch != nil && slices.Contains(d.Gates, ch) {
				c.errorf(n.At, "channel %s is said to be gated twice", ch.Name)
			}
			d.Gates = append(d.Gates, ch)
		}
		if s.Mate.Text != "" {
			d.Mate, d.Delay = c.channel(s.Mate), c.duration(s.After)
			if d.Mate != nil && slices.Contains(d.Gates, d.Mate) {
				c.errorf(s.Mate.At, "channel %s reaches the other machine, and a gated one would reach it from the on-line machine alone: take it out of gates", d.Mate.Name)
			}
		}
		scope := &scope{checker: c}
		d.Does = scope.block(s.Does)
		d.Locals = scope.lets(s.At, "duplex")
		c.code.Duplex = d
	}
}

// channel finds a channel or complains and gives nil.
func (c *checker) channel(n syntax.Name) *Channel {
	ch := c.code.Channel(n.Text)
	if ch == nil {
		c.unknown("channel", n, namesOf(c.code.Channels, func(ch *Channel) string { return ch.Name }))
	}
	return ch
}
