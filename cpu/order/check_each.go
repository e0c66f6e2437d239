package order

import (
	"maps"
	"slices"
	"strings"

	"coldstart/cpu/order/syntax"
)

// A copied is one of the orders that an order typed once stands for: its name, its drawings with bits in place of the
// letters of `each`, and what those letters stand for in its lines.
type copied struct {
	*syntax.Order
	name     string
	drawings []syntax.Pattern
	is       map[string]syntax.Expr
}

// copies gives the orders that one typing stands for, in the order of the entries, those of the last `each` changing
// fastest; none where something is wrong.
func (c *checker) copies(s *syntax.Order) []copied {
	all := []copied{{Order: s, name: s.Name.Text, drawings: s.Patterns}}
	if stars := strings.Count(s.Name.Text, "*"); stars != len(s.Each) {
		c.errorf(s.Name.At, "order %s has %s in its name and %s: each clause puts its words in place of one star",
			s.Name.Text, count(stars, "star"), count(len(s.Each), "`each` clause"))
		return nil
	}
	for _, each := range s.Each {
		if !c.repeatable(s, each) {
			return nil
		}
		if len(all)*len(each.Entries) > maxDeclared {
			c.errorf(each.At, "order %s stands for more than %d orders", s.Name.Text, maxDeclared)
			return nil
		}
		var more []copied
		for _, one := range all {
			for _, entry := range each.Entries {
				more = append(more, one.with(each.Field.Text, entry))
			}
		}
		all = more
	}
	return all
}

// repeatable complains of an `each` clause that does not fit its order.
func (c *checker) repeatable(s *syntax.Order, each syntax.Each) bool {
	before, letter := len(c.errs), each.Field.Text
	bits := 0
	for _, drawn := range s.Patterns {
		bits += strings.Count(drawn.Text, letter)
	}
	if bits == 0 {
		c.errorf(each.Field.At, "no pattern of order %s has the letter %s", s.Name.Text, letter)
		return false
	}
	if twice := slices.ContainsFunc(s.Each, func(other syntax.Each) bool { return other.Field.Text == letter && other.At != each.At }); twice {
		c.errorf(each.Field.At, "each %s stands twice in order %s", letter, s.Name.Text)
	}
	for _, entry := range each.Entries {
		if n := len(entry.Value); n != bits {
			c.errorf(entry.At, "%s has %s, but letter %s has %d in the pattern", entry.Value, count(n, "bit"), letter, bits)
		}
		for _, other := range s.Each {
			if entry.Is != nil && mentions(entry.Is, other.Field.Text) {
				c.errorf(entry.At, "what %s stands for hangs on %s, which itself is put in place by an `each` clause", letter, other.Field.Text)
			}
		}
	}
	return len(c.errs) == before
}

// with puts one entry of an `each` clause in place of its star and its letter.
func (one copied) with(letter string, entry syntax.EachEntry) copied {
	more := copied{Order: one.Order, is: maps.Clone(one.is)}
	more.name = strings.Replace(one.name, "*", entry.Name.Text, 1)
	if more.is == nil {
		more.is = map[string]syntax.Expr{}
	}
	more.is[letter] = entry.Is
	next := 0 // of the bits of the entry
	for _, drawn := range one.drawings {
		text := []byte(drawn.Text)
		for i := range text {
			if string(text[i]) == letter {
				text[i] = entry.Value[next]
				next++
			}
		}
		more.drawings = append(more.drawings, syntax.Pattern{At: drawn.At, Text: string(text)})
	}
	return more
}

// mentions says whether a value is written with a name.
func mentions(e syntax.Expr, name string) bool {
	in := func(all ...syntax.Expr) bool {
		return slices.ContainsFunc(all, func(e syntax.Expr) bool { return mentions(e, name) })
	}
	switch e := e.(type) {
	case *syntax.Ident:
		return e.Text == name
	case *syntax.Unary:
		return in(e.X)
	case *syntax.Binary:
		return in(e.X, e.Y)
	case *syntax.Cond:
		return in(e.If, e.Then, e.Else)
	case *syntax.Pick:
		return in(e.X)
	case *syntax.Call:
		return in(e.Args...)
	case *syntax.Index:
		return in(e.Args...)
	}
	return false
}

// meant is what a value stands for: that of an `each` clause where it is the letter of one.
func (s *scope) meant(e syntax.Expr) syntax.Expr {
	if n, ok := e.(*syntax.Ident); ok {
		if is := s.is[n.Text]; is != nil {
			return is
		}
	}
	return e
}
