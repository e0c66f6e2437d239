package watch

import (
	"errors"
	"strings"
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// octal is a machine with registers, store of two widths and lamps, in octal.
func octal() *order.Code {
	c := small()
	c.Geometry.Areas = append(c.Geometry.Areas, memory.Area{Name: "TG1", First: 0o10000, Last: 0o10377, Width: 6})
	c.Registers = nil
	for i, r := range []order.Register{{Name: "A", Width: 18}, {Name: "P", Width: 15}, {Name: "zero", Width: 1, FlipFlop: true}} {
		r.Number = i
		c.Registers = append(c.Registers, &r)
	}
	c.Counter = c.Registers[1]
	return c
}

// wide is a machine of 64 bits in hexadecimal with registers called as numbers are.
func wide() *order.Code {
	c := &order.Code{Geometry: memory.Geometry{Style: memory.Style{Radix: 16}, Width: 64, AddrBits: 32,
		Areas: []memory.Area{{Name: "M", First: 0x80000000, Last: 0x8000FFFF, Width: 64}}}}
	c.Registers = []*order.Register{{Name: "pc", Width: 32}, {Name: "A", Number: 1, Width: 64}}
	c.Counter = c.Registers[0]
	return c
}

// A stand is a machine standing still.
type stand struct {
	registers []memory.Word
	store     map[memory.Addr]memory.Word
	lit       memory.Word
	unwritten memory.Addr // nothing wrote here; 0: all is written
}

func (s *stand) Value(r *order.Register) memory.Word { return s.registers[r.Number] }
func (s *stand) Word(a memory.Addr) (memory.Word, bool) {
	return s.store[a], a != s.unwritten || a == 0
}
func (s *stand) Lit(memory.Addr) memory.Word { return s.lit }

// TestUnwrittenIsUnknown holds that nothing can be said of a word that nothing wrote, neither that it is 0 nor that it is not.
func TestUnwrittenIsUnknown(t *testing.T) {
	s := &stand{registers: []memory.Word{1, 2, 3}, store: map[memory.Addr]memory.Word{0o100: 5}, unwritten: 0o100}
	for _, text := range []string{"store 100 = 5", "store 100 /= 5", "store 100 /= 0", "0 < store 100", "store 100 = store 100"} {
		c, err := ParseCondition(octal(), text)
		if err != nil {
			t.Fatal(err)
		}
		if c.Holds(s) {
			t.Errorf("%s holds of a word that nothing wrote", text)
		}
	}
}

func TestConditionHolds(t *testing.T) {
	small := &stand{registers: []memory.Word{0o17, 0o1000, 1}, store: map[memory.Addr]memory.Word{0o760: 0o100, 0o10001: 0o77}, lit: 0o100}
	large := &stand{registers: []memory.Word{0x80000000, ^memory.Word(0)}, store: map[memory.Addr]memory.Word{0x80001000: 1 << 63}}
	tests := []struct {
		text string
		code *order.Code
		at   *stand
		want bool
	}{
		{"A = 17", octal(), small, true},
		{"17=A", octal(), small, true},
		{"A /= 17", octal(), small, false},
		{"A < 17", octal(), small, false},
		{"A <= 17", octal(), small, true},
		{"A>16", octal(), small, true},
		{"A >= 20", octal(), small, false},
		{"here = 001000", octal(), small, true},
		{"P = here", octal(), small, true},
		{"store 10001 = 77", octal(), small, true},
		{"store 760 = store 761", octal(), small, false},
		{"lamp 000760.6 = 1", octal(), small, true},
		{"lamp 760.5 = 0", octal(), small, true},
		{"lamp A.3 = 1", octal(), small, true},
		{"lamp zero = 0", octal(), small, false},
		{"A = 0 and zero = 1 or A = 17", octal(), small, true},
		{"A = 0 and (zero = 1 or A = 17)", octal(), small, false},
		{"(A = 17) and\t( (zero=1) )", octal(), small, true},
		{"store 80001000 /= 0", wide(), large, true},
		{"store 80001000 = 8000000000000000", wide(), large, true},
		{"A = FFFFFFFFFFFFFFFF", wide(), large, true},
		{"A = ffffffffffffffff", wide(), large, true},
		{"A > 0A", wide(), large, true},
	}
	for _, tt := range tests {
		c, err := ParseCondition(tt.code, tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		if got := c.Holds(tt.at); got != tt.want {
			t.Errorf("%q holds: %v, want %v", tt.text, got, tt.want)
		}
		if c.String() != tt.text {
			t.Errorf("%q reads %q", tt.text, c)
		}
	}
}

func TestConditionErrors(t *testing.T) {
	tests := []struct {
		name, text, caret, want string
	}{
		{"nothing", "", "^", "a value belongs here"},
		{"a digit that is none", "A = 18", "    ^", `"18" is not a number in octal: '8' is no octal digit`},
		{"a name nearly right", "zreo = 1", "^", `the nearest is "zero"`},
		{"a name far off", "temperature = 1", "^", "known are: A, P, zero, here, store, lamp"},
		{"too large for a register", "P = 100000", "    ^", "the other side has 15 bits and is at most 77777 (octal)"},
		{"too large for a flip-flop", "2 = zero", "^", "the other side has 1 bits"},
		{"too large for a store word", "store 10000 = 100", "              ^", "the other side has 6 bits"},
		{"two numbers", "A = 1 and 1 = 1", "          ^", "two numbers compared say nothing"},
		{"no comparison", "zero and A = 1", "     ^", "a comparison belongs after zero"},
		{"no second value", "A =", "   ^", "a value belongs here"},
		{"a comparison of elsewhere", "A != 1", "  ^", `"!=" is written /= here`},
		{"a comparison of nowhere", "A =!= 1", "  ^", "a comparison belongs after A"},
		{"open bracket", "(A = 1", "      ^", "a bracket is not closed"},
		{"closed bracket", "A = 1)", "     ^", `")" does not belong here`},
		{"no and", "A = 1 zero = 1", "      ^", `"zero" does not belong here; join comparisons with and, or`},
		{"and at the end", "A = 1 and", "         ^", "a value belongs here"},
		{"no such store", "store 50000 = 1", "      ^", "nothing answers at 50000"},
		{"no address", "store = 1", "      ^", "after store belongs an address"},
		{"no such lamp", "lamp 760.16 = 1", "     ^", "bit 16 of row 00760 lights nothing"},
		{"no such row", "lamp 770.1 = 1", "     ^", "known are: 00760, 00761, A"},
		{"behind a control character", "A\x1b = 1", "^", "A"},
		{"behind a wide word", "A = 1 and µ\x1b = 1", "          ^", "no register or flip-flop"},
		{"deep", strings.Repeat("(", 60) + "A = 1", strings.Repeat(" ", 50) + "^", "more than 50 brackets"},
		{"long", strings.Repeat("A = 1 or ", 200), strings.Repeat(" ", 1000) + "^", "at most 1000 characters"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := ParseCondition(octal(), tt.text)
			var wrong *ConditionError
			if !errors.As(err, &wrong) || c != nil {
				t.Fatalf("%q: got %v, %v; want a ConditionError", tt.text, c, err)
			}
			lines := strings.Split(wrong.Caret(), "\n")
			if len(lines) != 2 || lines[1] != tt.caret {
				t.Errorf("%q: caret\n%s\nwant it at\n%s", tt.text, wrong.Caret(), tt.caret)
			}
			if !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("%q: got %q, want one line with %q", tt.text, err, tt.want)
			}
		})
	}
}

