package tape_test

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"slices"
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

// FuzzRead holds, for any bytes at all, that blocks come in the order of their bytes and leave none out, and that a whole
// block that lies as it should gives, recorded again, the very bytes it was read from.
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
				if i == 0 && b.Offset != 0 || end < b.Offset || end == b.Offset && b.Bit >= rec.Blocks[i+1].Bit || !b.Rubbish() && b.Offset+int64(len(b.Bytes)) < end {
					t.Fatalf("%s: block at position %d has bytes %d to %d of %d", l.Name(), i, b.Offset, end, len(src))
				}
				if !b.Whole() || b.Bit != 0 || turned(b) {
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

// turned says that a block does not lie as it should, or is none.
func turned(b *tape.Block) bool {
	return b.FileMark || b.Rubbish() || slices.ContainsFunc(b.Problems, func(p *tape.BlockError) bool {
		return errors.Is(p, tape.ErrShifted) || errors.Is(p, tape.ErrPolarity) || errors.Is(p, tape.ErrBackwards)
	})
}

// FuzzDamage holds that whatever happens within one block, bits changed, lost or come to it, the blocks before it and those
// two and more behind it are read as if nothing had.
func FuzzDamage(f *testing.F) {
	f.Add(uint64(1), []byte{1, 0, 3})
	f.Add(uint64(2), []byte{2, 7, 1, 0, 40, 9})
	layouts := []*tape.Layout{layout(f, "small.layout"), layout(f, "vary.layout")}
	f.Fuzz(func(t *testing.T, seed uint64, harm []byte) {
		for _, l := range layouts {
			damaged(t, l, seed, harm)
		}
	})
}

// A part of what can happen to a recording, a great many times.
func TestDamage(t *testing.T) {
	layouts := []*tape.Layout{layout(t, "small.layout"), layout(t, "vary.layout")}
	random := rand.New(rand.NewPCG(1, 2))
	for range 1500 {
		harm := make([]byte, 3*(1+random.IntN(4)))
		for i := range harm {
			harm[i] = byte(random.Uint32())
		}
		seed := random.Uint64()
		for _, l := range layouts {
			damaged(t, l, seed, harm)
		}
		if t.Failed() {
			t.Fatalf("seed %d, harm %v", seed, harm)
		}
	}
}

// damaged records blocks of random words, harms the third, and reads them back. Harm is by threes: what is done (bits
// changed, lost, or put in), where, and how much.
func damaged(t *testing.T, l *tape.Layout, seed uint64, harm []byte) {
	t.Helper()
	const blocks, hit = 7, 2
	random := rand.New(rand.NewPCG(seed, 0))
	var src []byte
	var want [blocks][]memory.Word
	var starts [blocks + 1]int
	for n := range blocks {
		for range 4 {
			want[n] = append(want[n], memory.Word(random.Uint64())&memory.Mask(l.Width()))
		}
		var err error
		if src, err = l.Append(src, n%3, memory.Addr(4*n), want[n]); err != nil {
			t.Fatal(err)
		}
		starts[n+1] = len(src)
	}
	used := byte(0xFF) // bits of a byte that are recorded
	if l.Name() == "small" {
		used = 0x3F
	}
	bits := expand(src[starts[hit]:starts[hit+1]], used)
	for ; len(harm) >= 3; harm = harm[3:] {
		at, much := int(harm[1])*len(bits)/256, int(harm[2])%40
		end := min(at+much, len(bits))
		switch harm[0] % 3 {
		case 0:
			for i := at; i < end; i++ {
				bits[i] ^= 1
			}
		case 1:
			bits = slices.Delete(bits, at, end)
		case 2:
			bits = slices.Insert(bits, at, expand(src, used)[:much]...)
		}
	}
	all := slices.Concat(expand(src[:starts[hit]], used), bits, expand(src[starts[hit+1]:], used))
	rec, err := tape.Read(l, "x", bytes.NewReader(shrink(all, used)))
	if err != nil {
		t.Fatal(err)
	}
	for n := range blocks {
		if n == hit || n == hit+1 {
			continue
		}
		if !slices.ContainsFunc(rec.Blocks, func(b *tape.Block) bool {
			return b.Whole() && b.Number == n%3 && slices.Equal(b.Words, want[n])
		}) {
			says, _ := sayings(rec)
			t.Errorf("%s: block %d was harmed, and block %d is not read: %q", l.Name(), hit, n, says)
		}
	}
}

// expand gives the used bits of bytes, highest first, one a byte.
func expand(src []byte, used byte) (out []byte) {
	for _, c := range src {
		for bit := 7; bit >= 0; bit-- {
			if used>>bit&1 != 0 {
				out = append(out, c>>bit&1)
			}
		}
	}
	return out
}

// shrink is the inverse of expand; a last byte is filled up with 0.
func shrink(bits []byte, used byte) (out []byte) {
	for chunk := range slices.Chunk(bits, len(expand([]byte{0}, used))) {
		var c byte
		for i, b := range chunk {
			c |= b << (len(expand([]byte{0}, used)) - 1 - i)
		}
		out = append(out, c)
	}
	return out
}
