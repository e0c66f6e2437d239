package plan

import (
	"math/rand/v2"
	"testing"

	"coldstart/memory"
)

// The adder that is made of gates gives what the other gives while none of its carries is held.
func TestCarriesNoneHeld(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 1))
	for range 200_000 {
		s, adder, a, b, in := anyAdd(random)
		if got, want := (Carries{}).Compute(adder, &s, a, b, in), adder.Compute(&s, a, b, in); got != want {
			t.Fatalf("adder %d, %d bits, op %d of %o, %o, %o: %o, want %o", adder, s.N, s.Op, a, b, in, got, want)
		}
	}
}

// anyAdd is some step of the adder.
func anyAdd(random *rand.Rand) (s Step, adder Adder, a, b, in memory.Word) {
	s.N = uint8(2 + random.IntN(63))
	s.M = memory.Mask(int(s.N))
	s.Op = [...]Op{Add, Subtract, Carry, Overflow}[random.IntN(4)]
	adder = Adder(random.IntN(3))
	return s, adder, memory.Word(random.Uint64()) & s.M, memory.Word(random.Uint64()) & s.M, memory.Word(random.IntN(2))
}

// With the carry into bit k held, the k bits right of it add as ever, and the others as if that carry came in at their right.
func TestCarryHeld(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 2))
	differ := 0
	for range 200_000 {
		s, _, a, b, in := anyAdd(random)
		s.N = min(s.N, 62) // so that no sum spills
		s.M = memory.Mask(int(s.N))
		a, b = a&s.M, b&s.M
		k, v := random.IntN(int(s.N)), random.IntN(2)
		var held Carries
		held.Hold(k, v)
		if s.Op == Subtract {
			in = 1
		}
		c := b
		if s.Op == Subtract {
			c = ^b & s.M
		}
		low := memory.Mask(k)
		high := a>>k + c>>k + memory.Word(v)
		sum := (high<<k | (a&low+c&low+in)&low) & s.M
		out := high << k >> s.N & 1
		want := sum
		switch s.Op {
		case Carry:
			want = out
		case Overflow:
			want = (a ^ sum) & (c ^ sum) >> (s.N - 1) & 1
		}
		got := held.Compute(TwosComplement, &s, a, b, in)
		if got != want {
			t.Fatalf("%d bits, op %d of %o, %o, %o, carry into %d held at %d: %o, want %o", s.N, s.Op, a, b, in, k, v, got, want)
		}
		if got != TwosComplement.Compute(&s, a, b, in) {
			differ++
		}
	}
	if differ < 20_000 {
		t.Errorf("only %d of 200000 sums came out wrong", differ)
	}
}

// In ones complement the adder is a ring of gates: what comes out settles where the carry out is the carry in.
func TestCarryHeldInRing(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 3))
	for range 50_000 {
		n := 2 + random.IntN(14)
		a, b := memory.Word(random.IntN(1<<n)), memory.Word(random.IntN(1<<n))
		k, v := random.IntN(n), random.IntN(2)
		var held Carries
		held.Hold(k, v)
		_, carry := held.ripple(a, b, 0, uint8(n))
		want, again := held.ripple(a, b, carry, uint8(n))
		if again != carry && k > 0 {
			t.Fatalf("the ring does not settle")
		}
		s := Step{Op: Add, N: uint8(n), M: memory.Mask(n)}
		if k == 0 { // then no carry comes in at the right: the gate there is the one that is held
			want, _ = held.ripple(a, b, 0, uint8(n))
		}
		if got := held.Compute(OnesComplement, &s, a, b, 0); got != want {
			t.Fatalf("%d bits, %o + %o, carry into %d held at %d: %o, want %o", n, a, b, k, v, got, want)
		}
	}
}