func TestConditionAllocatesNothing(t *testing.T) {
	c, err := ParseCondition(octal(), "store 000760 = 100 and (lamp 000760.6 = 0 or A < zero or here >= 1001)")
	if err != nil {
		t.Fatal(err)
	}
	at := &stand{registers: []memory.Word{0o17, 0o1000, 1}, store: map[memory.Addr]memory.Word{0o760: 0o100}, lit: 0o100}
	if n := testing.AllocsPerRun(100, func() { c.Holds(at) }); n != 0 {
		t.Errorf("%q: %v allocations to see whether it holds, want 0", c, n)
	}
}

// FuzzCondition holds that a condition reads back from its own text as the same, and that an error points into the text.
func FuzzCondition(f *testing.F) {
	for _, seed := range []string{"A = 17", "(A = 0 or here /= 1) and store 760 > 0", "lamp 760.6 = 1", "A \xff= 1", "((", "µ = 1"} {
		f.Add(seed)
	}
	code := octal()
	at := &stand{registers: []memory.Word{0o17, 0o1000, 1}, store: map[memory.Addr]memory.Word{0o760: 0o100}, lit: 0o100}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCondition(code, text)
		var wrong *ConditionError
		if errors.As(err, &wrong) {
			if wrong.At < 0 || wrong.At > len(wrong.Text) || strings.Count(wrong.Caret(), "\n") != 1 {
				t.Fatalf("%q: error at %d of %q\n%s", text, wrong.At, wrong.Text, wrong.Caret())
			}
			return
		}
		again, err := ParseCondition(code, "("+c.String()+")")
		if err != nil || again.Holds(at) != c.Holds(at) {
			t.Fatalf("%q in brackets: %v, or it holds otherwise", text, err)
		}
	})
}
