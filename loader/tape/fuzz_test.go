package tape_test

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// layouts reads layouts of testdata, all where none are named.
func layouts(t testing.TB, files ...string) (all []*tape.Layout) {
	if files == nil {
		paths, err := filepath.Glob("testdata/*.layout")
		if err != nil || len(paths) < 10 {
			t.Fatalf("%d layouts, %v; want 10 or more", len(paths), err)
		}
		for _, p := range paths {
			files = append(files, filepath.Base(p))
		}
	}
	for _, f := range files {
		all = append(all, layout(t, f))
	}
	return all
}

// fits cuts words to those a block of layout l can hold, or fills them up.
func fits(l *tape.Layout, words []memory.Word) []memory.Word {
	most, vary := l.Data()
	if !vary {
		words = append(words, make([]memory.Word, most)...)
	}
	return words[:min(len(words), most)]
}

// FuzzRecord holds that blocks recorded are read back good and the same, in every layout of testdata.
func FuzzRecord(f *testing.F) {
	f.Add(uint16(0), uint16(0), []byte{})
	f.Add(uint16(2), uint16(01000), []byte{1, 2, 3, 4, 0xff, 0xff, 0xff, 0xff})
	all := layouts(f)
	f.Fuzz(func(t *testing.T, number, addr uint16, seed []byte) {
		for _, l := range all {
			words := fits(l, wordsOf(seed, l.StoreWidth()))
			first, last, stated := l.Expected()
			n := int(number) % 3
			if stated {
				n = first + int(number)%(last-first+1)
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
			if h := l.Fields(b.Raw); !b.Whole() || h.Numbered && b.Number != n {
				t.Errorf("%s: block %d read back as %d: %s", l.Name(), n, b.Number, b.Reason())
			}
			if b.Addressed && b.Addr != memory.Addr(addr) {
				t.Errorf("%s: address %o read back as %o", l.Name(), addr, b.Addr)
			}
			if diff := cmp.Diff(words, append([]memory.Word{}, b.Words...)); diff != "" {
				t.Errorf("%s: words (-recorded +read):\n%s", l.Name(), diff)
			}
			if !bytes.Equal(b.Bytes, src) {
				t.Errorf("%s: bytes % x; recorded were % x", l.Name(), b.Bytes, src)
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
	all := layouts(f)
	for _, l := range all {
		src, err := l.Append(nil, 0, 010, fits(l, []memory.Word{1, 2, 3, 4}))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
		f.Add(append(src[:len(src)-2], src...))
	}
	f.Add([]byte{0xE3, 0x81, 0xC7, 0xFF, 0xF0, 0x00})
	f.Fuzz(func(t *testing.T, src []byte) {
		for _, l := range all {
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

// markedWell are layouts whose marks and headers cannot well come about by accident.
var markedWell = []string{"small.layout", "vary.layout", "marked.layout", "halves.layout", "behind.layout", "code.layout"}

// FuzzDamage holds that whatever happens within one block, bits changed, lost or come to it, the blocks before it and those
// two and more behind it are read as if nothing had.
func FuzzDamage(f *testing.F) {
	f.Add(uint64(1), []byte{1, 0, 3})
	f.Add(uint64(2), []byte{2, 7, 1, 0, 40, 9})
	all := layouts(f, markedWell...)
	f.Fuzz(func(t *testing.T, seed uint64, harm []byte) {
		damaged(t, all[seed%uint64(len(all))], seed, harm)
	})
}

// A part of what can happen to a recording, a great many times, after what once was not withstood.
func TestDamage(t *testing.T) {
	all := layouts(t, markedWell...)
	for _, known := range []struct {
		seed uint64
		harm string
	}{
		{114, "|\xe6I1\x00\xf2"},
		{172, "\x89\x89\xf2"},
		{1, "1\x00\xe2\xe2\xe2\xe2"},
	} {
		for _, l := range all {
			damaged(t, l, known.seed, []byte(known.harm))
		}
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 600 {
		harm := make([]byte, 3*(1+random.IntN(4)))
		for i := range harm {
			harm[i] = byte(random.Uint32())
		}
		seed := random.Uint64()
		for _, l := range all {
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
	var want [blocks][]memory.Word
	var bits [blocks][]byte // as recorded
	for n := range blocks {
		for range 4 {
			want[n] = append(want[n], memory.Word(random.Uint64())&memory.Mask(l.StoreWidth()))
		}
		want[n] = fits(l, want[n])
		src, err := l.Append(nil, n%3, memory.Addr(4*n), want[n])
		if err != nil {
			t.Fatal(err)
		}
		bits[n] = recordedBits(t, l, src)
	}
	damage := slices.Clone(bits[hit])
	for ; len(harm) >= 3; harm = harm[3:] {
		at, much := int(harm[1])*len(damage)/256, int(harm[2])%40
		end := min(at+much, len(damage))
		switch harm[0] % 3 {
		case 0:
			for i := at; i < end; i++ {
				damage[i] ^= 1
			}
		case 1:
			damage = slices.Delete(damage, at, end)
		case 2:
			damage = slices.Insert(damage, at, bits[0][:min(much, len(bits[0]))]...)
		}
	}
	bits[hit] = damage
	all := slices.Concat(bits[:]...)
	all = append(all, make([]byte, 64*l.Width())...) // the last bits are part of a word, and the word of a group
	rec, err := tape.Read(l, "x", bytes.NewReader(l.AppendRaw(nil, l.FromBits(all))))
	if err != nil {
		t.Fatal(err)
	}
	for n := range blocks {
		if n == hit || n == hit+1 {
			continue
		}
		if !slices.ContainsFunc(rec.Blocks, func(b *tape.Block) bool { return b.Whole() && slices.Equal(b.Words, want[n]) }) {
			says, _ := sayings(rec)
			t.Errorf("%s: block %d was harmed, and block %d is not read: %q", l.Name(), hit, n, says)
		}
	}
}

// recordedBits gives the bits of one block as recorded, those that fill its last bytes included.
func recordedBits(t *testing.T, l *tape.Layout, src []byte) []byte {
	rec, err := tape.Read(l, "x", bytes.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	raw := slices.Clone(rec.Blocks[0].Raw)
	for len(l.AppendRaw(nil, append(slices.Clone(raw), 0))) == len(src) {
		raw = append(raw, 0)
	}
	return l.Bits(raw)
}
