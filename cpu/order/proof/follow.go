package proof

import "coldstart/cpu/order"

// choose settles which registers are followed: those that orders take their targets from.
func (x *explorer) choose() {
	x.follows = make([]int, len(x.code.Registers))
	for i := range x.follows {
		x.follows[i] = -1
	}
	for _, o := range x.code.Orders {
		x.feeds(o, o.Does, x.locals(o))
	}
}

// locals gives the values that lets and transfers give the locals of an order.
func (x *explorer) locals(o *order.Order) map[int][]*order.Expr {
	sources := map[int][]*order.Expr{}
	var gather func([]*order.Stmt)
	gather = func(all []*order.Stmt) {
		for _, s := range all {
			if s.Op == "let" {
				sources[s.Local] = append(sources[s.Local], s.Sources[0])
			}
			for i, t := range s.Targets {
				if t.Op == "local" {
					sources[t.Index] = append(sources[t.Index], s.Sources[i])
				}
			}
			gather(s.Body)
			gather(s.Else)
		}
	}
	gather(o.Does)
	return sources
}

// feeds follows the registers in values that lines give the counter.
func (x *explorer) feeds(o *order.Order, all []*order.Stmt, locals map[int][]*order.Expr) {
	for _, s := range all {
		for i, t := range s.Targets {
			if t.Op == "register" && t.Index == x.code.Counter.Number {
				x.follow(o, s.Sources[i], locals, map[int]bool{})
			}
		}
		x.feeds(o, s.Body, locals)
		x.feeds(o, s.Else, locals)
	}
}

// follow follows the registers in a value.
func (x *explorer) follow(o *order.Order, e *order.Expr, locals map[int][]*order.Expr, done map[int]bool) {
	registers := []*order.Register{}
	switch e.Op {
	case "register":
		registers = append(registers, x.code.Registers[e.Index])
	case "group":
		registers = o.Fields[e.Index].Group
	case "local":
		if !done[e.Index] {
			done[e.Index] = true
			for _, source := range locals[e.Index] {
				x.follow(o, source, locals, done)
			}
		}
	}
	for _, r := range registers {
		if r != nil && r != x.code.Counter && !x.code.Requested(r) && x.follows[r.Number] < 0 && len(x.followed) < mostFollowed {
			x.follows[r.Number] = len(x.followed)
			x.followed = append(x.followed, r)
		}
	}
	for _, a := range e.Args {
		x.follow(o, a, locals, done)
	}
}
