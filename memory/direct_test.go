package memory

import (
	"math/rand/v2"
	"testing"
)

// TestDirect writes words both ways, into two stores alike, and holds all that can be seen of them against each other.
func TestDirect(t *testing.T) {
	laid, called := NewStore(halves(), 3), NewStore(halves(), 3)
	d, ok := laid.Direct()
	if !ok {
		t.Fatal("the words of a small store are not laid open")
	}
	rng := rand.New(rand.NewPCG(1, 2))
	var kept, also *Snapshot
	for n := range 20_000 {
		a, w := Addr(rng.IntN(len(d.Words))), Word(rng.Uint64())
		switch rng.IntN(40) {
		case 0:
			laid.Mark(a)
			called.Mark(a)
		case 1:
			column, value := rng.IntN(20), rng.IntN(2)
			_, _ = laid.Jam(a, column, value), called.Jam(a, column, value) // what one refuses the other refuses
		case 2:
			kept, also = laid.Snapshot(), called.Snapshot()
		case 3:
			if kept != nil && (laid.Restore(kept) != nil || called.Restore(also) != nil) {
				t.Fatal("a store refuses its own snapshot")
			}
		default:
			if d.States[a]&WriteMask == PlainWrite {
				d.Words[a] = w & d.Mask
				d.Owe(uint64(a))
			} else {
				laid.Write(a, w)
			}
			called.Write(a, w)
		}
		a = Addr(rng.IntN(len(d.Words)))
		if d.States[a]&ReadMask == PlainRead {
			if want, st := called.Read(a); d.Words[a] != want || st != 0 {
				t.Fatalf("after %d: word %o is plain and %o, but reads as %o, %v", n, a, d.Words[a], want, st)
			}
		}
		for column := range 20 {
			stored, seen, _ := laid.Column(a, column)
			if s, v, _ := called.Column(a, column); stored != s || seen != v {
				t.Fatalf("after %d: column %d of %o is %d, seen as %d; want %d, %d", n, column, a, stored, seen, s, v)
			}
		}
	}
}

// TestDirectNotLaidOpen names stores whose slots are no addresses.
func TestDirectNotLaidOpen(t *testing.T) {
	if _, ok := NewStore(packed(), 1).Direct(); ok {
		t.Error("the words of areas far apart are laid open")
	}
}
