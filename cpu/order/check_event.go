package order

import (
	"cmp"
	"slices"

	"coldstart/cpu/order/syntax"
)

// traps takes over names and texts; what traps do is read later, since it may name other traps and timers.
func (c *checker) traps() {
	for _, s := range every[*syntax.Trap](c) {
		if c.declare("trap", s.Name) {
			c.code.Traps = append(c.code.Traps, &Trap{
				Name: s.Name.Text, Number: len(c.code.Traps), Text: s.Text, Page: s.Reference(), Doubt: doubted(s),
			})
		}
	}
}

// timers takes over the timers.
func (c *checker) timers() {
	for _, s := range every[*syntax.Timer](c) {
		if c.code.Cycle == 0 {
			c.errorf(s.At, "timer %s needs time, and the file has no clock line, such as `clock 2.5 us`", s.Name.Text)
		}
		t := &Timer{
			Name: s.Name.Text, Number: len(c.code.Timers), Period: c.duration(s.Time), Trap: c.trap(s.Trap),
			PlugIn: c.plugIn(s.PlugIn), Page: s.Reference(), Doubt: s.Doubt,
		}
		if s.Early.Number != "" {
			t.Early, t.EarlyTrap = c.duration(s.Early), c.trap(s.EarlyTrap)
			if t.Period > 0 && t.Early >= t.Period {
				c.errorf(s.Early.At, "a restart of timer %s would always be too early: it has run out before", t.Name)
			}
		}
		if c.declare("timer", s.Name) && t.Trap != nil {
			c.code.Timers = append(c.code.Timers, t)
		}
	}
}

// trap finds a trap or complains and gives nil.
func (c *checker) trap(n syntax.Name) *Trap {
	t := c.code.Trap(n.Text)
	if t == nil {
		c.unknown("trap", n, namesOf(c.code.Traps, func(t *Trap) string { return t.Name }))
	}
	return t
}

// bodies reads what start-up, the traps and the interrupts do. There are no fields in any of them.
func (c *checker) bodies() {
	for _, s := range every[*syntax.Boot](c) {
		scope := &scope{checker: c}
		c.code.Boot = scope.block(s.Does)
		c.code.BootLocals = scope.lets(s.At, "boot")
	}
	for _, s := range every[*syntax.Trap](c) {
		t := c.code.Trap(s.Name.Text)
		if t.Does != nil || t.When != nil {
			continue // declared twice, and complained of
		}
		scope := &scope{checker: c}
		if s.When != nil {
			t.When = scope.condition(s.When)
		}
		t.Does = scope.block(s.Does)
		t.Locals = scope.lets(s.At, "trap "+t.Name)
	}
	c.interrupts()
}

// interrupts takes over the interrupts and sorts them by level.
func (c *checker) interrupts() {
	for _, s := range every[*syntax.Interrupt](c) {
		if !c.declare("interrupt", s.Name) {
			continue
		}
		i := &Interrupt{Name: s.Name.Text, Text: s.Text, Page: s.Reference(), Doubt: doubted(s)}
		if s.Level.Text != "" {
			i.Level = c.decimal(s.Level, "the level of an interrupt", 0, 1000)
		}
		scope := &scope{checker: c}
		if s.When != nil {
			i.When = scope.calm(s.When, "an interrupt", "sign")
		}
		c.delay(i, s)
		i.Does = scope.block(s.Does)
		i.Locals = scope.lets(s.At, "interrupt "+i.Name)
		c.code.Interrupts = append(c.code.Interrupts, i)
	}
	slices.SortStableFunc(c.code.Interrupts, func(a, b *Interrupt) int { return cmp.Compare(b.Level, a.Level) })
	for n, i := range c.code.Interrupts {
		i.Number = n
	}
}

// delay takes over how long an interrupt waits after it was allowed.
func (c *checker) delay(i *Interrupt, s *syntax.Interrupt) {
	if s.After.Text == "" {
		return
	}
	i.Delay = c.decimal(s.After, "a delay in orders", 1, 1000)
	i.Enable = c.flipFlop(s.Enable, "the delay is counted from when one is set to 1")
}

// flipFlop finds a flip-flop, or says why it takes one and gives nil.
func (c *checker) flipFlop(n syntax.Name, why string) *Register {
	r := c.code.Register(n.Text)
	switch {
	case r == nil:
		c.unknown("flip-flop", n, c.flipFlopNames())
	case !r.FlipFlop:
		c.errorf(n.At, "%s is no flip-flop: %s; known are %s", r.Name, why, few(c.flipFlopNames()))
		return nil
	}
	return r
}

// flipFlopNames are the flip-flops there are, for a hint.
func (c *checker) flipFlopNames() []string {
	var names []string
	for _, r := range c.code.Registers {
		if r.FlipFlop {
			names = append(names, r.Name)
		}
	}
	return names
}

// calm reads a condition that is looked at again and again between orders, and so must change nothing: it hangs on
// registers, and on the other kinds of value named.
func (s *scope) calm(e syntax.Expr, whose string, allowed ...string) *Expr {
	cond := s.condition(e)
	cond.each(func(x *Expr) {
		switch x.Op {
		case "sign", "store", "channel", "here", "after":
			if !slices.Contains(allowed, x.Op) {
				s.errorf(e.Where(), "%s is looked at between orders, and its condition cannot hang on %s", whose, x)
			}
		}
	})
	return cond
}
