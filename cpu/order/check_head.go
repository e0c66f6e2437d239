package order

import (
	"go/token"
	"math/big"
	"strings"

	"coldstart/cpu/order/syntax"
)

// needed are the lines no machine file can do without, each with one as it may stand.
var needed = []struct{ word, example string }{
	{"machine", `machine "Example"`},
	{"numbers", "numbers octal, bit 0 at right"},
	{"word", "word 18 bits, twos complement"},
	{"address", "address 15 bits"},
	{"counter", "counter P: 15 bits, holds next order"},
	{"store", "store ST0 000000-007777"},
	{"order", "order halt"},
}

// head reads the lines that say how all the others are to be read.
func (c *checker) head() {
	seen := map[string]bool{}
	for _, s := range c.file.Statements {
		word, once := headWord(s)
		if once && seen[word] {
			c.errorf(s.Start(), "a second %s line; a machine file has one", word)
			continue
		}
		seen[word] = true
		c.headLine(s)
	}
	if len(c.errs) == 0 {
		c.parts()
	}
	var missing []string
	for _, n := range needed {
		if !seen[n.word] {
			missing = append(missing, "no "+n.word+" line, such as `"+n.example+"`")
		}
	}
	if missing != nil {
		c.errorf(token.Position{Filename: c.file.Name, Line: 1, Column: 1}, "the file is not whole: %s", strings.Join(missing, "; "))
	}
}

// headWord gives the keyword of a statement where it matters here, and whether it may stand but once.
func headWord(s syntax.Statement) (word string, once bool) {
	switch s := s.(type) {
	case *syntax.Title:
		return s.Keyword, true
	case *syntax.Numbers:
		return "numbers", true
	case *syntax.WordSize:
		return "word", true
	case *syntax.AddressSize:
		return "address", true
	case *syntax.Clock:
		return "clock", true
	case *syntax.Boot:
		return "boot", true
	case *syntax.Duplex:
		return "duplex", true
	case *syntax.Unit:
		return "unit", true
	case *syntax.Packing:
		return "orders", true
	case *syntax.Adder:
		return "adder", true
	case *syntax.Registers:
		return s.Keyword, s.Keyword == "counter"
	case *syntax.Store:
		return "store", false
	case *syntax.Order:
		return "order", false
	}
	return "", false
}

// headLine takes one statement over where it is one of the head.
func (c *checker) headLine(s syntax.Statement) {
	g := &c.code.Geometry
	switch s := s.(type) {
	case *syntax.Title:
		if s.Keyword == "machine" {
			c.code.Name = s.Text
		} else {
			c.code.Issue = s.Text
		}
	case *syntax.Numbers:
		c.style(s)
	case *syntax.WordSize:
		g.Width = c.decimal(s.Bits, "the width of a word", 4, 64)
		c.code.Complement = s.Complement.Text
	case *syntax.AddressSize:
		g.AddrBits = c.decimal(s.Bits, "the width of an address", 1, 64)
		if s.Digits.Text != "" {
			g.Style.AddrDigits = c.decimal(s.Digits, "how many digits an address has", 1, 64)
		}
	case *syntax.Clock:
		c.code.Cycle = c.duration(s.Time)
	}
}

// radixes are the words for number styles.
var radixes = map[string]int{"binary": 2, "octal": 8, "decimal": 10, "hexadecimal": 16}

// style takes over the handbook's way of writing numbers.
func (c *checker) style(s *syntax.Numbers) {
	style := &c.code.Geometry.Style
	style.Radix = radixes[s.Radix.Text]
	style.FirstBit = c.decimal(s.First, "the number of the end bit", 0, 1)
	style.FromLeft = s.Side.Text == "left"
	if s.Group.Text != "" {
		style.Group = c.decimal(s.Group, "how many digits stand together", 1, 64)
	}
}

// parts takes over what is smaller than a word, when it is known how wide a word is: the units that addresses count, and
// the orders in it.
func (c *checker) parts() {
	g := &c.code.Geometry
	for _, s := range every[*syntax.Unit](c) {
		g.Unit, g.LowFirst = c.decimal(s.Bits, "the width of a unit", 1, 63), s.End.Text == "low"
		if g.Unit > 0 && (g.Unit >= g.Width || g.Width%g.Unit != 0) {
			c.errorf(s.Bits.At, "a word of %s cannot be cut into units of %d: they must fill it, two of them or more", count(g.Width, "bit"), g.Unit)
		}
	}
	for _, s := range every[*syntax.Packing](c) {
		c.code.PerWord, c.code.RightFirst = c.decimal(s.Count, "how many orders stand in a word", 1, 2), s.First.Text == "right"
		switch {
		case c.code.PerWord < 2:
		case g.Unit > 0:
			c.errorf(s.At, "addresses count units here, and a word that addresses cut up holds one order")
		case g.Width%2 != 0:
			c.errorf(s.At, "a word of %s cannot be cut into two orders", count(g.Width, "bit"))
		case g.AddrBits == 64:
			c.errorf(s.At, "an address of 64 bits leaves no bit to count two orders a word by: 63 is the most")
		}
	}
}

// duration gives a time in picoseconds; 0 where it is no such time, which is complained of.
func (c *checker) duration(d syntax.Duration) int64 {
	unit := map[string]int64{"s": 1e12, "ms": 1e9, "us": 1e6, "ns": 1e3, "ps": 1}[d.Unit]
	time, ok := new(big.Rat).SetString(d.Number) // which holds 2.5 exactly
	if ok {
		time.Mul(time, new(big.Rat).SetInt64(unit))
	}
	if !ok || !time.IsInt() || !time.Num().IsInt64() || time.Sign() <= 0 {
		c.errorf(d.At, "%s %s is not a time that can be counted: it must be a whole number of picoseconds, 1 ps to 100 days", d.Number, d.Unit)
		return 0
	}
	return time.Num().Int64()
}

// declares holds the counts of the handbook against what was typed. How many orders begin with a pattern is held against
// it by whoever proves the file, since a group of orders still to be typed is no error.
func (c *checker) declares() {
	for _, d := range every[*syntax.Declares](c) {
		want := c.decimal(d.Count, "a count", 0, 1<<20)
		declared := Declared{Count: want, Line: d.At.Line}
		if d.Pattern.Text != "" {
			declared.Pattern = c.beginning(d.Pattern)
		} else if got := len(c.code.Orders); want >= 0 && got != want {
			c.errorf(d.At, "the handbook declares %d orders, but %d are typed: look for one left out or typed twice", want, got)
		}
		c.code.Declared = append(c.code.Declared, declared)
	}
}

// beginning takes over a pattern that tells orders apart and has no fields.
func (c *checker) beginning(drawn syntax.Pattern) *Pattern {
	if width := c.code.OrderWidth(); len(drawn.Text) != width {
		c.errorf(drawn.At, "the pattern has %s, but an order has %d", count(len(drawn.Text), "bit"), width)
		return nil
	}
	p := c.pattern(&Order{}, 0, drawn)
	return &p
}
