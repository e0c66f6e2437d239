package proof_test

import (
	"testing"

	"coldstart/cpu/order/proof"
)

// TestProtectedBelowARegister holds that a plug-in is written from where a range register says, and the others anywhere.
func TestProtectedBelowARegister(t *testing.T) {
	r, err := proof.Read("range.machine", []byte(`machine   "Range 8"
numbers   octal, bit 0 at right
word      8 bits, twos complement
address   6 bits
counter   P: 6 bits, holds next order
register  A: 8 bits
register  low: 6 bits
store     S0 00-37
store     S1 40-77
protect   S1 when at < low
trap      protected "store is protected"
  does    A <- 377
order     put a              page 1-1
  pattern 00 aaaaaa
  does    store[a] <- A
  check   "00 101000" reads "put 50"
  check   A = 3, low = 50 : A = 3, store[50] = 3
  check   A = 3, low = 51, store[50] = 7 : A = 377, store[50] = 7
  check   "00 010000" reads "put 20"
  check   A = 3, low = 77 : A = 3, store[20] = 3
`))
	if err != nil {
		t.Fatal(err)
	}
	if r.Checks != 5 || r.Has(proof.Failed) {
		t.Errorf("%d examples came out right, want 5: %v", r.Checks, r.Findings)
	}
}
