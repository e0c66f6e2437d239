package order

import (
	"slices"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// patterns takes over the drawings of an order's words and joins its fields.
func (c *checker) patterns(o *Order, drawings []syntax.Pattern) {
	for i, drawn := range drawings {
		width := len(drawn.Text)
		if !c.wordWidth(width) {
			whose := "a word"
			if c.code.PerWord > 1 {
				whose = "half a word"
			}
			c.errorf(drawn.At, "the pattern has %s, but %s has %d", count(width, "bit"), whose, c.code.OrderWidth())
			// Nothing beyond the word may be counted as a bit of it.
			drawn.Text = drawn.Text[:min(width, c.code.OrderWidth())]
		}
		o.Patterns = append(o.Patterns, c.pattern(o, i, drawn))
	}
	for _, f := range o.Fields {
		c.meaning(o, f, drawings[f.Pieces[0].Word])
	}
}

// wordWidth says whether words of this width are kept anywhere.
func (c *checker) wordWidth(width int) bool {
	g := c.code.Geometry
	if c.code.PerWord > 1 {
		return width == c.code.OrderWidth()
	}
	return width == g.Width || slices.ContainsFunc(g.Areas, func(a memory.Area) bool { return a.Width == width })
}

// pattern takes over one drawing, high bit first.
func (c *checker) pattern(o *Order, word int, drawn syntax.Pattern) Pattern {
	width := len(drawn.Text)
	// A word narrower than the widest has zeros above it.
	p := Pattern{Mask: memory.Mask(c.code.OrderWidth()) &^ memory.Mask(width), Width: width}
	for i, letter := range drawn.Text {
		at := width - 1 - i
		bit := memory.Word(1) << at
		switch letter {
		case '0':
			p.Mask |= bit
		case '1':
			p.Mask |= bit
			p.Value |= bit
		case '?':
			p.Unknown |= bit
		case '*':
		default:
			c.fieldBit(o, string(letter), Piece{Word: word, Hi: at, Lo: at}, drawn)
		}
	}
	return p
}

// fieldBit adds one bit at the low end of a field.
func (c *checker) fieldBit(o *Order, letter string, bit Piece, drawn syntax.Pattern) {
	f := o.field(letter)
	if f == nil {
		f = &Field{Name: letter, Number: len(o.Fields)}
		o.Fields = append(o.Fields, f)
	}
	f.Width++
	if f.Width == 65 {
		c.errorf(drawn.At, "field %s of order %s has more than 64 bits", letter, o.Name)
	}
	if last := len(f.Pieces) - 1; last >= 0 && f.Pieces[last].Word == bit.Word && f.Pieces[last].Lo == bit.Hi+1 {
		f.Pieces[last].Lo = bit.Lo
		return
	}
	f.Pieces = append(f.Pieces, bit)
}

// meaning gives a field the group or choice of its letter.
func (c *checker) meaning(o *Order, f *Field, drawn syntax.Pattern) {
	g := c.groups[f.Name]
	if g == nil {
		return
	}
	if g.width != f.Width {
		c.errorf(drawn.At, "field %s of order %s has %s, but the values of %s %s (line %d) have %s: use another letter where it means something else",
			f.Name, o.Name, count(f.Width, "bit"), g.word, f.Name, g.line, count(g.width, "bit"))
		return
	}
	f.Group, f.Choice = g.registers, g.choices
	later := slices.ContainsFunc(f.Pieces, func(p Piece) bool { return p.Word > 0 })
	if later && slices.Contains(f.Group, nil) {
		c.errorf(drawn.At, "field %s of order %s stands outside the first word, so every value must mean a register, and group %s (line %d) leaves some out",
			f.Name, o.Name, f.Name, g.line)
	}
}
