package order

import (
	"fmt"
	"testing"

	"coldstart/memory"
)

// Each operation that needs no running machine, worked out by hand in 6 bits.
func TestSceneValue(t *testing.T) {
	constant := func(width int, w memory.Word) *Expr { return &Expr{Op: "const", Width: width, Value: w} }
	of := func(op string, width int, args ...*Expr) *Expr { return &Expr{Op: op, Width: width, Args: args} }
	x, y, two := constant(6, 0b110101), constant(6, 0b010011), constant(3, 2)
	tests := []struct {
		name string
		e    *Expr
		want memory.Word
	}{
		{"not", of("not", 6, x), 0b001010},
		{"and", of("and", 6, x, y), 0b010001},
		{"or", of("or", 6, x, y), 0b110111},
		{"xor", of("xor", 6, x, y), 0b100110},
		{"+ passes the width", of("+", 6, x, y), 0b001000},
		{"- passes the width", of("-", 6, y, x), 0b011110},
		{"=", of("=", 1, x, x), 1},
		{"= not", of("=", 1, x, y), 0},
		{"/=", of("/=", 1, x, y), 1},
		{"<", of("<", 1, x, y), 0},
		{"<=", of("<=", 1, y, x), 1},
		{">", of(">", 1, x, y), 1},
		{">=", of(">=", 1, y, x), 0},
		{"join", of("join", 9, x, two), 0b110101010},
		{"bits", &Expr{Op: "bits", Width: 3, Hi: 4, Lo: 2, Args: []*Expr{x}}, 0b101},
		{"cond taken", of("cond", 6, constant(1, 1), x, y), 0b110101},
		{"cond not taken", of("cond", 6, constant(1, 0), x, y), 0b010011},
		{"extend", of("extend", 9, x), 0b000110101},
		{"cut", of("cut", 3, x), 0b101},
		{"sign-extend of a one", of("sign-extend", 9, x), 0b111110101},
		{"sign-extend of a zero", of("sign-extend", 9, y), 0b000010011},
		{"left", of("left", 6, x, two), 0b010100},
		{"right", of("right", 6, x, two), 0b001101},
		{"draw", of("draw", 6, x, two), 0b111101},
		{"draw by more than all", of("draw", 6, x, constant(7, 70)), 0b111111},
		{"left by more than all", of("left", 6, x, constant(7, 70)), 0},
		{"rotate-left", of("rotate-left", 6, x, two), 0b010111},
		{"rotate-right", of("rotate-right", 6, x, two), 0b011101},
		{"rotate by the width", of("rotate-left", 6, x, constant(3, 6)), 0b110101},
		{"here", of("here", 6), 0b000100},
		{"multiply", of("multiply", 8, x, two), 0b1101010},
		{"divide", of("divide", 6, x, two), 0b011010},
		{"divide by zero", of("divide", 6, x, constant(6, 0)), 0b111111},
		{"remainder", of("remainder", 6, x, two), 0b000001},
		{"remainder by zero", of("remainder", 6, x, constant(6, 0)), 0b110101},
	}
	s := &scene{code: &Code{}, order: &Order{}, place: Place{At: 0b1000100}}
	for _, tt := range tests {
		if got, err := s.value(tt.e); err != nil || got != tt.want {
			t.Errorf("%s: %v = %06b, error %v; want %06b", tt.name, tt.e, got, err, tt.want)
		}
	}
}

