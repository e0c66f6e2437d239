package order

import (
	"slices"

	"coldstart/memory"
)

// Register finds a register by name, nil where there is none.
func (c *Code) Register(name string) *Register {
	return named(c.Registers, func(r *Register) bool { return r.Name == name })
}

// Order finds an order by name, nil where there is none.
func (c *Code) Order(name string) *Order {
	return named(c.Orders, func(o *Order) bool { return o.Name == name })
}

// Channel finds a channel by name, nil where there is none.
func (c *Code) Channel(name string) *Channel {
	return named(c.Channels, func(ch *Channel) bool { return ch.Name == name })
}

// Requested tells whether a sign of a channel sets a register.
func (c *Code) Requested(r *Register) bool {
	return slices.ContainsFunc(c.Channels, func(ch *Channel) bool {
		return slices.ContainsFunc(ch.Requests, func(q Request) bool { return q.Sets == r })
	})
}

// MirrorsByCounter tells whether it hangs on the order counter which writes are mirrored.
func (c *Code) MirrorsByCounter() bool {
	return slices.ContainsFunc(c.Mirrors, func(m Mirror) bool { return c.isCounter(m.When) })
}

// Trap finds a trap by name, nil where there is none: what would have sprung it then stops the machine.
func (c *Code) Trap(name string) *Trap {
	return named(c.Traps, func(t *Trap) bool { return t.Name == name })
}

// Interrupt finds an interrupt by name, nil where there is none.
func (c *Code) Interrupt(name string) *Interrupt {
	return named(c.Interrupts, func(i *Interrupt) bool { return i.Name == name })
}

// named gives the first thing that is meant.
func named[T any](things []*T, meant func(*T) bool) *T {
	for _, t := range things {
		if meant(t) {
			return t
		}
	}
	return nil
}

// Addresses are the first and the last address of a channel that has some: the word it gives or takes, the command, and the
// signs in turn, each as far from the next as words of store are. Without any both are 0.
func (ch *Channel) Addresses(c *Code) (first, last memory.Addr) {
	if ch.At == nil {
		return 0, 0
	}
	return *ch.At, *ch.At + memory.Addr((2+ch.Signs)*c.units()-1)
}

// Starts tells whether start-up sets the order counter; where it does not, somebody has to say where to begin.
func (c *Code) Starts() bool { return c.setsCounter(c.Boot) }

// setsCounter tells whether lines, or lines within them, set the order counter.
func (c *Code) setsCounter(lines []*Stmt) bool {
	return slices.ContainsFunc(lines, func(s *Stmt) bool {
		return slices.ContainsFunc(s.Targets, c.isCounter) || c.setsCounter(s.Body) || c.setsCounter(s.Else)
	})
}

// isCounter tells whether a target is the order counter, or has it as a part.
func (c *Code) isCounter(e *Expr) bool {
	return e.Op == "register" && e.Index == c.Counter.Number || slices.ContainsFunc(e.Args, c.isCounter)
}

// Length is how many words the order has.
func (o *Order) Length() int { return len(o.Patterns) }

// Values gives the value of every field, by Field.Number, in an order's words, Length of them.
func (o *Order) Values(words []memory.Word) []memory.Word {
	return o.AppendValues(make([]memory.Word, 0, len(o.Fields)), words)
}

// AppendValues appends what Values gives to a slice that is there already.
func (o *Order) AppendValues(to, words []memory.Word) []memory.Word {
	for _, f := range o.Fields {
		to = append(to, f.Of(words))
	}
	return to
}

// Of is the value of the field in an order's words: its pieces joined, the first the highest.
func (f *Field) Of(words []memory.Word) memory.Word {
	var v memory.Word
	for _, p := range f.Pieces {
		width := p.Hi - p.Lo + 1
		v = v<<width | words[p.Word]>>p.Lo&memory.Mask(width)
	}
	return v
}
