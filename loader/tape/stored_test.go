package tape_test

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// Odd parity over eight bits and their own catches wires all at 0, and not all at 1: nine ones are odd. Recomputed, not
// read in a source.
func TestNineWires(t *testing.T) {
	l, err := build("word 9 bits\nbytes 2 of 8 bits make 1 word high first\nparity odd over 8-0\ndata 3 words")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	want := tape.Proof{Parity: tape.Wrong, Stray: []int{1}}
	if diff := cmp.Diff(want, l.Prove([]memory.Word{0o777, 0, 0o777})); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What goes to store is taken out of a recorded word in the order named; recording makes the parity, each by the first bit
// that does not go to store, and refuses words that cannot be right.
func TestStored(t *testing.T) {
	l, err := build("word 12 bits\nstore bits 3-0 10-7\nparity even over 11 10-7\nparity odd over 5 11-6 4-0\ndata 2 words")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	if l.StoreWidth() != 8 || l.Width() != 12 {
		t.Errorf("%d bits of %d go to store, want 8 of 12", l.StoreWidth(), l.Width())
	}
	// A5 is 1010 for the bits 3-0 and 0101 for 10-7. Two ones of 10-7 are even: bit 11 stays 0; four in all: bit 5 makes five.
	src, err := l.Append(nil, 0, 0, []memory.Word{0xA5, 0x00})
	if err != nil {
		t.Fatal(err)
	}
	raw := unpacked(t, l, src)
	if want := []memory.Word{0b0010_1010_1010, 0b0000_0010_0000}; !slices.Equal(raw, want) {
		t.Errorf("recorded %012b, want %012b", raw, want)
	}
	if got, want := l.Stored(raw), []memory.Word{0xA5, 0x00}; !slices.Equal(got, want) {
		t.Errorf("stored %X, want %X", got, want)
	}
	for bit := range 12 { // each bit is under the second rule
		raw[0] ^= 1 << bit
		if got := l.Prove(raw); got.Parity != tape.Wrong || !slices.Equal(got.Stray, []int{0}) {
			t.Errorf("bit %d wrong: %+v", bit, got)
		}
		raw[0] ^= 1 << bit
	}
	carried, err := build("parity odd over 11-0\ndata 1 word")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	if _, err := carried.Append(nil, 0, 0, []memory.Word{3}); err == nil || err.Error() != "block 000: 0003, word 0 of all, has the wrong parity, and the layout has no bit to put it right" {
		t.Errorf("a word of wrong parity is recorded: %v", err)
	}
}

// Where bits have other numbers in store, the one that a check code names is said to be as recorded; so is one in a word
// beside the data. In a block too long to look through, none is named.
func TestIfOne(t *testing.T) {
	const stored = "word 20 bits\nbytes 3 of 8 bits make 1 word high first\nstore bits 18-10 8-0\nparity odd over 19-10\nparity odd over 9-0\n" +
		"field number\ndata 3 words\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over number data"
	tests := []struct {
		name, records string
		words         int
		byte          int
		want          string
	}{
		{"in the data", stored, 3, 4, "; if a single bit is wrong, it is bit 8 of word 0 as recorded"},
		{"beside the data", stored, 3, 1, "; if a single bit is wrong, it is bit 8 of word 0 as recorded of all, beside the data"},
		{"too long", "word 8 bits\nbytes 1 of 8 bits make 1 word high first\ndata 40000 words\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over data", 40000, 4, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			src, err := l.Append(nil, 0, 0, make([]memory.Word, tt.words))
			if err != nil {
				t.Fatal(err)
			}
			src[tt.byte] ^= 1
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil {
				t.Fatal(err)
			}
			var said string
			for _, p := range rec.Blocks[0].Problems {
				if errors.Is(p, tape.ErrCheck) {
					said = p.Err.Error()
				}
			}
			_, hint, _ := strings.Cut(said, " bits read give ")
			if len(hint) < 4 || hint[4:] != tt.want {
				t.Errorf("got %q, want %q at its end", said, tt.want)
			}
		})
	}
}

// A sum or code that is recorded as more than it can be is wrong, not cut.
func TestSealTooWide(t *testing.T) {
	l, err := build("word 64 bits\nbytes 8 of 8 bits make 1 word high first\ndata 1 word\nsum add 2 words high first over data")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	if got := l.Prove([]memory.Word{5, 0, 5}); got.Sum != tape.Right {
		t.Errorf("sum right: %+v", got)
	}
	if got := l.Prove([]memory.Word{5, 1, 5}); got.Sum != tape.Wrong {
		t.Errorf("sum with a bit above 64 set: %+v", got)
	}
}

// Words that carry their parity to store are as they are; a block is recorded only where they are right.
func TestParityInStore(t *testing.T) {
	l, err := build("store bits 11-0\nparity odd over 11-0\ndata 1 word")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	if _, err := l.Append(nil, 0, 0, []memory.Word{0o7000}); err != nil {
		t.Error(err)
	}
	if _, err := l.Append(nil, 0, 0, []memory.Word{0o3000}); err == nil {
		t.Error("a word of wrong parity was recorded")
	}
}
