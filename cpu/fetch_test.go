package cpu_test

import (
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// far is a machine whose two stores lie too far apart to be laid open together, with an order of two words.
const far = `
machine  "Far"
numbers  octal, bit 0 at right
word     30 bits, twos complement
address  27 bits
counter  P: 27 bits, holds next order
register A: 30 bits
store    S0 000000000-000000077
store    S1 700000000-700000077
store    S2 600000000-600000077
order    jump a
  pattern 000 aaaaaaaaaaaaaaaaaaaaaaaaaaa
  does    P <- a
order    long v
  pattern 001 000000000000000000000000000 / vvvvvvvvvvvvvvvvvvvvvvvvvvvvvv
  does    A <- v
`

// runFar runs some words unobserved, from 0 on.
func runFar(t *testing.T, words map[memory.Addr]memory.Word) (*cpu.Machine, *memory.Store) {
	t.Helper()
	c, err := order.Read("far", []byte(far))
	if err != nil {
		t.Fatal(err)
	}
	s := memory.NewStore(c.Geometry, 1)
	for a, w := range words {
		s.Write(a, w)
	}
	m := cpu.New(c, s, silent{}, 1)
	m.Boot()
	m.Set(c.Counter, 0)
	return m, s
}

// A loop through stores that lie far apart goes round for ever.
func TestFarStores(t *testing.T) {
	m, _ := runFar(t, map[memory.Addr]memory.Word{0: 0o700000000, 0o700000000: 0o600000000, 0o600000000: 0})
	if n := m.Run(3000, cpu.Never); n != 3000 || m.Halted() || m.Place() != 0 {
		t.Errorf("took %d orders, halted %t at %o; want 3000, and it runs", n, m.Halted(), m.Place())
	}
}

// The words of an order are read once each, also where a later one of them is not what it was.
func TestFetchOnce(t *testing.T) {
	m, s := runFar(t, map[memory.Addr]memory.Word{0: 1 << 27, 1: 5, 2: 0})
	m.Run(4, cpu.Never)
	for i, column := range []int{3, 4, 5} {
		if err := s.Jam(1, column, 1); err != nil {
			t.Fatal(err)
		}
		m.Run(2, cpu.Never)
		if reads, _ := s.JamReads(1); reads != int64(i+1) {
			t.Errorf("with %d jams: %d reads of the second word in %d rounds", i+1, reads, i+1)
		}
	}
}
