package order_test

import (
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// named finds an order of c by name.
func named(t testing.TB, c *order.Code, name string) *order.Order {
	t.Helper()
	for _, o := range c.Orders {
		if o.Name == name {
			return o
		}
	}
	t.Fatalf("no order %s", name)
	return nil
}

func TestSolve(t *testing.T) {
	c := readTern(t)
	bank := map[*order.Register]memory.Word{}
	for _, r := range c.Registers {
		if r.Name == "bank" {
			bank[r] = 2
		}
	}
	label := func(a uint64) order.Value { return order.Value{Size: a, Address: true, Name: "table"} }
	number := func(n uint64) order.Value { return order.Value{Size: n} }
	below := func(n uint64) order.Value { return order.Value{Size: n, Minus: true} }
	tests := []struct {
		name    string
		order   string
		operand int
		value   order.Value
		place   order.Place
		want    memory.Word // of the operand's last field
		err     string
	}{
		{"the field itself", "load", 1, number(0x1FF), order.Place{}, 0x1FF, ""},
		{"a number below zero in a plain field", "far", 1, below(1), order.Place{}, 0xFFFE, ""},
		{"a label in a wide field", "far", 1, label(0x2345), order.Place{}, 0x2345, ""},
		{"a small number", "small", 1, number(0x1FF), order.Place{}, 0x1FF, ""},
		{"a small number below zero", "small", 1, below(0x1FF), order.Place{}, 0x200, ""},
		{"minus zero", "small", 1, below(0), order.Place{}, 0x3FF, ""},
		{"a target ahead", "jump", 0, number(0x17FF), order.Place{At: 0x1000}, 0x7FF, ""},
		{"a target behind", "jump", 0, label(0x0800), order.Place{At: 0x1000}, 0x800, ""},
		{"a target round the end", "jump", 0, number(2), order.Place{At: 0xFFFF}, 3, ""},
		{"steps of two behind", "pair", 0, number(0x0FFE), order.Place{At: 0x1000}, 0xFFF, ""},
		{"no straight line: found by trying", "mixed", 0, number(0x5A), order.Place{}, 0, ""},
		{"a distance counted backwards", "back", 0, number(0x0FF0), order.Place{At: 0x1000}, 0x10, ""},
		{"a number where a register decides", "go", 0, number(0x123), order.Place{}, 0x123, ""},
		{"a label where a register decides", "go", 0, label(0x2123), order.Place{Assumed: bank}, 0x123, ""},

		{"too wide", "load", 1, number(0x200), order.Place{}, 0,
			"field a: 200 is too wide: 9 bits hold at most 1FF"},
		{"too far below zero", "load", 1, below(0x100), order.Place{}, 0,
			"field a: -100 is too wide: 9 bits hold at least -0FF"},
		{"a label too wide", "load", 1, label(0x0345), order.Place{}, 0,
			"table (0345) is wider than the 9 bits of a, and the machine file has no `operand a as`; pick its bits"},
		{"a small number too large", "small", 1, number(0x200), order.Place{}, 0,
			"200 does not fit: n must lie in -200 to 1FF"},
		{"a small number wider than the word", "small", 1, number(0x10000), order.Place{}, 0,
			"10000 does not fit: n must lie in -200 to 1FF"},
		{"too far away", "jump", 0, label(0x1800), order.Place{At: 0x1000}, 0,
			"table (1800) cannot be reached from 1000: the distance from 1000 must lie in -800 to 7FF"},
		{"between two steps", "pair", 0, label(0x1001), order.Place{At: 0x1000}, 0,
			"table (1001) cannot be reached from 1000: the distance from 1000 must lie in -1000 to 0FFE"},
		{"nothing makes it", "mixed", 0, number(0x100), order.Place{}, 0,
			"100 cannot be reached from 0000: the distance from 005A must lie in -5A to 0A5"},
		{"the wrong bank", "go", 0, label(0x3123), order.Place{Assumed: bank}, 0,
			"table (3123) cannot be reached with bank = 2, which reaches 2000 to 2FFF"},
		{"no bank", "go", 0, label(0x3123), order.Place{}, 0,
			"table (3123) cannot be reached: what bank holds is not known here; say `assume bank = ...` above"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			o := named(t, c, tt.order)
			fields := o.Blank()
			err := c.Solve(o, tt.operand, tt.value, fields, tt.place)
			op := o.Operands[tt.operand]
			got := fields[op.Fields[len(op.Fields)-1].Number]
			switch {
			case tt.err != "" && (err == nil || err.Error() != tt.err):
				t.Errorf("Solve(%s, %+v) at %X: error %v\nwant %s", tt.order, tt.value, tt.place.At, err, tt.err)
			case tt.err == "" && (err != nil || got != tt.want):
				t.Errorf("Solve(%s, %+v) at %X: field %X, error %v; want %X", tt.order, tt.value, tt.place.At, got, err, tt.want)
			}
		})
	}
}

// Encode is the inverse of Values for every order and every pattern of field bits tried.
func TestEncodeValues(t *testing.T) {
	c := readTern(t)
	for _, o := range c.Orders {
		for seed := range memory.Word(200) {
			fields := make([]memory.Word, len(o.Fields))
			for i, f := range o.Fields {
				fields[i] = (seed*0x9E3779B97F4A7C15 + memory.Word(i)) >> 20 & memory.Mask(f.Width)
			}
			words := o.Encode(fields)
			got := o.Values(words)
			for i, f := range o.Fields {
				if got[i] != fields[i] {
					t.Fatalf("%s: field %s put in as %X came back as %X from %X", o.Name, f.Name, fields[i], got[i], words)
				}
			}
		}
	}
}

// A number with its sign, put into bits and read back, is the same number, in each complement.
func TestBitsSigned(t *testing.T) {
	for _, complement := range []string{"twos", "ones", "sign-magnitude"} {
		c := &order.Code{Complement: complement, Geometry: memory.Geometry{Style: memory.Style{Radix: 10}}}
		for w := range memory.Word(1 << 6) {
			v := c.Signed(w, 6)
			got, err := c.Bits(v, 6)
			if err != nil || got != w {
				t.Errorf("%s: %06b is %s, which is %06b again, error %v", complement, w, c.Text(v), got, err)
			}
		}
	}
	tests := []struct {
		complement string
		size       uint64
		want       memory.Word
		fits       bool
	}{
		{"twos", 32, 0b100000, true},
		{"twos", 33, 0, false},
		{"twos", 0, 0, true},
		{"ones", 31, 0b100000, true},
		{"ones", 32, 0, false},
		{"ones", 0, 0b111111, true},
		{"sign-magnitude", 31, 0b111111, true},
		{"sign-magnitude", 32, 0, false},
		{"sign-magnitude", 0, 0b100000, true},
	}
	for _, tt := range tests {
		c := &order.Code{Complement: tt.complement, Geometry: memory.Geometry{Style: memory.Style{Radix: 10}}}
		got, err := c.Bits(order.Value{Size: tt.size, Minus: true}, 6)
		if got != tt.want || (err == nil) != tt.fits {
			t.Errorf("%s: -%d in 6 bits is %06b, error %v; want %06b, fits %v", tt.complement, tt.size, got, err, tt.want, tt.fits)
		}
	}
}
