package order

import (
	"go/token"

	"coldstart/cpu/order/syntax"
)

// maxLets is how many lets the lines of one order may have. Every machine keeps room for them all.
const maxLets = 200

// orders reads the order code. One typed for several is read once for each, so that each is whole.
func (c *checker) orders() {
	for _, s := range every[*syntax.Order](c) {
		var all []*Order
		for _, one := range c.copies(s) {
			if o := c.order(one); o != nil {
				all = append(all, o)
			}
		}
		if all != nil {
			c.examples(s, all)
		}
	}
	c.exceptions()
	c.undefined()
	c.unusedModes()
}

// order reads one order; nil where its name is taken.
func (c *checker) order(one copied) *Order {
	s := one.Order
	o := &Order{
		Name: one.name, Number: len(c.code.Orders), Line: s.At.Line, Page: s.Reference(), Doubt: doubted(s), Cost: 1,
		Unreadable: s.Unknown.Text != "",
	}
	c.at[o] = s.At
	if !c.declare("order", syntax.Name{At: s.Name.At, Text: one.name}) {
		return nil
	}
	c.code.Orders = append(c.code.Orders, o)
	c.typed[s.Name.Text] = append(c.typed[s.Name.Text], o)
	if len(s.Patterns) == 0 {
		c.errorf(s.At, "order %s has no pattern line", o.Name)
	}
	c.patterns(o, one.drawings)
	c.operands(o, s)
	c.cost(o, s.Cost)
	// What is written for an operand, and what must be so, hold before anything is done: no lets in them.
	before := &scope{checker: c, order: o, is: one.is}
	c.as(o, s, before)
	for _, m := range s.Must {
		o.Must = append(o.Must, before.condition(m))
	}
	c.unwritten(o, one.drawings)
	c.does(o, one)
	return o
}

// does reads what an order does: the lines of its modes first.
func (c *checker) does(o *Order, one copied) {
	scope := &scope{checker: c, order: o, is: one.is}
	for _, n := range one.Modes {
		m := c.modes[n.Text]
		if m == nil {
			c.unknown("mode", n, c.modeList)
			continue
		}
		c.used[m] = true
		o.Doubt = o.Doubt || doubted(m)
		o.Does = append(o.Does, scope.lines(m.Does)...)
	}
	o.Does = append(o.Does, scope.lines(one.Does)...)
	o.Locals = scope.lets(one.At, "order "+o.Name)
}

// cost takes over how many cycles an order takes.
func (c *checker) cost(o *Order, typed syntax.Number) {
	if typed.Text != "" {
		o.Cost = c.decimal(typed, "the cost of an order", 0, 1<<20)
	}
}

// lets is how many lets the lines read had; it complains where they are too many.
func (s *scope) lets(at token.Position, whose string) int {
	if s.count > maxLets {
		s.errorf(at, "the lines of %s have %d lets, those of its modes counted; %d is the most", whose, s.count, maxLets)
	}
	return s.count
}

// undefined reads what words do that no order reads.
func (c *checker) undefined() {
	for _, s := range every[*syntax.Undefined](c) {
		o := &Order{
			Name: "undefined " + s.Pattern.Text, Number: len(c.code.Undefined), Line: s.At.Line, Page: s.Reference(),
			Doubt: doubted(s), Cost: 1, Undefined: true, Text: s.Text,
		}
		c.at[o] = s.At
		c.code.Undefined = append(c.code.Undefined, o)
		c.patterns(o, []syntax.Pattern{s.Pattern})
		c.cost(o, s.Cost)
		scope := &scope{checker: c, order: o}
		if s.Does != nil {
			o.Does = append([]*Stmt{}, scope.lines(s.Does)...) // empty is to do nothing, nil is to say nothing
		}
		o.Locals = scope.lets(s.At, "this group")
	}
}

// unusedModes reads the modes that no order has, so that a slip in one shows before the first order needs it.
func (c *checker) unusedModes() {
	for _, s := range every[*syntax.Mode](c) {
		if !c.used[s] {
			scope := &scope{checker: c, unused: true}
			scope.lines(s.Does)
		}
	}
}

// operands takes over the operands as order text writes them.
func (c *checker) operands(o *Order, s *syntax.Order) {
	written := map[string]bool{}
	for _, operand := range s.Operands {
		var fields []*Field
		for _, n := range operand.Fields {
			f := o.field(n.Text)
			switch {
			case f == nil:
				c.unknown("field", n, namesOf(o.Fields, func(f *Field) string { return f.Name }))
			case written[n.Text]:
				c.errorf(n.At, "field %s is written twice in order %s", n.Text, o.Name)
			default:
				fields = append(fields, f)
			}
			written[n.Text] = true
		}
		if fields != nil {
			o.Operands = append(o.Operands, Operand{Fields: fields})
		}
	}
}

// field finds a field by its letter, nil where the order has none.
func (o *Order) field(letter string) *Field {
	for _, f := range o.Fields {
		if f.Name == letter {
			return f
		}
	}
	return nil
}

// as takes over the values that order text writes in place of fields.
func (c *checker) as(o *Order, s *syntax.Order, before *scope) {
	for _, as := range s.As {
		at := -1
		for i, operand := range o.Operands {
			if operand.Fields[len(operand.Fields)-1].Name == as.Field.Text {
				at = i
			}
		}
		if at < 0 {
			c.unknown("operand value", as.Field, namesOf(o.Operands, func(w Operand) string { return w.Fields[len(w.Fields)-1].Name }))
			continue
		}
		if o.Operands[at].As != nil {
			c.errorf(as.At, "operand %s has a second value to be written as", as.Field.Text)
			continue
		}
		value := before.settled(as.Value)
		o.Operands[at].As, o.Operands[at].Free = value, free(value, c.code.Counter)
	}
}

// free says whether a value depends on nothing but the order's place and its fields. The order counter is the place of the
// order acting, or where the counter holds the next order, that many words on.
func free(e *Expr, counter *Register) bool {
	switch e.Op {
	case "register":
		return e.Index == counter.Number
	case "group", "store", "channel", "sign", "after":
		return false
	}
	for _, arg := range e.Args {
		if !free(arg, counter) {
			return false
		}
	}
	return true
}

// unwritten complains of fields that order text cannot give a value: they would come back from a listing as zeros.
func (c *checker) unwritten(o *Order, drawings []syntax.Pattern) {
	given := map[*Field]bool{}
	for _, operand := range o.Operands {
		for _, f := range operand.Fields {
			given[f] = true
		}
	}
	for _, must := range o.Must {
		must.each(func(e *Expr) {
			if e.Op == "field" || e.Op == "group" {
				given[o.Fields[e.Index]] = true
			}
		})
	}
	for _, f := range o.Fields {
		if !given[f] {
			c.errorf(drawings[f.Pieces[0].Word].At, "field %s of the pattern is no operand of order %s: add it to the first line, or draw 0, 1, * (ignored) or ? (not known)", f.Name, o.Name)
		}
	}
}
