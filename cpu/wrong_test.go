package cpu_test

import (
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// trying is a machine whose store test writes wrong parity on purpose, round and round, and counts how often the check saw it.
const trying = `
machine  "Trying"
numbers  octal, bit 0 at right
word     8 bits, twos complement
address  5 bits
counter  P: 5 bits, holds next order
register A, B, N: 8 bits
flip-flop check
store    S 00-37
  parity right odd over 3-0, left odd over 7-4
trap     parity "wrong parity at a read"
  when   check = 1
  does   N <- N + 1
order    load a
  pattern 000 aaaaa
  does    A <- store[a]
order    spoil a
  pattern 001 aaaaa
  does    wrong-parity[a] <- B
order    spoil-left a
  pattern 010 aaaaa
  does    wrong-parity[a, left] <- B
order    store a
  pattern 011 aaaaa
  does    store[a] <- B
order    count
  pattern 100 00000
  does    B <- B + 1
order    jump a
  pattern 101 aaaaa
  does    P <- a
`

// A read of a word that was written with wrong parity traps where checking is on, and is like any other where it is off. A
// thousand rounds are long enough for every order of them that can be fused to be.
func TestWrongParityOnPurpose(t *testing.T) {
	c, err := order.Read("trying", []byte(trying))
	if err != nil {
		t.Fatal(err)
	}
	// count; spoil 20, load 20; spoil-left 20, load 20; store 20, load 20; jump 0.
	program := []memory.Word{0o200, 0o060, 0o020, 0o120, 0o020, 0o160, 0o020, 0o240}
	for _, check := range []memory.Word{0, 1} {
		s := memory.NewStore(c.Geometry, 1)
		for i, w := range program {
			s.Write(memory.Addr(i), w)
		}
		m := cpu.New(c, s, &noise{}, 1)
		for _, r := range c.Registers {
			m.Set(r, 0)
		}
		m.Set(c.Register("check"), check)
		const rounds = 1000
		if n := m.Run(rounds*int64(len(program)), cpu.Never); n != rounds*int64(len(program)) {
			t.Fatalf("check %d: %d orders taken", check, n)
		}
		want := check * 2 * rounds & 0o377
		if got := m.Value(c.Register("N")); got != want {
			t.Errorf("check %d: %o traps, want %o (modulo 400)", check, got, want)
		}
		// Where the trap sprang, A was left alone: so it was set at the last of three reads alone, to the same word.
		if got := m.Value(c.Register("A")); got != rounds&0o377 {
			t.Errorf("check %d: A is %o, want %o", check, got, rounds&0o377)
		}
	}
}
