package order

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// fielded is base with an order of many fields, whose lines a test gives.
func fielded(lines string) string {
	return base + `register  C, D: 18 bits
channel   TT1: code 2, 8 bits
group     r: 00 A, 01 B, 10 C, 11 D
order     try r, n, d
  pattern 1 rr nnnnn dddddddddd
  does    ` + strings.ReplaceAll(lines, "\n", "\n          ") + "\n"
}

// TestWidths gives values to lets and looks at their text and width.
func TestWidths(t *testing.T) {
	tests := []struct {
		value string // as typed
		text  string // as printed; "" for the same
		width int
	}{
		{"A", "", 18},
		{"r", "", 18},
		{"n", "", 5},
		{"d", "", 10},
		{"z", "", 1},
		{"here", "", 15},
		{"P", "", 15},
		{"extend(7, 3)", "", 3},
		{"store[here]", "", 18},
		{"store[17]", "", 18},
		{"channel[n]", "", 18},
		{"channel[1]", "", 18},
		{"sign[n, 37]", "", 1},
		{"not A", "", 18},
		{"A and B or 7", "(A and B) or 7", 18},
		{"7 xor r", "", 18},
		{"A + 1", "", 18},
		{"1 - (2 + N)", "", 5},
		{"A = 0", "", 1},
		{"17 >= N", "", 1},
		{"A:B", "", 36},
		{"z:A:B", "", 37},
		{"z:(A:B)", "", 37},
		{"A.17", "", 1},
		{"A.14-0", "", 15},
		{"(A:B).35-30", "", 6},
		{"if z then A else 0", "", 18},
		{"if A = 0 and z then 0 else N", "if (A = 0) and z then 0 else N", 5},
		{"extend(N, 5)", "", 5},
		{"extend(d, 15)", "", 15},
		{"sign(d, 15)", "", 15},
		{"cut(A, 15)", "", 15},
		{"left(A, n)", "", 18},
		{"right(A, 21)", "", 18},
		{"draw(A:B, N)", "", 36},
		{"rotate-left(N, n)", "", 5},
		{"rotate-right(N, n)", "", 5},
		{"N xor left(1, n)", "", 5},
		{"leading(A)", "", 5},
		{"leading(N)", "", 3},
		{"trailing(z)", "", 1},
		{"ones(A:B)", "", 6},
		{"parity(A)", "", 1},
		{"add(A, 1)", "", 18},
		{"add(1, A, z)", "", 18},
		{"subtract(0, r)", "", 18},
		{"carry(r, not B, 1)", "", 1},
		{"overflow(N, 1)", "", 1},
		{"less(A, r)", "", 1},
	}
	for _, tt := range tests {
		t.Run(tt.value, func(t *testing.T) {
			want := tt.text
			if want == "" {
				want = tt.value
			}
			got := value(t, tt.value)
			if got.String() != want || got.Width != tt.width {
				t.Errorf("%s reads as %s with %d bits, want %s with %d", tt.value, got, got.Width, want, tt.width)
			}
			if again := value(t, got.String()); !cmp.Equal(got, again) {
				t.Errorf("%s prints as %s, which reads as another value:\n%s", tt.value, got, cmp.Diff(got, again))
			}
		})
	}
}

// value reads one value where nothing states its width.
func value(t *testing.T, text string) *Expr {
	t.Helper()
	return mustRead(t, fielded("let v = "+text)).Order("try").Does[0].Sources[0]
}

