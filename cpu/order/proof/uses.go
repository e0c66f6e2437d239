package proof

import (
	"fmt"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// uses is what the lines of a machine file name, by number.
type uses struct {
	registers, traps, timers []bool
}

// uses goes through all that the machine can do.
func (p *prover) uses() *uses {
	c := p.code
	u := &uses{make([]bool, len(c.Registers)), make([]bool, len(c.Traps)), make([]bool, len(c.Timers))}
	u.lines(c.Boot)
	for _, o := range append(append([]*order.Order(nil), c.Orders...), c.Undefined...) {
		u.lines(o.Does)
		u.exprs(o.Must)
		for _, f := range o.Fields {
			for _, r := range f.Group {
				if r != nil {
					u.registers[r.Number] = true
				}
			}
		}
		for _, w := range o.Operands {
			u.expr(w.As)
		}
	}
	for _, t := range c.Traps {
		u.expr(t.When)
		u.lines(t.Does)
	}
	for _, i := range c.Interrupts {
		u.expr(i.When)
		u.lines(i.Does)
		if i.Enable != nil {
			u.registers[i.Enable.Number] = true
		}
	}
	u.others(c)
	return u
}

// others goes through what is neither order nor event.
func (u *uses) others(c *order.Code) {
	for _, t := range c.Timers {
		u.traps[t.Trap.Number] = true
		if t.EarlyTrap != nil {
			u.traps[t.EarlyTrap.Number] = true
		}
	}
	for _, p := range c.Protects {
		u.expr(p.When)
	}
	for _, m := range c.Mirrors {
		u.expr(m.When)
	}
	for _, ch := range c.Channels {
		for _, q := range ch.Requests {
			u.registers[q.Sets.Number] = true
		}
	}
	if c.Duplex != nil {
		u.registers[c.Duplex.OnLine.Number] = true
		u.lines(c.Duplex.Does)
	}
}

// lines goes through lines and all that stands in them.
func (u *uses) lines(all []*order.Stmt) {
	for _, s := range all {
		switch s.Op {
		case "restart":
			u.timers[s.Index] = true
		case "trap":
			u.traps[s.Index] = true
		}
		u.exprs(s.Targets)
		u.exprs(s.Sources)
		u.expr(s.Cond)
		u.lines(s.Body)
		u.lines(s.Else)
	}
}

// exprs goes through values.
func (u *uses) exprs(all []*order.Expr) {
	for _, e := range all {
		u.expr(e)
	}
}

// expr goes through a value, which may be nil.
func (u *uses) expr(e *order.Expr) {
	if e == nil {
		return
	}
	if e.Op == "register" {
		u.registers[e.Index] = true
	}
	u.exprs(e.Args)
}

// parts notes lines of an order that no word can reach: below a trap, or under a condition that the fields alone decide
// and that none of their values meets.
func (p *prover) parts(o *order.Order, lines []*order.Stmt) {
	for i, s := range lines {
		if s.Op == "trap" && i+1 < len(lines) {
			p.once(lines[i+1].Line, fmt.Sprintf("order %s is left in line %d, so it never comes here", o.Name, s.Line))
			return
		}
		if s.Op == "if" || s.Op == "repeat" {
			never, always := p.decided(o, s.Cond)
			switch {
			case never && len(s.Body) > 0:
				p.once(s.Body[0].Line, fmt.Sprintf("`%s` is so for no word of order %s", s.Cond, o.Name))
			case always && s.Op == "if" && len(s.Else) > 0:
				p.once(s.Else[0].Line, fmt.Sprintf("`%s` is so for every word of order %s", s.Cond, o.Name))
			}
		}
		p.parts(o, s.Body)
		p.parts(o, s.Else)
	}
}

// once notes a line nothing reaches, unless another order that shares it, through a mode, was noted already.
func (p *prover) once(line int, text string) {
	for _, f := range p.report.Findings {
		if f.Line == line && f.Kind == Unreachable {
			return
		}
	}
	p.find(Unreachable, line, text)
}

// What is tried out value by value: the bits of the fields of one condition, and the values of all conditions of a file.
const (
	mostBits  = 12
	mostTries = 1 << 20
)

// decided tries out a condition that hangs on fields alone: whether it is never so, and whether always.
func (p *prover) decided(o *order.Order, cond *order.Expr) (never, always bool) {
	if cond == nil {
		return false, false
	}
	fields := map[int]int{} // widths
	if !onFields(o, cond, fields) {
		return false, false
	}
	bits := 0
	for _, width := range fields {
		bits += width
	}
	if p.tries += 1 << min(bits, mostBits); bits > mostBits || p.tries > mostTries {
		return false, false
	}
	never, always = true, true
	for n := range memory.Word(1) << bits {
		e := &eval{order: o, values: make([]memory.Word, len(o.Fields))}
		for i := range o.Fields {
			if width, ok := fields[i]; ok {
				e.values[i], n = n&memory.Mask(width), n>>width
			}
		}
		v, known := e.of(cond, nil).known()
		if !known {
			return false, false
		}
		never, always = never && v == 0, always && v == 1
	}
	return never, always
}

// onFields tells whether a value hangs on constants and fields alone, and gathers the fields' widths.
func onFields(o *order.Order, e *order.Expr, fields map[int]int) bool {
	switch e.Op {
	case "const":
		return true
	case "field":
		fields[e.Index] = o.Fields[e.Index].Width
		return true
	case "register", "group", "local", "here", "after", "store", "channel", "sign":
		return false
	}
	for _, a := range e.Args {
		if !onFields(o, a, fields) {
			return false
		}
	}
	return true
}
