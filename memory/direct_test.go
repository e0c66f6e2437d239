package memory

import (
	"math/rand/v2"
	"testing"
)

// TestDirect writes words both ways, into two stores alike, and holds all that can be seen of them against each other.
func TestDirect(t *testing.T) {
	for _, tt := range []struct {
		name  string
		g     Geometry
		first Addr
	}{{"near", halves(), 0}, {"far", packed(), 1 << 32}} {
		t.Run(tt.name, func(t *testing.T) { direct(t, tt.g, tt.first) })
	}
	if _, ok := NewStore(packed(), 1).Direct(1 << 31); ok {
		t.Error("words are laid open where nothing answers")
	}
}

// direct does so for the words from an address on.
func direct(t *testing.T, g Geometry, first Addr) {
	laid, called := NewStore(g, 3), NewStore(g, 3)
	d, ok := laid.Direct(first)
	if !ok || d.First != first {
		t.Fatalf("words are laid open from %o on, %t; want from %o on", d.First, ok, first)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	var kept, also *Snapshot
	for n := range 20_000 {
		i, w := rng.IntN(len(d.Words)), Word(rng.Uint64())
		a := first + Addr(i)
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
			if d.States[i]&WriteMask == PlainWrite {
				d.Words[i] = w & d.Mask
				d.Owe(uint64(i))
			} else {
				laid.Write(a, w)
			}
			called.Write(a, w)
		}
		i = rng.IntN(len(d.Words))
		a = first + Addr(i)
		if d.States[i]&ReadMask == PlainRead {
			if want, st := called.Read(a); d.Words[i] != want || st != 0 {
				t.Fatalf("after %d: word %o is plain and %o, but reads as %o, %v", n, a, d.Words[i], want, st)
			}
		}
		laid.CountRead(a)
		called.Read(a)
		reads, altered := laid.JamReads(a)
		if also, alike := called.JamReads(a); reads != also || altered != alike {
			t.Fatalf("after %d: %d reads of %o were counted, %d altered; want %d, %d", n, reads, a, altered, also, alike)
		}
		for column := range 20 {
			stored, seen, _ := laid.Column(a, column)
			if s, v, _ := called.Column(a, column); stored != s || seen != v {
				t.Fatalf("after %d: column %d of %o is %d, seen as %d; want %d, %d", n, column, a, stored, seen, s, v)
			}
		}
	}
}
