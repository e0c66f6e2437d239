package syntax

import (
	"fmt"
	"slices"
	"strings"
)

// loosest is the level below all operators: there a value never needs brackets.
const loosest = -1

// value gives the text of a value where operators of a level and tighter ones may stand without brackets.
func value(e Expr, level int) string {
	text, own := "", len(levels)
	switch e := e.(type) {
	case *Ident:
		text = e.Text
	case *Literal:
		text = e.Number.String()
	case *Call:
		text = e.Name.Text + "(" + values(e.Args) + ")"
	case *Index:
		text = e.Name.Text + "[" + values(e.Args) + "]"
	case *Pick:
		text = value(e.X, len(levels)) + "." + e.Bits.String()
	case *Unary:
		own = notLevel
		text = e.Op + " " + value(e.X, notLevel)
	case *Cond:
		own = loosest
		text = "if " + value(e.If, loosest) + " then " + value(e.Then, loosest) + " else " + value(e.Else, loosest)
	case *Binary:
		own = slices.IndexFunc(levels, func(ops []string) bool { return slices.Contains(ops, e.Op) })
		text = binaryText(e, own)
	}
	if own < level {
		return "(" + text + ")"
	}
	return text
}

// binaryText gives two values and what stands between them. Operators of one level are read from the left, but one
// comparison never follows another.
func binaryText(e *Binary, own int) string {
	left, op := own, " "+e.Op+" "
	if own == compare {
		left++
	}
	if e.Op == ":" {
		op = ":"
	}
	return value(e.X, left) + op + value(e.Y, own+1)
}

// values gives the text of values between commas.
func values(list []Expr) string {
	var texts []string
	for _, e := range list {
		texts = append(texts, value(e, loosest))
	}
	return strings.Join(texts, ", ")
}

// texts gives the text of each entry of a list.
func texts[T fmt.Stringer](list []T) (texts []string) {
	for _, e := range list {
		texts = append(texts, e.String())
	}
	return texts
}

// join gives the entries of a list between commas.
func join[T fmt.Stringer](list []T) string { return strings.Join(texts(list), ", ") }

// quote puts text between quotes as the notation does it, without escapes.
func quote(text string) string { return `"` + text + `"` }

// width gives a count of bits.
func width(n Number) string {
	if n.Text == "1" {
		return "1 bit"
	}
	return n.Text + " bits"
}

// span gives a range of addresses.
func span(first, last Number) string {
	if first.Text == last.Text {
		return first.Text
	}
	return first.Text + "-" + last.Text
}

// after gives text behind a lead, or nothing where the text is empty.
func after(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// inverted gives the part of a line that says so, or nothing.
func inverted(is bool) string {
	if !is {
		return ""
	}
	return ", inverted"
}

// String gives the lines as typed.
func (s Sense) String() string { return s.What.Text + after(" ", s.Sign.String()) }

// String gives the request as it is written in a machine file.
func (r Request) String() string { return r.Sets.Text + " by sign " + r.Sign.String() }

// String gives the name as typed.
func (n Name) String() string { return n.Text }

// String gives the number as typed, its radix word before it.
func (n Number) String() string { return strings.TrimLeft(n.Radix+" "+n.Text, " ") }

// String gives the time as typed.
func (d Duration) String() string { return d.Number + " " + d.Unit }

// String gives the run of bits as typed.
func (b Bits) String() string {
	if b.Last == "" {
		return b.First
	}
	return b.First + "-" + b.Last
}

// String gives the area as a store line has it.
func (a Area) String() string { return a.Name.Text + " " + span(a.First, a.Last) }

// String gives the column as a parity or check-bit line has it.
func (c Parity) String() string {
	sum, address := "even", ""
	if c.Odd {
		sum = "odd"
	}
	if c.Address {
		address = " and address"
	}
	return fmt.Sprintf("%v %s over %s%s", c.Name, sum, strings.Join(texts(append([]Bits{c.Bits}, c.More...)), " "), address)
}

// String gives the chips as a chips line has them.
func (c Chips) String() string {
	text := c.First.Text
	if c.Last.Text != "" {
		text += "-" + c.Last.Text
	}
	if c.Parity.Text != "" {
		return text + " for " + c.Parity.Text + " parity"
	}
	return text + " for bits " + c.Bits.String()
}

// String gives the entry as a group or choice line has it.
func (e Entry) String() string { return e.Value + " " + e.Name.Text }

// String gives the operand as a head line has it.
func (o Operand) String() string { return strings.Join(texts(o.Fields), " ") }

// String gives the drawing with a blank where one field ends and the next begins. A ? alone at the end stands close, else
// it would be the doubt mark.
func (p Pattern) String() string {
	var b strings.Builder
	for i := range len(p.Text) {
		if i > 0 && p.Text[i:] != "?" && run(p.Text[i-1]) != run(p.Text[i]) {
			b.WriteByte(' ')
		}
		b.WriteByte(p.Text[i])
	}
	return b.String()
}

// String gives the check as a check line has it.
func (c Check) String() string {
	if c.Words != nil {
		return quote(strings.Join(c.Words, " / ")) + " reads " + quote(c.Reads)
	}
	return join(c.Before) + " : " + join(c.After)
}

// String gives the entries as an each line has them.
func (e Each) String() string {
	var list []string
	for _, v := range e.Entries {
		list = append(list, fmt.Sprintf("%s %v = (%s)", v.Value, v.Name, value(v.Is, loosest)))
	}
	return e.Field.Text + ": " + strings.Join(list, ", ")
}

// String gives the setting as a check line has it.
func (s Setting) String() string { return value(s.Place, loosest) + " = " + s.Value.String() }

// run gives bits of fixed value the same letter, so that a drawing is not broken between them.
func run(c byte) byte {
	if c == '1' {
		return '0'
	}
	return c
}
