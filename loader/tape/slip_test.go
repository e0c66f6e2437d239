package tape_test

import (
	"bytes"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// In every layout of testdata with a mark and bytes that are filled, a bit lost in one block costs that block alone: the
// next is found again, however bits and bytes stand in it.
func TestSlipInEveryLayout(t *testing.T) {
	for _, l := range layouts(t) {
		if l.Name() == "vary" || l.Name() == "bare" {
			continue // blocks fill up their last bytes, so that they do not follow each other bit upon bit, or have no mark
		}
		most, _ := l.Data()
		var raw []memory.Word
		for n := range 3 {
			words := make([]memory.Word, most)
			for i := range words {
				words[i] = memory.Word(i*37+n*11+1) & memory.Mask(l.StoreWidth())
			}
			src, err := l.Append(nil, n, 0, words)
			if err != nil {
				t.Fatal(err)
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil {
				t.Fatal(err)
			}
			raw = append(raw, rec.Blocks[0].Raw...)
		}
		bits := l.Bits(raw)
		half := len(bits) / 2
		bits = append(bits[:half:half], bits[half+1:]...)
		rec, err := tape.Read(l, "x", bytes.NewReader(l.AppendRaw(nil, l.FromBits(append(bits, 0)))))
		if err != nil || rec.Len() != 3 {
			t.Errorf("%s: %d blocks, %v; want 3", l.Name(), rec.Len(), err)
			continue
		}
		for i, b := range rec.Blocks {
			if b.Whole() != (i != 1) {
				t.Errorf("%s: with a bit lost in the middle of three blocks, block %d: whole %v, %s", l.Name(), i, b.Whole(), b.Reason())
			}
		}
	}
}
