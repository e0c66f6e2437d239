package tape_test

import (
	"bytes"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A single wrong bit is named, with how many words could hold it; the word that does is among them. Every bit of a word is
// tried at both values in each way of summing.
func TestOneBit(t *testing.T) {
	words := []memory.Word{0o1234, 0o4321, 0o7070, 0o0007}
	for _, mode := range []string{"add", "add negated", "add complemented", "add end-around", "add end-around complemented", "exclusive-or", "exclusive-or complemented"} {
		t.Run(mode, func(t *testing.T) {
			l, err := build("data 4 words\nsum " + mode + " over data")
			if err != nil {
				t.Fatal(list.Report(err))
			}
			good, err := l.Append(nil, 0, 0, words)
			if err != nil {
				t.Fatal(err)
			}
			for bit := range 12 {
				for i, w := range words {
					wrong := bytes.Clone(good)
					wrong[2*i+1-bit/6] ^= 1 << (bit % 6) // high byte first
					rec, err := tape.Read(l, "x", bytes.NewReader(wrong))
					if err != nil {
						t.Fatal(err)
					}
					could := 0
					for _, other := range rec.Blocks[0].Words {
						// With exclusive or every word could; at the left end of plain adding a carry is lost, so there too.
						if strings.HasPrefix(mode, "exclusive-or") || !strings.Contains(mode, "end-around") && bit == 11 || other>>bit&1 != w>>bit&1 {
							could++
						}
					}
					if gotBit, got := rec.Blocks[0].OneBit(); gotBit != bit || got != could {
						t.Errorf("bit %d of word %d: got bit %d in %d words, want %d words", bit, i, gotBit, got, could)
					}
				}
			}
		})
	}
}

func TestNotOneBit(t *testing.T) {
	l, err := build("data 2 words\nsum add over data")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	good, err := l.Append(nil, 0, 0, []memory.Word{0o1111, 0o2222})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name  string
		alter func([]byte) []byte
	}{
		{"good", func(b []byte) []byte { return b }},
		{"two bits of a word", func(b []byte) []byte { b[1] ^= 0o05; return b }},
		{"cut short", func(b []byte) []byte { return b[:3] }},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rec, err := tape.Read(l, "x", bytes.NewReader(test.alter(bytes.Clone(good))))
			if err != nil {
				t.Fatal(err)
			}
			if bit, n := rec.Blocks[0].OneBit(); n != 0 {
				t.Errorf("bit %d of %d words, want none", bit, n)
			}
		})
	}
}
