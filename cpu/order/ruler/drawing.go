package ruler

import (
	"fmt"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Word is one word of an order, or half a word where words hold two orders.
type Word struct {
	Drawn  string     // a letter for each bit, as a machine file draws it
	Rulers [][]string // the numbers of the bits from the left; of the left half and of the right one where words hold two orders
}

// A Part is what some bits of an order are.
type Part struct {
	Kind  string // fixed, field, ignored or unknown
	Name  string // of a field, its letter; else 0/1, * and ?
	Width int    // bits
	Bits  string // their numbers, such as 13-12, and in which word or half where that is not plain
	Means string // what the machine takes them for
}

// Words draws the words of an order from what was understood of it, not from what was typed.
func Words(c *order.Code, o *order.Order) []Word {
	var words []Word
	for i, p := range o.Patterns {
		w := Word{Drawn: drawn(o, i, p)}
		for _, low := range lows(c) {
			w.Rulers = append(w.Rulers, Numbers(c.Geometry.Style, numbered(c, p), p.Width, low))
		}
		words = append(words, w)
	}
	return words
}

// lows is where an order may begin in its word, counted from the right: of two in a word the left half first.
func lows(c *order.Code) []int {
	if c.PerWord > 1 {
		return []int{c.OrderWidth(), 0}
	}
	return []int{0}
}

// numbered is how wide the word is whose bits are numbered: the whole word where it holds two orders.
func numbered(c *order.Code, p order.Pattern) int {
	if c.PerWord > 1 {
		return c.Geometry.Width
	}
	return p.Width
}

// drawn is one pattern with the letters of its fields.
func drawn(o *order.Order, word int, p order.Pattern) string {
	text := make([]byte, p.Width)
	for i := range text {
		text[i] = kind(p, p.Width-1-i)
	}
	for _, f := range o.Fields {
		for _, piece := range f.Pieces {
			for at := piece.Lo; piece.Word == word && at <= piece.Hi; at++ {
				text[p.Width-1-at] = f.Name[0]
			}
		}
	}
	return string(text)
}

// kind is how a bit that is in no field is drawn.
func kind(p order.Pattern, bit int) byte {
	switch m := memory.Word(1) << bit; {
	case p.Mask&p.Value&m != 0:
		return '1'
	case p.Mask&m != 0:
		return '0'
	case p.Unknown&m != 0:
		return '?'
	}
	return '*'
}

// Parts tells what the bits of an order are: those fixed, the fields in the sequence they are drawn, those that the machine
// ignores, and those on which the handbook is silent. A kind that the order has none of is left out.
func Parts(c *order.Code, o *order.Order) []Part {
	all := others(c, o, "fixed", "0/1", "01")
	if len(all) > 0 {
		all[0].Means = values(o)
	}
	for _, f := range o.Fields {
		all = append(all, Part{Kind: "field", Name: f.Name, Width: f.Width, Bits: where(c, o, f.Pieces), Means: means(o, f)})
	}
	all = append(all, others(c, o, "ignored", "*", "*")...)
	return append(all, others(c, o, "unknown", "?", "?")...)
}

// others gathers the bits drawn with one of some letters into one part; none where there are no such bits.
func others(c *order.Code, o *order.Order, what, name, letters string) []Part {
	part := Part{Kind: what, Name: name}
	part.Means = map[string]string{"ignored": "the machine ignores them", "unknown": "the handbook is silent"}[what]
	var pieces []order.Piece
	for i, p := range o.Patterns {
		text := drawn(o, i, p)
		for at := p.Width - 1; at >= 0; at-- {
			if !strings.ContainsRune(letters, rune(text[p.Width-1-at])) {
				continue
			}
			part.Width++
			if last := len(pieces) - 1; last >= 0 && pieces[last].Word == i && pieces[last].Lo == at+1 {
				pieces[last].Lo = at
				continue
			}
			pieces = append(pieces, order.Piece{Word: i, Hi: at, Lo: at})
		}
	}
	if part.Width == 0 {
		return nil
	}
	part.Bits = where(c, o, pieces)
	return []Part{part}
}

// values is the fixed bits of an order, those of one run together.
func values(o *order.Order) string {
	var runs []string
	for i, p := range o.Patterns {
		fixed := func(r rune) rune {
			if r == '0' || r == '1' {
				return r
			}
			return ' '
		}
		runs = append(runs, strings.Fields(strings.Map(fixed, drawn(o, i, p)))...)
	}
	return strings.Join(runs, ", ")
}

// where names bits by the machine's own numbers, those at the left first.
func where(c *order.Code, o *order.Order, pieces []order.Piece) string {
	var ways []string
	for i, low := range lows(c) {
		var runs []string
		for _, piece := range pieces {
			width := numbered(c, o.Patterns[piece.Word])
			run := c.Geometry.Style.Bit(low+piece.Hi, width)
			if piece.Hi > piece.Lo {
				run += "-" + c.Geometry.Style.Bit(low+piece.Lo, width)
			}
			if len(o.Patterns) > 1 {
				run += fmt.Sprintf(" of word %d", piece.Word+1)
			}
			runs = append(runs, run)
		}
		way := strings.Join(runs, ", ")
		if c.PerWord > 1 {
			way += [...]string{" at the left", " at the right"}[i]
		}
		ways = append(ways, way)
	}
	return strings.Join(ways, "; ")
}

// mostValues is how many values of a field are named; a group may have thousands.
const mostValues = 16

// means says what the values of a field stand for.
func means(o *order.Order, f *order.Field) string {
	var named []string
	values := max(len(f.Group), len(f.Choice))
	for v := range values {
		name := ""
		switch {
		case f.Choice != nil:
			name = f.Choice[v]
		case f.Group[v] != nil:
			name = f.Group[v].Name
		}
		if name != "" {
			named = append(named, fmt.Sprintf("%0*b %s", f.Width, v, name))
		}
	}
	some, rest := named[:min(len(named), mostValues)], ""
	if len(some) < len(named) {
		rest = fmt.Sprintf(" and %d more", len(named)-len(some))
	}
	switch {
	case f.Group != nil && len(named) < values:
		return "a register: " + strings.Join(some, ", ") + rest + "; the order reads no other value"
	case f.Group != nil:
		return "a register: " + strings.Join(some, ", ") + rest
	case f.Choice != nil:
		return "a word: " + strings.Join(some, ", ") + rest
	}
	for _, operand := range o.Operands {
		if operand.As != nil && operand.Fields[len(operand.Fields)-1] == f {
			return "written as " + operand.As.String()
		}
	}
	return "a number"
}