// Every operation of an Expr either gives a value or says why order text cannot have it; none is a surprise.
func TestSceneValueTotal(t *testing.T) {
	page := &Register{Name: "page", Width: 6}
	o := &Order{Fields: []*Field{{Name: "r", Width: 1, Group: []*Register{nil, page}}}}
	s := &scene{code: &Code{Registers: []*Register{page}}, order: o, fields: []memory.Word{1},
		place: Place{Assumed: map[*Register]memory.Word{page: 5}}}
	needRun := map[string]bool{"local": true, "store": true, "wrong-parity": true, "channel": true, "command": true, "sign": true,
		"leading": true, "trailing": true, "ones": true, "parity": true,
		"add": true, "subtract": true, "carry": true, "overflow": true, "less": true,
		"after": true, "add-decimal": true, "carry-decimal": true}
	for _, op := range Ops() {
		if op.Step {
			continue
		}
		e := &Expr{Op: op.Name, Width: 6, Name: "x"}
		for range op.Least {
			e.Args = append(e.Args, &Expr{Op: "const", Width: 6, Value: 3, Name: "3"})
		}
		if _, err := s.value(e); (err != nil) != needRun[op.Name] {
			t.Errorf("%s: error %v; needs a run: %v", op.Name, err, needRun[op.Name])
		}
	}
	s.fields[0] = 0
	if _, err := s.value(&Expr{Op: "group", Width: 6}); err == nil {
		t.Error("a field that picks no register gave a value")
	}
}

// The field behind a value, where its bits stand out of sequence, where they carry a sign, and where there is no rule to
// turn round; and the ends of what the field can make, where it has a rule.
func TestSolveAs(t *testing.T) {
	field := func(width int) *Expr { return &Expr{Op: "field", Width: width} }
	bit := func(x *Expr, hi, lo int) *Expr {
		return &Expr{Op: "bits", Width: hi - lo + 1, Hi: hi, Lo: lo, Args: []*Expr{x}}
	}
	of := func(op string, width int, args ...*Expr) *Expr { return &Expr{Op: op, Width: width, Args: args} }
	join := func(x, y *Expr) *Expr { return of("join", x.Width+y.Width, x, y) }
	constant := func(width int, w memory.Word) *Expr { return &Expr{Op: "const", Width: width, Value: w} }
	turned := join(bit(field(20), 0, 0), join(bit(field(20), 7, 1), bit(field(20), 19, 8)))
	tests := []struct {
		name  string
		width int
		as    *Expr
		want  memory.Word // the value asked for
		field memory.Word
		ok    bool
		ends  string // low to high
	}{
		{"out of sequence", 20, turned, 0b1_0100000_000000000001, 0b000000000001_0100000_1, true, "0 to 1048575"},
		{"out of sequence with a sign", 20, of("left", 32, of("sign-extend", 32, turned), constant(1, 1)), 0xFFF00002,
			0b000000000001_0000000_1, true, "-1048576 to 1048574"},
		{"between two steps", 20, of("left", 32, of("sign-extend", 32, turned), constant(1, 1)), 3, 0, false, "-1048576 to 1048574"},
		{"three times the field", 20, of("multiply", 22, field(20), constant(2, 3)), 3 * 0xABCDE, 0xABCDE, true, "0 to 3145725"},
		{"taken away", 8, of("-", 16, constant(16, 0x100), of("extend", 16, field(8))), 0xF0, 0x10, true, "-255 to 0"},
		{"a square: by trying", 8, of("multiply", 16, field(8), field(8)), 201 * 201, 201, true, ""},
		{"no square", 8, of("multiply", 16, field(8), field(8)), 202*202 + 1, 0, false, ""},
		{"two bits that count alike: by trying", 2, of("+", 2, of("extend", 2, bit(field(2), 0, 0)), of("extend", 2, bit(field(2), 1, 1))), 2, 3, true, "0 to 2"},
		{"a square of more bits than are tried", 17, of("multiply", 34, field(17), field(17)), 4, 0, false, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := &Field{Name: "f", Width: tt.width}
			s := &scene{code: &Code{}, order: &Order{Fields: []*Field{f}}, fields: make([]memory.Word, 1)}
			r, err := s.reach(tt.as, f)
			if err != nil {
				t.Fatal(err)
			}
			got, ok := s.solve(tt.as, f, r, tt.want)
			if ok != tt.ok || ok && got != tt.field {
				t.Errorf("%v = %d: field %b, %t; want %b, %t", tt.as, tt.want, got, ok, tt.field, tt.ok)
			}
			ends := ""
			if low, high, ok := r.ends(); ok {
				ends = fmt.Sprintf("%d to %d", -int64(low.Size), high.Size)
			}
			if ends != tt.ends {
				t.Errorf("%v: ends %q, want %q", tt.as, ends, tt.ends)
			}
		})
	}
}
