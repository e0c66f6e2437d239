package cpu_test

import (
	"fmt"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// mending is a machine whose store puts a word with one wrong bit right, and traps at it. %s says what its counter holds.
const mending = `
machine  "Mending"
numbers  octal, bit 0 at right
word     8 bits, twos complement
address  5 bits
counter  P: 5 bits, holds %s order
register A, B: 8 bits
store    S 00-37
  check-bit c1 odd over 0 1 2 3 4 5
  check-bit c2 odd over 0 1 2 6 7
  check-bit c3 odd over 0 3 4 6 7
  check-bit c4 odd over 1 3 5 6
  check-bit c5 odd over 2 4 5 7
  corrects once
trap     corrected "a bit put right"
  does   B <- B + 1
         P <- 20
trap     parity "two bits wrong"
  does   B <- 77
order    load a
  pattern 000 aaaaa
  does    A <- store[a]
order    jump a
  pattern 001 aaaaa
  does    P <- a
`

// An order that gets a word put right goes on with it; then its trap springs, with what the order did before it.
func TestCorrected(t *testing.T) {
	for _, holds := range []string{"next", "this"} {
		c, err := order.Read("mending", fmt.Appendf(nil, mending, holds))
		if err != nil {
			t.Fatal(err)
		}
		for _, tt := range []struct {
			name     string
			order    memory.Word
			jams     [][2]int // address and bit, held at 1
			a, b     memory.Word
			at       memory.Addr
			trap     string
			concerns memory.Addr
		}{
			{name: "no jam", order: 0o12, a: 0o125, at: 1},
			{name: "a word read", order: 0o12, jams: [][2]int{{0o12, 1}}, a: 0o125, b: 1, at: 0o20, trap: "corrected", concerns: 0o12},
			{name: "the order itself", order: 0o12, jams: [][2]int{{0, 7}}, a: 0o125, b: 1, at: 0o20, trap: "corrected"},
			{name: "a jump put right", order: 0o45, jams: [][2]int{{0, 7}}, b: 1, at: 0o20, trap: "corrected"},
			{name: "two bits", order: 0o12, jams: [][2]int{{0o12, 1}, {0o12, 3}}, b: 0o77, at: 1, trap: "parity", concerns: 0o12},
		} {
			t.Run(holds+", "+tt.name, func(t *testing.T) {
				s := memory.NewStore(c.Geometry, 1)
				s.Write(0, tt.order)
				s.Write(0o12, 0o125)
				for _, j := range tt.jams {
					if err := s.Jam(memory.Addr(j[0]), j[1], 1); err != nil {
						t.Fatal(err)
					}
				}
				m := cpu.New(c, s, silent{}, 1)
				m.Boot()
				for _, r := range c.Registers {
					m.Set(r, 0)
				}
				m.Step()
				trap, addr := "", memory.Addr(0)
				if last := m.LastTrap(); last != nil {
					trap, addr = last.Kind.Name, last.Addr
				}
				if holds == "this" && trap == "parity" {
					tt.at = 0 // what the counter holds while the order acts
				}
				if m.Value(c.Register("A")) != tt.a || m.Value(c.Register("B")) != tt.b || m.Place() != tt.at || trap != tt.trap || addr != tt.concerns {
					t.Errorf("A %o, B %o, at %o, trap %q about %o; want %o, %o, %o, %q, %o",
						m.Value(c.Register("A")), m.Value(c.Register("B")), m.Place(), trap, addr, tt.a, tt.b, tt.at, tt.trap, tt.concerns)
				}
			})
		}
	}
}
