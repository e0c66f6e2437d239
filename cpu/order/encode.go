package order

import (
	"fmt"
	"strings"

	"coldstart/memory"
)

// Encode draws the words of an order from its fields, given by Field.Number: bits that are ignored, and those on which
// the handbook is silent, become 0. It is the inverse of Values but for such bits.
func (o *Order) Encode(fields []memory.Word) []memory.Word {
	words := make([]memory.Word, len(o.Patterns))
	for i, p := range o.Patterns {
		words[i] = p.Value
	}
	for _, f := range o.Fields {
		left := f.Width
		for _, p := range f.Pieces {
			width := p.Hi - p.Lo + 1
			left -= width
			words[p.Word] |= fields[f.Number] >> left & memory.Mask(width) << p.Lo
		}
	}
	return words
}

// Blank gives the fields of the order, by Field.Number, before its operands are read: zeros, but where the machine file
// says that a field must be a number.
func (o *Order) Blank() []memory.Word {
	fields := make([]memory.Word, len(o.Fields))
	for _, must := range o.Must {
		if must.Op == "=" && must.Args[0].Op == "field" && must.Args[1].Op == "const" {
			fields[must.Args[0].Index] = must.Args[1].Value
		}
	}
	return fields
}

// Solve finds what the last field of an operand must hold for the operand to be written as v, and puts it into fields,
// which holds the other fields already. A plain number is the field itself where a register decides what it means; an
// address always goes through the operand's As. The error is one sentence saying what cannot be reached, and what can.
func (c *Code) Solve(o *Order, operand int, v Value, fields []memory.Word, p Place) error {
	op := o.Operands[operand]
	f := op.Fields[len(op.Fields)-1]
	if op.As == nil || !op.Free && !v.Address {
		d, err := c.Bits(v, f.Width)
		if err != nil && v.Address {
			return fmt.Errorf("%s is wider than the %d bits of %s, and the machine file has no `operand %s as`; pick its bits",
				c.Text(v), f.Width, f.Name, f.Name)
		}
		if err != nil {
			return fmt.Errorf("field %s: %w", f.Name, err)
		}
		fields[f.Number] = d
		return nil
	}
	if c.addressed(v, op.As.Width) {
		if err := c.wholeWord(v); err != nil {
			return err
		}
	}
	s := scene{code: c, order: o, fields: fields, place: p}
	r, err := s.reach(op.As, f)
	if err != nil {
		return fmt.Errorf("%s cannot be reached: %w", c.Text(v), err)
	}
	want, err := c.Bits(v, op.As.Width)
	if err != nil {
		return s.tooFar(op, f, r, v)
	}
	d, ok := s.solve(op.As, f, r, want)
	if !ok {
		return s.tooFar(op, f, r, v)
	}
	fields[f.Number] = d
	return nil
}

// tooFar says which values there are, in the words that fit the kind of operand.
func (s *scene) tooFar(op Operand, f *Field, r reach, v Value) error {
	c := s.code
	low, high, known := r.ends()
	named := s.assumptions(op.As)
	switch {
	case !known:
		return fmt.Errorf("no value of field %s means %s", f.Name, c.Text(v))
	case len(named) > 0:
		from, to := c.plus(r.zero, low, op.As.Width), c.plus(r.zero, high, op.As.Width)
		return fmt.Errorf("%s cannot be reached with %s, which reaches %s to %s",
			c.Text(v), strings.Join(named, " and "), c.Text(from), c.Text(to))
	case op.As.Op == "sign-extend" || r.zero == 0:
		return fmt.Errorf("%s does not fit: %s must lie in %s to %s", c.Text(v), f.Name, c.Text(low), c.Text(high))
	}
	return fmt.Errorf("%s cannot be reached from %s: the distance from %s must lie in %s to %s", c.Text(v),
		c.Text(Value{Size: uint64(s.place.At), Address: true}), c.Text(Value{Size: uint64(r.zero), Address: true}),
		c.Text(low), c.Text(high))
}

// plus is the address at a distance from w, modulo the width.
func (c *Code) plus(w memory.Word, distance Value, width int) Value {
	d := memory.Word(distance.Size)
	if distance.Minus {
		d = -d
	}
	return Value{Size: uint64((w + d) & memory.Mask(width)), Address: true}
}

// assumptions lists the assumed registers that e reads, each with its value, in the order of the machine file.
func (s *scene) assumptions(e *Expr) []string {
	read := map[*Register]bool{}
	e.each(func(e *Expr) {
		switch e.Op {
		case "register":
			read[s.code.Registers[e.Index]] = true
		case "group":
			if group, v := s.order.Fields[e.Index].Group, s.fields[e.Index]; v < memory.Word(len(group)) {
				read[group[v]] = true
			}
		}
	})
	var named []string
	for _, r := range s.code.Registers {
		if w, ok := s.place.Assumed[r]; ok && read[r] {
			named = append(named, r.Name+" = "+s.code.number(uint64(w)))
		}
	}
	return named
}
