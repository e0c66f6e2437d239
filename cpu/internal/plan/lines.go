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
	over := u.emit(Step{Op: JumpZero, A: at, C: gate(u.skips(s))})
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

// gate marks a JumpZero that decides whether an order skips.
func gate(skips bool) uint16 {
	if skips {
		return 1
	}
	return 0
}

// skips tells whether an if does nothing but let the order skip: it sets the order counter to somewhat farther than it is.
func (u *builder) skips(s *order.Stmt) bool {
	if len(s.Else) > 0 || len(s.Body) != 1 || len(s.Body[0].Targets) != 1 || len(s.Body[0].Sources) != 1 {
		return false
	}
	return u.names(s.Body[0].Targets[0], u.counterAt) && u.skipTo(s.Body[0].Sources[0])
}

// skipTo tells whether a value is where an order goes on that skips: behind the order that stands at a place, or a known number
// of places behind the order counter.
func (u *builder) skipTo(e *order.Expr) bool {
	switch e.Op {
	case "after":
		return true
	case "+", "add":
		return u.names(e.Args[0], u.counterAt) && e.Args[1].Op == "const"
	}
	return false
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
