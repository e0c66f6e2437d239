package proof

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// mostPaths bounds the ways through one order that are told apart.
const mostPaths = 64

// A path is one way through the lines of an order: what it has come to know and to do on that way.
type path struct {
	registers []value // by number of the register followed
	locals    []value
	counter   value
	set       bool // the order has set the counter
	next      value
	ended     bool // by a trap or a halt for good: nothing after it
	halted    bool // by a halt that the resume key can pass
}

// branch copies a path, so that each copy can go its own way.
func (p *path) branch() *path {
	q := *p
	q.registers = slices.Clone(p.registers)
	q.locals = slices.Clone(p.locals)
	return &q
}

// A walk goes through the lines of one order, trap or start-up, along every path that what is known leaves open.
type walk struct {
	x      *explorer
	order  *order.Order // nil in a trap, and in start-up
	values []memory.Word
	place  value
	after  memory.Word // the place after the order
	trap   bool        // where every halt is for good

	cells []memory.Addr // store words whose content was looked at
	kept  bool          // the place after the order was kept somewhere
}

// lines goes on from each path through lines.
func (w *walk) lines(all []*order.Stmt, paths []*path) []*path {
	for _, s := range all {
		var on []*path
		for _, p := range paths {
			if p.ended {
				on = append(on, p)
			} else {
				on = append(on, w.line(s, p)...)
			}
		}
		if len(on) > mostPaths {
			on = on[:mostPaths]
			w.x.result.Cut = true
		}
		paths = on
	}
	return paths
}

// line goes on from one path through one line.
func (w *walk) line(s *order.Stmt, p *path) []*path {
	switch s.Op {
	case "transfer":
		w.together([]*order.Stmt{s}, p)
	case "together":
		w.together(s.Body, p)
	case "let":
		p.locals[s.Local] = w.of(s.Sources[0], p)
	case "if":
		return w.fork(s, p)
	case "repeat":
		return w.repeat(s, p)
	case "halt", "trap":
		w.end(s, p)
	}
	return []*path{p}
}

// end notes a halt or a trap on a path.
func (w *walk) end(s *order.Stmt, p *path) {
	if s.Op == "halt" && !s.Final && !w.trap {
		p.halted = true
		return
	}
	p.ended = true
}

// fork goes both ways where the condition is not known.
func (w *walk) fork(s *order.Stmt, p *path) []*path {
	if c, ok := w.of(s.Cond, p).known(); ok {
		if c == 1 {
			return w.lines(s.Body, []*path{p})
		}
		return w.lines(s.Else, []*path{p})
	}
	q := p.branch()
	return append(w.lines(s.Body, []*path{p}), w.lines(s.Else, []*path{q})...)
}

// repeat goes round as long as it is known whether to. From then on, whatever the lines set is not known any more.
func (w *walk) repeat(s *order.Stmt, p *path) []*path {
	var out []*path
	paths := []*path{p}
	for range min(s.Times, mostPaths) {
		var on []*path
		for _, p := range paths {
			c, ok := memory.Word(1), true
			if s.Cond != nil {
				c, ok = w.of(s.Cond, p).known()
			}
			switch {
			case ok && c == 0 || p.ended:
				out = append(out, p)
			case !ok:
				q := p.branch()
				w.forget(s.Body, q)
				out = append(out, p)
				out = append(out, w.lines(s.Body, []*path{q})...)
			default:
				on = append(on, w.lines(s.Body, []*path{p})...)
			}
		}
		if paths = on; len(paths) == 0 || len(paths)+len(out) > mostPaths {
			break
		}
	}
	return append(out, paths...)
}

// forget drops what a path knows of all that lines set.
func (w *walk) forget(all []*order.Stmt, p *path) {
	for _, s := range all {
		for _, t := range s.Targets {
			w.set(t, anything(), p)
		}
		if s.Op == "let" {
			p.locals[s.Local] = anything()
		}
		w.forget(s.Body, p)
		w.forget(s.Else, p)
	}
}

// together does transfers and actions at once: all values are worked out before any target is set.
func (w *walk) together(parts []*order.Stmt, p *path) {
	var sources []value
	for _, s := range parts {
		for _, e := range s.Sources {
			sources = append(sources, w.of(e, p))
		}
	}
	i := 0
	for _, s := range parts {
		if s.Op == "halt" || s.Op == "trap" {
			w.end(s, p)
		}
		for _, t := range s.Targets {
			w.set(t, sources[i], p)
			i++
		}
		if len(s.Targets) == 0 {
			i += len(s.Sources)
		}
	}
}

// set gives a target its value.
func (w *walk) set(t *order.Expr, v value, p *path) {
	if word, ok := v.known(); ok && w.order != nil && word == w.after && (t.Op != "register" || t.Index != w.x.code.Counter.Number) {
		w.kept = true
	}
	switch t.Op {
	case "register":
		w.setRegister(w.x.code.Registers[t.Index], v, p)
	case "group":
		if r := w.order.Fields[t.Index].Group[w.values[t.Index]]; r != nil {
			w.setRegister(r, v, p)
		}
	case "local":
		p.locals[t.Index] = v
	case "join":
		low := t.Args[1].Width
		w.set(t.Args[0], part(v, low, t.Args[0].Width), p)
		w.set(t.Args[1], part(v, 0, low), p)
	case "bits":
		w.set(t.Args[0], anything(), p)
	case "store", "wrong-parity":
		w.x.write(w, t, w.of(t.Args[0], p), v)
	}
}

// part is some bits of a value.
func part(v value, lo, width int) value {
	cut := value{any: v.any, held: v.held, sum: v.sum}
	for _, word := range v.words {
		cut.add(word >> lo & memory.Mask(width))
	}
	return cut
}

// setRegister gives a register its value.
func (w *walk) setRegister(r *order.Register, v value, p *path) {
	if r == w.x.code.Counter {
		p.set, p.next = true, v
		if w.x.code.HoldsNext {
			p.counter = v
		}
		return
	}
	if n := w.x.follows[r.Number]; n >= 0 {
		// A register set from what registers held is most often one that counts: it would be followed through all its counts.
		if v.sum {
			v = anything()
		}
		v.held = false
		p.registers[n] = v
	}
}

// of works out a value on a path.
func (w *walk) of(e *order.Expr, p *path) value {
	v := eval{order: w.order, values: w.values, place: w.place, locals: p.locals, after: w.x.after}
	v.register = func(r *order.Register) value {
		if r == w.x.code.Counter {
			return p.counter
		}
		if n := w.x.follows[r.Number]; n >= 0 {
			held := p.registers[n]
			held.held = true
			return held
		}
		return anything()
	}
	v.store = func(a memory.Addr, e *order.Expr) value {
		w.cells = append(w.cells, a)
		if e.Width != w.x.code.Geometry.Width {
			return anything()
		}
		return w.x.cell(a)
	}
	return v.of(e, w.x.code)
}
