package plan

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// lines builds lines in turn. Scratch places are free again after each.
func (u *builder) lines(ls []*order.Stmt) {
	for _, s := range ls {
		u.line(s)
		u.next = u.base
	}
}

// line builds one line.
func (u *builder) line(s *order.Stmt) {
	switch s.Op {
	case "transfer":
		u.together([]*order.Stmt{s})
	case "together":
		u.together(s.Body)
	case "let":
		u.let(s.Local, u.value(s.Sources[0]))
	case "if":
		u.branch(s)
	case "repeat":
		u.repeat(s)
	default:
		u.action(s, u.arg(s))
	}
}

// let gives a local its value: known, it needs no step.
func (u *builder) let(n int, o operand) {
	l := &u.locals[n]
	if o.known {
		l.known, l.value = true, o.value
		return
	}
	l.known = false
	u.settle(o, l.place)
}

// arg is the value an action needs, read before anything on its line is set.
func (u *builder) arg(s *order.Stmt) operand {
	switch {
	case s.Cond != nil:
		return u.value(s.Cond)
	case len(s.Sources) > 0:
		return u.value(s.Sources[0])
	}
	return operand{}
}

// action builds a line that is no transfer.
func (u *builder) action(s *order.Stmt, arg operand) {
	switch s.Op {
	case "halt":
		final := uint8(0)
		if s.Final {
			final = 1
		}
		u.emit(Step{Op: Halt, N: final})
	case "wait":
		u.emit(Step{Op: Wait, A: u.place(arg)})
	case "spend":
		if arg != known(0) {
			u.emit(Step{Op: Spend, A: u.place(arg)})
		}
	case "restart":
		u.emit(Step{Op: Restart, N: uint8(s.Index)})
	case "trap":
		u.emit(Step{Op: Trap, N: uint8(s.Index)})
	default:
		panic("plan: no steps for " + s.Op)
	}
}

// branch builds an if: one way only where the condition is known.
func (u *builder) branch(s *order.Stmt) {
	cond := u.value(s.Cond)
	if cond.known {
		if cond.value == 1 {
			u.lines(s.Body)
		} else {
			u.lines(s.Else)
		}
		return
	}
	at := u.place(cond)
	counter := u.counter
	u.forget(s.Body, s.Else) // both ways must find, and leave, locals at their places
	u.counter = counter
	over := u.emit(Step{Op: JumpZero, A: at, C: u.skips(s)})
	u.lines(s.Body)
	u.forget(s.Body)
	if len(s.Else) > 0 {
		out := u.emit(Step{Op: Jump})
		u.land(over)
		u.counter = counter
		u.lines(s.Else)
		u.forget(s.Body, s.Else)
		over = out
	}
	u.land(over)
}

// The ways in which a JumpZero can decide whether an order skips; 0: it does not.
const (
	SkipsIfNot = 1 + iota // it skips where A is not 0
	SkipsIf               // it skips where A is 0
)

// skips tells whether an if does nothing but let the order skip: it sets the order counter to somewhat farther than it is.
func (u *builder) skips(s *order.Stmt) uint16 {
	if len(s.Else) > 0 || len(s.Body) != 1 || len(s.Body[0].Targets) != 1 || len(s.Body[0].Sources) != 1 {
		return 0
	}
	if p, whole := u.whole(s.Body[0].Targets[0]); whole && p == u.counterTo && u.ahead(s.Body[0].Sources[0]) > 1 {
		return SkipsIfNot
	}
	return 0
}

// skipsTo tells which of two values, one taken where a condition holds, is where an order goes on that skips.
func (u *builder) skipsTo(yes, no *order.Expr) uint16 {
	switch a, b := u.ahead(yes), u.ahead(no); {
	case a < 0 || b < 0 || a == b || max(a, b) <= 1:
		return 0
	case a > b:
		return SkipsIfNot
	}
	return SkipsIf
}

// ahead is how many orders, or places up to two, a value lies ahead of the order acting, where it is written as that; else -1.
// The order behind it is 1 ahead.
func (u *builder) ahead(e *order.Expr) int {
	far := 0
	switch {
	case e.Op == "after":
		far = 1
	case (e.Op == "+" || e.Op == "add") && e.Args[1].Op == "const":
		far = int(min(e.Args[1].Value, 2))
	case e.Op == "here":
		return 0
	default:
		switch p, whole := u.whole(e); {
		case !whole || p != u.counterTo:
			return -1
		case u.counterTo == u.counterAt: // it holds the next order already
			return 1
		}
		return 0
	}
	if n := u.ahead(e.Args[0]); n >= 0 {
		return n + far
	}
	return -1
}

// repeat builds a bounded repetition: not at all where its condition is known not to hold.
func (u *builder) repeat(s *order.Stmt) {
	if s.Cond != nil {
		if c := u.value(s.Cond); c.known && c.value == 0 {
			return
		}
	}
	u.forget(s.Body)
	outer := u.base
	count := u.fresh()
	u.base = u.next
	u.emit(Step{Op: Move, D: count, A: u.file.constant(memory.Word(s.Times))})
	again := u.mark()
	outs := []int{u.emit(Step{Op: Count, D: count})}
	if s.Cond != nil {
		outs = append(outs, u.emit(Step{Op: JumpZero, A: u.place(u.value(s.Cond))}))
	}
	u.lines(s.Body)
	u.forget(s.Body)
	u.emit(Step{Op: Jump, J: again})
	for _, i := range outs {
		u.land(i)
	}
	u.base = outer
}

// assigned lists the locals that lines set, inner lines included.
func assigned(ls []*order.Stmt) []int {
	var out []int
	for _, s := range ls {
		if s.Op == "let" {
			out = append(out, s.Local)
		}
		for _, t := range s.Targets {
			out = append(out, localsOf(t)...)
		}
		out = append(out, assigned(s.Body)...)
		out = append(out, assigned(s.Else)...)
	}
	return out
}

// localsOf lists the locals that a target sets.
func localsOf(t *order.Expr) []int {
	switch t.Op {
	case "local":
		return []int{t.Index}
	case "join", "bits":
		var out []int
		for _, a := range t.Args {
			out = append(out, localsOf(a)...)
		}
		return out
	}
	return nil
}

// setsCounter tells whether lines set the order counter.
func (u *builder) setsCounter(ls []*order.Stmt) bool {
	for _, s := range ls {
		for _, t := range s.Targets {
			if u.names(t, u.counterAt) {
				return true
			}
		}
		if u.setsCounter(s.Body) || u.setsCounter(s.Else) {
			return true
		}
	}
	return false
}
