package order

import (
	"strings"

	"coldstart/cpu/order/syntax"
)

// check resolves a worked example; carrying it out is for those who have a machine.
func (c *checker) check(o *Order, s syntax.Check) {
	check := Check{Line: s.At.Line, Reads: s.Reads}
	for _, text := range s.Words {
		digits := strings.ReplaceAll(text, " ", "")
		if width := c.code.OrderWidth(); len(digits) > width {
			c.errorf(s.At, "the example %s has %s, but a word has %d", text, count(len(digits), "bit"), width)
			return
		}
		check.Words = append(check.Words, binary(digits))
	}
	switch n := len(check.Words); {
	case n == 0:
	case n != o.Length():
		c.errorf(s.At, "the example has %s, but order %s has %d", count(n, "word"), o.Name, o.Length())
	case !o.draws(check.Words):
		c.errorf(s.At, "the example %s does not look like the pattern of order %s", strings.Join(s.Words, " / "), o.Name)
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
