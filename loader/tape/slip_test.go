package tape_test

import (
	"bytes"
	"slices"
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

// Behind rubbish that looks like marks at every bit a block is found again, in layouts with a count and without, at any bit.
func TestBehindMarksWithoutEnd(t *testing.T) {
	for _, count := range []string{"field count\n", ""} {
		l, err := build("word 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\nfield number\n" + count + "data 64 words\nsum add over number data")
		if err != nil {
			t.Fatal(err)
		}
		words := func(n int) []memory.Word {
			block := make([]memory.Word, 64)
			for i := range block {
				block[i] = memory.Word(i*0o1111+n) & memory.Mask(18)
			}
			return block
		}
		var raw []memory.Word
		for n := range 2 {
			src, err := l.Append(nil, n, 0, words(n))
			if err != nil {
				t.Fatal(err)
			}
			raw = append(raw, unpacked(t, l, src)...)
		}
		first, second := l.Bits(raw[:len(raw)/2]), l.Bits(raw[len(raw)/2:])
		for _, between := range []int{18 * 900, 18*900 + 1, 18*900 + 2, 18*900 + 9} {
			bits := slices.Clone(first)
			for i := range between {
				bits = append(bits, byte(i+between/2)%2) // running on into the mark, or breaking off before it
			}
			bits = append(bits, second...)
			bits = append(bits, make([]byte, -len(bits)%18+18)...)
			rec, err := tape.Read(l, "x", bytes.NewReader(l.AppendRaw(nil, l.FromBits(bits))))
			if err != nil {
				t.Fatal(err)
			}
			whole := 0
			for _, b := range rec.Blocks {
				if b.Whole() && slices.Equal(b.Words, words(b.Number)) {
					whole++
				}
			}
			if whole != 2 {
				t.Errorf("%q, %d bits by turns between two blocks: %d read whole, want both", count, between, whole)
			}
		}
	}
}
