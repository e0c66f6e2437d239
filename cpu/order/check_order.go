package order

import (
	"strings"

	"coldstart/cpu/order/syntax"
)

// orders reads the order code.
func (c *checker) orders() {
	for _, s := range every[*syntax.Order](c) {
		o := &Order{Name: s.Name.Text, Number: len(c.code.Orders), Line: s.At.Line, Page: s.Page, Doubt: s.Doubt, Cost: 1}
		c.at[o] = s.At
		if !c.declare("order", s.Name) {
			continue
		}
		c.code.Orders = append(c.code.Orders, o)
		c.patterns(o, s)
		c.operands(o, s)
		if s.Cost.Text != "" {
			o.Cost = c.decimal(s.Cost, "the cost of an order", 0, 1<<20)
		}
		// What is written for an operand, and what must be so, hold before anything is done: no lets in them.
		before := &scope{checker: c, order: o}
		c.as(o, s, before)
		for _, m := range s.Must {
			o.Must = append(o.Must, before.condition(m))
		}
		c.unwritten(o, s)
		scope := &scope{checker: c, order: o}
		for _, n := range s.Modes {
			if m := c.modes[n.Text]; m != nil {
				o.Does = append(o.Does, scope.lines(m.Does)...)
			} else {
				c.unknown("mode", n, c.modeList)
			}
		}
		o.Does = append(o.Does, scope.lines(s.Does)...)
		o.Locals = scope.count
		for _, check := range s.Checks {
			c.check(o, check)
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
	case "group", "store", "channel", "sign":
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
func (c *checker) unwritten(o *Order, s *syntax.Order) {
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
			c.errorf(s.Patterns[f.Pieces[0].Word].At, "field %s of the pattern is no operand of order %s: add it to the first line, or draw 0, 1, * (ignored) or ? (not known)", f.Name, o.Name)
		}
	}
}

// check resolves a worked example; carrying it out is for those who have a machine.
func (c *checker) check(o *Order, s syntax.Check) {
	check := Check{Line: s.At.Line, Reads: s.Reads}
	for _, text := range s.Words {
		digits := strings.ReplaceAll(text, " ", "")
		if width := c.code.Geometry.Width; len(digits) > width {
			c.errorf(s.At, "the example %s has %s, but a word has %d", text, count(len(digits), "bit"), width)
			continue
		}
		check.Words = append(check.Words, binary(digits))
	}
	if n := len(s.Words); n > 0 && n != o.Length() {
		c.errorf(s.At, "the example has %s, but order %s has %d", count(n, "word"), o.Name, o.Length())
	}
	check.Before = c.settings(s.Before)
	check.After = c.settings(s.After)
	o.Checks = append(o.Checks, check)
}

// settings resolves places and values of a worked example.
func (c *checker) settings(from []syntax.Setting) []Setting {
	var settings []Setting
	for _, s := range from {
		set, width, ok := c.place(s.Place)
		if !ok {
			continue
		}
		if set.Value, ok = c.value(s.Value, width, "its place"); ok {
			settings = append(settings, set)
		}
	}
	return settings
}

// place finds the register or store word that an example sets or looks at, and its width.
func (c *checker) place(e syntax.Expr) (set Setting, width int, ok bool) {
	switch e := e.(type) {
	case *syntax.Ident:
		if r := c.code.Register(e.Text); r != nil {
			return Setting{Register: r}, r.Width, true
		}
		c.unknown("register", e.Name, c.registerNames())
		return set, 0, false
	case *syntax.Index:
		if n, isNumber := e.Args[0].(*syntax.Literal); isNumber && e.Name.Text == "store" && len(e.Args) == 1 {
			addr, ok := c.addr(n.Number)
			return Setting{Addr: addr}, c.code.Geometry.Width, ok
		}
	}
	c.errorf(e.Where(), "an example sets registers and store words at stated addresses, such as A = 1 or store[12] = 0")
	return set, 0, false
}
