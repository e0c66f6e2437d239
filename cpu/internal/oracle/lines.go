package oracle

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A store is a target and the value that goes there, worked out before anything on the line is set.
type store struct {
	target *order.Expr
	value  memory.Word
	at     memory.Word // address or channel
}

// lines does lines in turn.
func (f *frame) lines(ls []*order.Stmt) end {
	for _, s := range ls {
		if e := f.line(s); e != none {
			return e
		}
	}
	return none
}

// line does one line.
func (f *frame) line(s *order.Stmt) end {
	switch s.Op {
	case "let":
		v, e := f.value(s.Sources[0])
		f.locals[s.Local] = v
		return e
	case "if":
		v, e := f.value(s.Cond)
		if e != none {
			return e
		}
		if v == 1 {
			return f.lines(s.Body)
		}
		return f.lines(s.Else)
	case "repeat":
		return f.repeat(s)
	case "together":
		return f.together(s.Body)
	}
	return f.together([]*order.Stmt{s})
}

// repeat does its lines while the condition holds, and never too often.
func (f *frame) repeat(s *order.Stmt) end {
	for range s.Times {
		if s.Cond != nil {
			if v, e := f.value(s.Cond); v == 0 || e != none {
				return e
			}
		}
		if e := f.lines(s.Body); e != none {
			return e
		}
	}
	return none
}

// together reads every value of a line, then sets every target, then does the actions.
func (f *frame) together(parts []*order.Stmt) end {
	var stores []store
	args := make([]memory.Word, len(parts))
	for i, p := range parts {
		var e end
		if p.Op == "transfer" {
			stores, e = f.read(p, stores)
		} else {
			args[i], e = f.arg(p)
		}
		if e != none {
			return e
		}
	}
	for _, s := range stores {
		if e := f.set(s.target, s.value, s.at); e != none {
			return e
		}
	}
	for i, p := range parts {
		if p.Op != "transfer" {
			if e := f.act(p, args[i]); e != none {
				return e
			}
		}
	}
	return none
}

// read works out the values of a transfer, and where they go.
func (f *frame) read(p *order.Stmt, to []store) ([]store, end) {
	for i, t := range p.Targets {
		s := store{target: t}
		var e end
		if t.Op == "store" || t.Op == "wrong-parity" || t.Op == "channel" || t.Op == "command" {
			if s.at, e = f.value(t.Args[0]); e != none {
				return nil, e
			}
		}
		if s.value, e = f.value(p.Sources[i]); e != none {
			return nil, e
		}
		to = append(to, s)
	}
	return to, none
}

// arg is what an action needs.
func (f *frame) arg(p *order.Stmt) (memory.Word, end) {
	if p.Cond != nil {
		return f.value(p.Cond)
	}
	if len(p.Sources) > 0 {
		return f.value(p.Sources[0])
	}
	return 0, none
}

// act does an action.
func (f *frame) act(p *order.Stmt, arg memory.Word) end {
	h := f.half
	switch p.Op {
	case "halt":
		h.stop(!p.Final && h.traps == 0)
	case "wait":
		if arg == 0 {
			return waiting
		}
	case "spend":
		f.spent += int64(arg)
	case "restart":
		return f.restart(p.Index)
	case "trap":
		h.spring(h.Code.Traps[p.Index], f.here)
		return sprung
	}
	return none
}

// restart lets a timer start anew; too early after the last time, a trap springs instead.
func (f *frame) restart(n int) end {
	h, t := f.half, f.half.Code.Timers[n]
	last := h.Restarted[n]
	h.Restarted[n] = h.Now
	if t.Early > 0 && last >= 0 && h.Now-last < t.Early {
		h.spring(t.EarlyTrap, f.here)
		return sprung
	}
	h.Deadlines[n] = h.Now + t.Period
	return none
}

// set puts a value into a target.
func (f *frame) set(t *order.Expr, v, at memory.Word) end {
	switch t.Op {
	case "register", "group":
		f.setRegister(f.register(t), v)
	case "local":
		f.locals[t.Index] = v
	case "bits":
		old, _ := f.value(t.Args[0])
		m := memory.Mask(t.Hi-t.Lo+1) << t.Lo
		return f.set(t.Args[0], old&^m|v<<t.Lo&m, 0)
	case "join":
		low := t.Args[1].Width
		f.set(t.Args[0], v>>low, 0)
		f.set(t.Args[1], v&memory.Mask(low), 0)
	case "store", "wrong-parity":
		return f.write(memory.Addr(at), v, t)
	case "channel", "command":
		verb := map[string]string{"channel": "send", "command": "command"}[t.Op]
		_, e := f.ask(verb, int(at), 0, v, 0)
		return e
	}
	return none
}

// register is the register that an expression names.
func (f *frame) register(e *order.Expr) *order.Register {
	if e.Op == "group" {
		return f.order.Fields[e.Index].Group[f.fields[e.Index]]
	}
	return f.half.Code.Registers[e.Index]
}

// setRegister sets a register; an order of a machine whose counter holds the order acting sets where it goes on.
func (f *frame) setRegister(r *order.Register, v memory.Word) {
	if r == f.half.Code.Counter && !f.half.Code.HoldsNext && f.order != nil {
		f.next = v
		return
	}
	f.half.Registers[r.Number] = v
}
