package order

import "slices"

// Branches tells whether a condition decides where the machine goes on after an order: it sets the counter in one case and
// not in another, or to one of two values. A jump that always goes where a register or a store word says is none.
func (c *Code) Branches(o *Order) bool {
	b := brancher{counter: c.Counter.Number}
	return b.lines(o.Does, false)
}

// A brancher looks for conditions over the counter.
type brancher struct {
	counter int
	chosen  bool // a local has been given one of two values
}

// lines looks through lines that are done in some cases only where conditional is set.
func (b *brancher) lines(lines []*Stmt, conditional bool) bool {
	return slices.ContainsFunc(lines, func(s *Stmt) bool {
		if s.Op == "let" && slices.ContainsFunc(s.Sources, b.chooses) {
			b.chosen = true
		}
		if slices.ContainsFunc(s.Targets, b.isCounter) && (conditional || slices.ContainsFunc(s.Sources, b.chooses)) {
			return true
		}
		inside := conditional || s.Op == "if" || s.Op == "repeat"
		return b.lines(s.Body, inside) || b.lines(s.Else, inside)
	})
}

// isCounter tells whether a target holds the counter.
func (b *brancher) isCounter(e *Expr) bool {
	return e.Op == "register" && e.Index == b.counter || (e.Op == "join" || e.Op == "bits") && slices.ContainsFunc(e.Args, b.isCounter)
}

// chooses tells whether a value is one of two by a condition.
func (b *brancher) chooses(e *Expr) bool {
	return e.Op == "cond" || e.Op == "local" && b.chosen || slices.ContainsFunc(e.Args, b.chooses)
}
