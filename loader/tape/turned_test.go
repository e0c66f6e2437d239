package tape_test

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// In every layout of testdata with a mark a block that lies the wrong way round among others is read as what it is, is said
// to lie so, and harms none beside it.
func TestTurnedInEveryLayout(t *testing.T) {
	tests := []struct {
		name string
		turn func([]byte)
		want []error
	}{
		{"inverted", complement, []error{tape.ErrPolarity}},
		{"backwards", slices.Reverse[[]byte], []error{tape.ErrBackwards}},
		{"both", func(bits []byte) { complement(bits); slices.Reverse(bits) }, []error{tape.ErrPolarity, tape.ErrBackwards}},
	}
	for _, l := range layouts(t) {
		if l.Name() == "bare" {
			continue // without a mark nothing tells one way from the other
		}
		for _, tt := range tests {
			t.Run(l.Name()+" "+tt.name, func(t *testing.T) {
				var bits []byte
				var want [3][]memory.Word
				for n := range 3 {
					want[n] = fits(l, []memory.Word{memory.Word(0o13*n + 1), 0o52, 0o7, memory.Word(0o31 + n)})
					src, err := l.Append(nil, n, 0o10, want[n])
					if err != nil {
						t.Fatal(err)
					}
					block := recordedBits(t, l, src)
					if n == 1 {
						tt.turn(block)
					}
					bits = append(bits, block...)
				}
				rec, err := tape.Read(l, "x", bytes.NewReader(l.AppendRaw(nil, l.FromBits(bits))))
				if err != nil || rec.Len() != 3 {
					t.Fatalf("%v, %v; want three blocks", err, rec.Err())
				}
				for n, b := range rec.Blocks {
					if !b.Whole() || !slices.Equal(b.Words, want[n]) {
						t.Errorf("block %d: whole %v, words %o, want %o: %s", n, b.Whole(), b.Words, want[n], b.Reason())
					}
				}
				for _, e := range tt.want {
					if !errors.Is(rec.Err(), e) || rec.Blocks[1].Good() {
						t.Errorf("%v; want the second block %v", rec.Err(), e)
					}
				}
				if o := rec.Origin(1, 0); o.Word >= len(want[1]) {
					t.Errorf("word 0 of the second block comes from its word %d", o.Word)
				}
			})
		}
	}
}

// complement turns every bit.
func complement(bits []byte) {
	for i := range bits {
		bits[i] ^= 1
	}
}
