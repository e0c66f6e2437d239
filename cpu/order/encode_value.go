package order

import (
	"fmt"

	"coldstart/memory"
)

// A Value is a number as order text writes it: a size, perhaps with a minus sign before it. A label is a place.
type Value struct {
	Size    uint64
	Minus   bool
	Address bool   // a label or a place, which goes through an operand's As even where a register decides
	Name    string // as typed, for messages; empty for a plain number
}

// Bits gives v in width bits. A minus sign is taken in the machine's complement, so that -0 is a word of ones in a
// machine of ones complement. Where words hold two orders, a label is a place where width is that of a place, and anywhere
// else the address of the word that begins there. The error is one sentence that says how much would fit.
func (c *Code) Bits(v Value, width int) (memory.Word, error) {
	mask := memory.Mask(width)
	w := memory.Word(v.Size)
	if c.addressed(v, width) {
		if err := c.wholeWord(v); err != nil {
			return 0, err
		}
		w /= 2
	}
	if !v.Minus {
		if w > mask {
			return 0, fmt.Errorf("%s is too wide: %d bits hold at most %s", c.Text(v), width, c.number(uint64(mask)))
		}
		return w, nil
	}
	top := memory.Word(1) << (width - 1)
	most := top - 1
	if c.Complement == twos {
		most = top // one more below zero than above
	}
	if w > most {
		return 0, fmt.Errorf("%s is too wide: %d bits hold at least -%s", c.Text(v), width, c.number(uint64(most)))
	}
	switch c.Complement {
	case ones:
		return ^w & mask, nil
	case signMagnitude:
		return w | top, nil
	}
	return -w & mask, nil
}

// addressed says that v is the place of an order, and the address of its word is wanted.
func (c *Code) addressed(v Value, width int) bool {
	return c.PerWord > 1 && v.Address && !v.Minus && width != c.PlaceBits()
}

// wholeWord says what is wrong where a place is that of a second half.
func (c *Code) wholeWord(v Value) error {
	if v.Size%2 != 0 {
		return fmt.Errorf("%s stands in the second half of a word, which has no address of its own", c.Text(v))
	}
	return nil
}

// The words a machine file uses for its complement.
const (
	twos          = "twos"
	ones          = "ones"
	signMagnitude = "sign-magnitude"
)

// Signed reads the width bits of w as a number with a sign, in the machine's complement: the inverse of Bits.
func (c *Code) Signed(w memory.Word, width int) Value {
	top := memory.Word(1) << (width - 1)
	if w&top == 0 {
		return Value{Size: uint64(w)}
	}
	switch c.Complement {
	case ones:
		return Value{Size: uint64(^w & memory.Mask(width)), Minus: true}
	case signMagnitude:
		return Value{Size: uint64(w &^ top), Minus: true}
	}
	return Value{Size: uint64(-w & memory.Mask(width)), Minus: true}
}

// Text is v as a person reads it: the number, and before it the name it was typed as, if any.
func (c *Code) Text(v Value) string {
	text := c.number(v.Size)
	if v.Address && !v.Minus {
		text = c.digits(c.Geometry.Style.Addr(memory.Addr(v.Size), c.PlaceBits()))
	}
	if v.Minus {
		text = "-" + text
	}
	if v.Name != "" {
		return v.Name + " (" + text + ")"
	}
	return text
}

// number writes n as order text does: without leading zeros, and beginning with a digit.
func (c *Code) number(n uint64) string { return c.digits(c.Geometry.Style.Number(n)) }

// digits puts a zero before a hexadecimal number that begins with a letter: order text takes that for a name.
func (c *Code) digits(text string) string {
	if text[0] > '9' {
		return "0" + text
	}
	return text
}
