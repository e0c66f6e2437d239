package order

import (
	"slices"
	"strings"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// examples resolves the worked examples of an order; carrying them out is for those who have a machine. Of the orders that
// one typing stands for, an example with words is for those that read them, and one with values for the same as the
// example above it.
func (c *checker) examples(s *syntax.Order, copies []*Order) {
	meant := copies
	for _, example := range s.Checks {
		check := Check{Line: example.At.Line, Reads: example.Reads, Before: c.settings(example.Before), After: c.settings(example.After)}
		if example.Words != nil {
			words, ok := c.exampleWords(example, copies[0])
			if !ok {
				continue
			}
			check.Words = words
			meant = slices.DeleteFunc(slices.Clone(copies), func(o *Order) bool { return !o.draws(words) })
			if len(meant) == 0 {
				c.errorf(example.At, "the example %s does not look like the pattern of order %s", strings.Join(example.Words, " / "), s.Name.Text)
			}
		}
		for _, o := range meant {
			o.Checks = append(o.Checks, check)
		}
	}
}

// exampleWords reads the words of an example, as many as the order has.
func (c *checker) exampleWords(example syntax.Check, o *Order) (words []memory.Word, ok bool) {
	for _, text := range example.Words {
		digits := strings.ReplaceAll(text, " ", "")
		if width := c.code.OrderWidth(); len(digits) > width {
			c.errorf(example.At, "the example %s has %s, but a word has %d", text, count(len(digits), "bit"), width)
			return nil, false
		}
		words = append(words, binary(digits))
	}
	if n := len(words); n != o.Length() {
		c.errorf(example.At, "the example has %s, but order %s has %d", count(n, "word"), o.Name, o.Length())
		return nil, false
	}
	return words, true
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
			ok = ok && c.begins(n.Number, addr)
			return Setting{Addr: addr}, c.code.Geometry.Width, ok
		}
	}
	c.errorf(e.Where(), "an example sets registers and store words at stated addresses, such as A = 1 or store[12] = 0")
	return set, 0, false
}
