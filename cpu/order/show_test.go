package order_test

import (
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

func TestShow(t *testing.T) {
	const file = `machine  "Tarn 18"
numbers  octal, bit 0 at right
word     18 bits, twos complement
address  15 bits, 6 digits
store    S1 000000-000777
counter  P: 15 bits, holds next order
register saved: 15 bits
register A: 18 bits
register X: 14 bits
flip-flop zero
order    halt
  pattern 000000 000000000000
  does    halt
`
	code, err := order.Read("tarn.machine", []byte(file))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"P": "000077", "saved": "000077", "A": "000077", "X": "00077", "zero": "1"} {
		r := code.Register(name)
		w := 0o77
		if r.Width == 1 {
			w = 1
		}
		if got := code.Show(r, memory.Word(w)); got != want {
			t.Errorf("%s shows as %s, want %s", name, got, want)
		}
	}
}
