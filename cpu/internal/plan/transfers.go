package plan

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A move is one target of a line and the value that goes there.
type move struct {
	target *order.Expr
	source *order.Expr
	at     []operand // what the target needs known before anything is set: an address, a channel
	value  operand
	done   bool // the value was made in its target
}

// together builds transfers and actions that happen together: every value is read before any target is set.
func (u *builder) together(parts []*order.Stmt) {
	var moves []*move
	var actions []*order.Stmt
	for _, p := range parts {
		if p.Op != "transfer" {
			actions = append(actions, p)
			continue
		}
		for i, t := range p.Targets {
			moves = append(moves, &move{target: t, source: p.Sources[i]})
		}
	}
	for i, m := range moves {
		u.read(m, moves, i, len(actions) > 0)
	}
	args := make([]operand, len(actions))
	for i, a := range actions {
		args[i] = u.held(u.arg(a), moves)
	}
	for _, m := range moves {
		if !m.done {
			u.set(m.target, m.value, m.at)
		}
	}
	for i, a := range actions {
		u.action(a, args[i])
	}
}

// read builds the value of a move and what its target needs. The value is made right in its target where nothing read
// later on the line could notice.
func (u *builder) read(m *move, moves []*move, i int, actions bool) {
	for _, a := range m.target.Args {
		if m.target.Op != "join" && m.target.Op != "bits" {
			m.at = append(m.at, u.held(u.value(a), moves))
		}
	}
	m.value = u.value(m.source)
	if p, ok := u.whole(m.target); ok && !actions && !u.noticed(p, moves[i+1:]) && !u.awaited(p, moves[:i]) {
		u.settle(m.value, p)
		u.was(m.target)
		m.done = true
		return
	}
	m.value = u.held(m.value, moves)
}

// whole is the place of a target that is a register or local and nothing less.
func (u *builder) whole(t *order.Expr) (uint16, bool) {
	switch t.Op {
	case "register", "group":
		if p := uint16(u.target(t)); p != u.counterAt {
			return p, true
		}
		return u.counterTo, true
	case "local":
		return u.locals[t.Index].place, true
	}
	return 0, false
}

// noticed tells whether a place is read by the moves still to be read, or whether one of them may end the order.
func (u *builder) noticed(place uint16, rest []*move) bool {
	return slices.ContainsFunc(rest, func(m *move) bool {
		return u.names(m.source, place) || u.names(m.target, place) || outward(m.source) || outward(m.target)
	})
}

// awaited tells whether a move read earlier has still to set the place, since the later one must win, or may still end the
// order, since then the later one is not done.
func (u *builder) awaited(place uint16, before []*move) bool {
	return slices.ContainsFunc(before, func(m *move) bool { return !m.done && (u.names(m.target, place) || outward(m.target)) })
}

// names tells whether an expression names a place: a register or a local.
func (u *builder) names(e *order.Expr, place uint16) bool {
	if p, ok := u.whole(e); ok && p == place {
		return true
	}
	return slices.ContainsFunc(e.Args, func(a *order.Expr) bool { return u.names(a, place) })
}

// sets tells whether a target sets a place, in whole or in part.
func (u *builder) sets(t *order.Expr, place uint16) bool {
	if t.Op == "join" || t.Op == "bits" {
		return slices.ContainsFunc(t.Args, func(a *order.Expr) bool { return u.sets(a, place) })
	}
	p, ok := u.whole(t)
	return ok && p == place
}

// outward tells whether an expression reaches out of the processor, where a trap may end the order.
func outward(e *order.Expr) bool {
	switch e.Op {
	case "store", "wrong-parity", "channel", "sign", "command", "after":
		return true
	}
	return slices.ContainsFunc(e.Args, outward)
}

// held makes sure that a value stays what it is while the line sets its targets.
func (u *builder) held(o operand, moves []*move) operand {
	if o.known || u.isScratch(o.place) {
		return o
	}
	if !slices.ContainsFunc(moves, func(m *move) bool { return u.sets(m.target, o.place) }) {
		return o
	}
	d := u.fresh()
	u.emit(Step{Op: Move, D: d, A: o.place})
	return operand{place: d}
}

// set builds the storing of a value in its target.
func (u *builder) set(t *order.Expr, v operand, at []operand) {
	switch t.Op {
	case "register", "group", "local":
		p, _ := u.whole(t)
		u.settleAt(v, p)
	case "bits":
		u.setBits(t, v)
	case "join":
		low := t.Args[1].Width
		u.set(t.Args[0], u.part(v, low, t.Args[0].Width), nil)
		u.set(t.Args[1], u.part(v, 0, low), nil)
		return // the parts have said what they set
	case "store":
		op := Store
		if t.Width < u.word {
			op = StorePart
		}
		u.emit(Step{Op: op, A: u.place(at[0]), B: u.place(v), N: uint8(t.Width)})
	case "wrong-parity":
		u.emit(Step{Op: StoreWrong, A: u.place(at[0]), B: u.place(v), C: u.file.constant(memory.Word(t.Index))})
	case "channel":
		u.emit(Step{Op: Send, A: u.place(at[0]), B: u.place(v)})
	case "command":
		u.emit(Step{Op: Command, A: u.place(at[0]), B: u.place(v)})
	default:
		panic("plan: nothing can be set in " + t.Op)
	}
	u.was(t)
}

// settleAt moves a value into a place; unlike settle it leaves earlier steps alone, since they may serve other targets.
func (u *builder) settleAt(v operand, p uint16) {
	if from := u.place(v); from != p {
		u.emit(Step{Op: Move, D: p, A: from})
	}
}

// setBits replaces some bits of a register or local.
func (u *builder) setBits(t *order.Expr, v operand) {
	whole := t.Args[0]
	if whole.Op == "local" {
		u.forgetLocal(whole.Index)
	}
	p, ok := u.whole(whole)
	if !ok {
		panic("plan: no bits can be set in " + whole.Op)
	}
	u.emit(Step{Op: Put, D: p, A: u.place(v), N: uint8(t.Lo), M: memory.Mask(t.Hi-t.Lo+1) << t.Lo})
	u.was(whole)
}

// forgetLocal gives a known local its place.
func (u *builder) forgetLocal(n int) {
	if l := &u.locals[n]; l.known {
		l.known = false
		u.emit(Step{Op: Move, D: l.place, A: u.file.constant(l.value)})
	}
}

// part takes some bits of a value.
func (u *builder) part(v operand, lo, width int) operand {
	if v.known {
		return known(v.value >> lo & memory.Mask(width))
	}
	d := u.fresh()
	u.emit(Step{Op: Bits, D: d, A: v.place, N: uint8(lo), M: memory.Mask(width)})
	return operand{place: d}
}

// was notes that a target has been set: it is known no longer.
func (u *builder) was(t *order.Expr) {
	if t.Op == "local" {
		u.locals[t.Index].known = false
	}
	if p, ok := u.whole(t); ok && p == u.counterAt {
		u.counter = operand{place: u.counterAt}
	}
}