// TestTargets looks at what can be set, and at the width it wants of a number.
func TestTargets(t *testing.T) {
	tests := []struct {
		line          string
		op            string
		width, source int
	}{
		{"A <- 1", "register", 18, 18},
		{"z <- 1", "register", 1, 1},
		{"r <- 1", "group", 18, 18},
		{"store[here] <- 1", "store", 18, 18},
		{"wrong-parity[here] <- 1", "wrong-parity", 18, 18},
		{"wrong-parity[here, left] <- 1", "wrong-parity", 18, 18},
		{"channel[n] <- 1", "channel", 18, 18},
		{"command[n] <- 1", "command", 18, 18},
		{"A:B <- 1", "join", 36, 36},
		{"A, store[cut(A, 15)] <- 1, 1", "register", 18, 18},
		{"A.2-0 <- 1", "bits", 3, 3},
		{"z:A.2-0:N <- 777", "join", 9, 9},
	}
	for _, tt := range tests {
		t.Run(tt.line, func(t *testing.T) {
			stmt := mustRead(t, fielded(tt.line)).Order("try").Does[0]
			target, source := stmt.Targets[0], stmt.Sources[0]
			if target.Op != tt.op || target.Width != tt.width || source.Width != tt.source {
				t.Errorf("%s: target %s with %d bits, source with %d; want %s, %d, %d",
					tt.line, target.Op, target.Width, source.Width, tt.op, tt.width, tt.source)
			}
		})
	}
}

// everyOp is lines with all operations there are.
const everyOp = `let v = not (A and B or C xor 7)
A, B <- A + 1, v - B
A <- if A = B then n:here.12-0 else if A /= B then 1 else 2
if A < B and A <= C or A > C and A >= D then halt
A:B, channel[1], store[here] <- left(B:A, n), channel[2], extend(n, 18)
command[2] <- sign(d, 18)
wrong-parity[here] <- A
r <- right(draw(A, 1), 2) xor rotate-left(rotate-right(A, n), N)
N <- leading(A); P <- extend(trailing(A), 15)
N <- ones(A); z <- parity(A)
A <- add(A, subtract(B, r), carry(A, B) xor overflow(A, B) xor less(A, B))
N.3-0 <- cut(A, 4)
P <- after(after(P))
A.7-0 <- add-decimal(B.7-0, A.7-0, carry-decimal(A.3-0, 5))
A:B <- multiply(A, divide(B, 12)) xor multiply(remainder(B, A), A)
repeat 3 times while sign[1, 2] = 0
  spend 1
end
wait sign[1, 2] = 1
restart tick
if z then trap late`

// TestOpsTotal holds the table of operations against what the checker gives: none in one and not in the other, and as many
// arguments as the table says.
func TestOpsTotal(t *testing.T) {
	met := map[string]bool{}
	value := func(e *Expr) {
		met[e.Op] = true
		if op := operation(e.Op); op.Step || len(e.Args) < op.Least || len(e.Args) > op.Most {
			t.Errorf("%s has %d arguments, the table says %d to %d", e, len(e.Args), op.Least, op.Most)
		}
		if e.Width < 1 || e.Width > 64 {
			t.Errorf("%s has %d bits", e, e.Width)
		}
	}
	var steps func(stmts []*Stmt)
	steps = func(stmts []*Stmt) {
		for _, s := range stmts {
			met[s.Op] = true
			if !operation(s.Op).Step {
				t.Errorf("line %d: %s is a step, the table says a value", s.Line, s.Op)
			}
			for _, e := range append(append([]*Expr(nil), s.Targets...), s.Sources...) {
				e.each(value)
			}
			if s.Cond != nil {
				s.Cond.each(value)
			}
			steps(s.Body)
			steps(s.Else)
		}
	}
	for _, code := range []*Code{mustRead(t, fielded(everyOp)), brindlecote(t)} {
		for _, o := range code.Orders {
			steps(o.Does)
		}
	}
	for _, op := range Ops() {
		if !met[op.Name] {
			t.Errorf("the table has %s, which no line of this test gives", op.Name)
		}
		if op.Picture == "" || op.Step == (op.Width != "") {
			t.Errorf("%s lacks its picture, or the rule of its width", op.Name)
		}
	}
}

// TestNames looks at which of several things a name means: lets, then fields, then registers.
func TestNames(t *testing.T) {
	src := fielded("let n = A\nA <- n\nif z = 1\n  let A = B\n  r <- A\nend\nA <- n") + "register n, r: 18 bits\n"
	does := mustRead(t, src).Order("try").Does
	got := []string{does[1].Sources[0].Op, does[2].Body[1].Sources[0].Op, does[2].Body[1].Targets[0].Op, does[3].Targets[0].Op}
	if want := []string{"local", "local", "group", "register"}; !cmp.Equal(got, want) {
		t.Errorf("names mean %v, want %v", got, want)
	}
}
