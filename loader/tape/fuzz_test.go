package tape_test

import (
	"bytes"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// shapes are the layouts of testdata: how many words their blocks have, at most where they vary, and of how many bits in
// store.
var shapes = []struct {
	name         string
	words, width int
	varies       bool
	numbered     bool
}{
	{"small", 4, 18, false, true},
	{"vary", 16, 12, true, true},
	{"code", 9, 8, false, true},
	{"turned", 9, 8, false, true},
	{"halves", 3, 16, false, true},
	{"complement", 3, 12, false, false},
	{"negated", 8, 8, true, false},
	{"behind", 2, 18, false, true},
}

// FuzzRecord holds that blocks recorded are read back good and the same, in every layout of testdata.
func FuzzRecord(f *testing.F) {
	f.Add(uint16(0), uint16(0), []byte{})
	f.Add(uint16(2), uint16(01000), []byte{1, 2, 3, 4, 0xff, 0xff, 0xff, 0xff})
	var layouts []*tape.Layout
	for _, s := range shapes {
		layouts = append(layouts, layout(f, s.name+".layout"))
	}
	f.Fuzz(func(t *testing.T, number, addr uint16, seed []byte) {
		for i, l := range layouts {
			s := shapes[i]
			words := wordsOf(seed, s.width)
			if !s.varies {
				words = append(words, make([]memory.Word, s.words)...)
			}
			words = words[:min(len(words), s.words)]
			n := 0
			if s.numbered {
				n = int(number) % 3
			}
			src, err := l.Append(nil, n, memory.Addr(addr), words)
			if err != nil {
				t.Fatal(err)
			}
			r := tape.NewReader(l, "x", bytes.NewReader(src))
			if !r.Scan() {
				t.Fatalf("%s: nothing read back: %v", l.Name(), r.Err())
			}
			b := r.Block()
			if !b.Whole() || b.Number != n {
				t.Errorf("%s: block %d read back as %d: %s", l.Name(), n, b.Number, b.Reason())
			}
			if b.Addressed && b.Addr != memory.Addr(addr) {
				t.Errorf("%s: address %o read back as %o", l.Name(), addr, b.Addr)
			}
			if diff := cmp.Diff(append([]memory.Word{}, words...), append([]memory.Word{}, b.Words...)); diff != "" {
				t.Errorf("%s: words (-recorded +read):\n%s", l.Name(), diff)
			}
		}
	})
}

// wordsOf makes words of a width of pairs of bytes.
func wordsOf(seed []byte, width int) []memory.Word {
	words := []memory.Word{}
	for ; len(seed) >= 2; seed = seed[2:] {
		words = append(words, (memory.Word(seed[0])<<10|memory.Word(seed[1]))&memory.Mask(width))
	}
	return words
}

// FuzzRead holds, for any bytes at all, that each byte belongs to exactly one block, and that a whole block recorded again
// gives the very bytes it was read from.
func FuzzRead(f *testing.F) {
	var layouts []*tape.Layout
	for _, s := range shapes {
		l := layout(f, s.name+".layout")
		layouts = append(layouts, l)
		src, err := l.Append(nil, 0, 01000, []memory.Word{1, 2, 3, 4, 5, 6, 7, 8, 9}[:min(9, s.words)])
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
		f.Add(append(src[:len(src)-2], src...))
	}
	f.Add([]byte{0xE3, 0x81, 0xC7, 0xFF, 0xF0, 0x00})
	f.Fuzz(func(t *testing.T, src []byte) {
		for _, l := range layouts {
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil {
				continue
			}
			for i, b := range rec.Blocks {
				end := int64(len(src))
				if i+1 < len(rec.Blocks) {
					end = rec.Blocks[i+1].Offset
				}
				if i == 0 && b.Offset != 0 || end <= b.Offset {
					t.Fatalf("%s: block at position %d has bytes %d to %d of %d", l.Name(), i, b.Offset, end, len(src))
				}
				if !b.Whole() {
					continue
				}
				again, err := l.Append(nil, b.Number, b.Addr, b.Words)
				if err != nil || !bytes.Equal(again, src[b.Offset:end]) {
					t.Errorf("%s: block at position %d is % x; recorded again % x, %v", l.Name(), i, src[b.Offset:end], again, err)
				}
			}
		}
	})
}

// A small layout for the speed of reading, in the shape of the training tape.
func BenchmarkRead(b *testing.B) {
	l, err := build("word 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\nfield number\nfield address\nfield count\n" +
		"data 256 words\nsum add over number address count data")
	if err != nil {
		b.Fatal(err)
	}
	var src []byte
	for n := range 44 {
		if src, err = l.Append(src, n, 0, make([]memory.Word, 256)); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if rec, err := tape.Read(l, "x", bytes.NewReader(src)); err != nil || rec.Err() != nil {
			b.Fatal(err, rec.Err())
		}
	}
}
