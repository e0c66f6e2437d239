package order_test

import (
	"strings"
	"testing"

	"coldstart/cpu/order"
)

// A branch sets the counter in one case and not in another, or to one of two values.
func TestBranches(t *testing.T) {
	tests := []struct {
		name, does string
		want       bool
	}{
		{"sets no counter", "A <- a", false},
		{"jump", "P <- a", false},
		{"by a register", "P <- A.7-0", false},
		{"under if", "if A = 0 then P <- a", true},
		{"under if of another thing", "if A = 0 then A <- a", false},
		{"one of two values", "P <- if A = 0 then a else P", true},
		{"a value chosen before", "let to = if A = 0 then a else P\nP <- to", true},
		{"another value chosen before", "let to = if A = 0 then a else P\nA <- to", false},
		{"with others at once", "if A = 0 then A, P <- A + 1, a", true},
		{"in the other case", "if A = 0\n  A <- 1\nelse\n  P <- a\nend", true},
		{"in a repeat", "repeat 2 times while A = 0\n  P <- a\nend", true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file := "machine \"M\"\nnumbers octal, bit 0 at right\nword 8 bits, twos complement\naddress 8 bits\nstore S 000-377\n" +
				"counter P: 8 bits, holds next order\nregister A: 8 bits\norder go a\n  pattern aaaaaaaa\n  does " +
				strings.ReplaceAll(test.does, "\n", "\n       ") + "\n"
			c, err := order.Read("m", []byte(file))
			if err != nil {
				t.Fatalf("%v\n%s", err, file)
			}
			if got := c.Branches(c.Orders[0]); got != test.want {
				t.Errorf("%s: %v, want %v", test.does, got, test.want)
			}
		})
	}
}
