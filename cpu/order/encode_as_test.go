package order

import (
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
	needRun := map[string]bool{"local": true, "store": true, "channel": true, "command": true, "sign": true,
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
