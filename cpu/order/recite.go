package order

import (
	"strings"

	"coldstart/memory"
)

// Recite gives the order text of the words standing at a place, and how many of them it uses: as many as the order has.
// Where words hold two orders they are halves, as Part cuts them. A word that no order reads, or whose order is cut off at
// the end of words, is recited as data: `words 123456`, one word. Ignored bits leave no trace in the text. Without words it
// gives "" and 0.
func (c *Code) Recite(at memory.Addr, words []memory.Word) (text string, used int) {
	if len(words) == 0 {
		return "", 0
	}
	o := c.Find(words[0])
	if o == nil || !o.draws(words) {
		return c.ReciteData(words[0]), 1
	}
	used = len(o.Patterns)
	s := scene{code: c, order: o, fields: o.Values(words[:used]), place: Place{At: at}}
	operands := make([]string, len(o.Operands))
	given := 0 // operands up to the last that leaves something to write
	for i, op := range o.Operands {
		written, ok := s.operand(op)
		if !ok {
			return c.ReciteData(words[0]), 1
		}
		operands[i] = written
		if written != "" {
			given = i + 1
		}
	}
	if given == 0 {
		return o.Name, used
	}
	return o.Name + " " + strings.Join(operands[:given], ", "), used
}

// ReciteData gives the order text of one word taken as data.
func (c *Code) ReciteData(w memory.Word) string {
	return "words " + c.digits(c.Geometry.Style.Word(w, c.Geometry.Width))
}

// draws says that all words of the order are there and look like its patterns.
func (o *Order) draws(words []memory.Word) bool {
	if len(words) < len(o.Patterns) {
		return false
	}
	for i, p := range o.Patterns {
		if words[i]&p.Mask != p.Value {
			return false
		}
	}
	return true
}

// operand writes one operand; ok is false where a field picks a register that is not there.
func (s *scene) operand(op Operand) (text string, ok bool) {
	last := len(op.Fields) - 1
	for i, f := range op.Fields {
		written := ""
		if i == last && op.As != nil && op.Free {
			written, ok = s.meaning(op.As)
		} else {
			written, ok = s.field(f)
		}
		if !ok {
			return "", false
		}
		if text != "" && written != "" {
			text += " "
		}
		text += written
	}
	return text, true
}

// field writes a field by its register, its word, or its number.
func (s *scene) field(f *Field) (text string, ok bool) {
	v := s.fields[f.Number]
	if f.Group != nil {
		if v >= memory.Word(len(f.Group)) || f.Group[v] == nil {
			return "", false
		}
		return f.Group[v].Name, true
	}
	if v < memory.Word(len(f.Choice)) && f.Choice[v] != "" {
		if f.Choice[v] == Unwritten {
			return "", true
		}
		return f.Choice[v], true
	}
	return s.code.number(uint64(v)), true
}

// Unwritten is the word of a choice for which order text writes nothing.
const Unwritten = "-"

// meaning writes what the last field of an operand means at this place: an address, a small number with its sign, or a
// plain number.
func (s *scene) meaning(as *Expr) (text string, ok bool) {
	w, err := s.value(as)
	if err != nil {
		return "", false
	}
	if as.Op == "sign-extend" {
		return s.code.Text(s.code.Signed(w, as.Width)), true
	}
	return s.code.Text(Value{Size: uint64(w), Address: as.Width == s.code.PlaceBits()}), true
}
