package tape_test

import (
	"bytes"
	"flag"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// somePairs keeps an ordinary test short.
const somePairs = 2000

// pairs is how many pairs of wrong bits are put through OneWrong itself, besides those with a fixed first bit; with more
// than an ordinary test has, both polynomials are gone through.
var pairs = flag.Int("pairs", somePairs, "pairs of wrong bits put through the location of single ones")

// longest is the longest block of the phase-encoded cartridge, from memory: 2,048 bytes, and 16 bits of code.
const longest = 2048

// product multiplies polynomials without carries.
func product(a, b uint64) uint64 {
	var p uint64
	for ; b != 0; a, b = a<<1, b>>1 {
		if b&1 != 0 {
			p ^= a
		}
	}
	return p
}

// The two polynomials in use have the factor x+1, and their other factor makes x come round after 32,767 steps and not
// before: recomputed, not read in a source. This arithmetic is the test's own, so that the code of the package is held
// against something.
func TestAlgebra(t *testing.T) {
	for _, tt := range []struct{ poly, factor uint64 }{
		{0x18005, 1<<15 | 1<<1 | 1},
		{0x11021, 1<<15 | 1<<14 | 1<<13 | 1<<12 | 1<<4 | 1<<3 | 1<<2 | 1<<1 | 1},
	} {
		if got := product(tt.factor, 3); got != tt.poly {
			t.Errorf("(x+1) times %X is %X, want %X", tt.factor, got, tt.poly)
		}
		x, order := uint64(1), 0
		for order == 0 || x != 1 {
			if x <<= 1; x>>16 != 0 {
				x ^= tt.poly
			}
			order++
			if bits.OnesCount64(x)%2 == 0 {
				t.Fatalf("%X: x to the power %d has an even weight", tt.poly, order)
			}
		}
		if order != 32767 {
			t.Errorf("%X: x comes round after %d, want 32767", tt.poly, order)
		}
	}
}

// syndromes gives, for every step-th bit of a block of full length, by how much the code as found comes to differ from the code as
// recorded when that bit is wrong: measured on a block, bit by bit.
func syndromes(t *testing.T, l *tape.Layout, raw []memory.Word, step int) []uint16 {
	t.Helper()
	code := func() uint16 {
		words := sealed(t, l, raw[:longest])
		return uint16((words[longest]^raw[longest])<<8 | words[longest+1] ^ raw[longest+1])
	}
	var all []uint16
	for bit := 0; bit < 8*len(raw); bit += step {
		flip(raw, bit)
		all = append(all, code())
		flip(raw, bit)
	}
	return all
}

// random gives so many bytes of a seed.
func random(n int, seed uint64) []memory.Word {
	rng := rand.New(rand.NewPCG(seed, 0))
	words := make([]memory.Word, n)
	for i := range words {
		words[i] = memory.Word(rng.Uint32() & 0xFF)
	}
	return words
}

// Of a block of 2,048 bytes with its code, every single wrong bit has a change of the code of its own, of odd weight, and
// every two have one of even weight that is not 0: all 16,400 and all 134,471,800 of them. So a single bit can be
// located, and two are never taken for one.
func TestEveryPairOfBits(t *testing.T) {
	for _, poly := range []string{"8005", "1021"}[:1+min(1, *pairs/(somePairs+1))] {
		l := bytewise(t, longest, parameters{poly: poly, start: "FFFF", final: "0000"}.record())
		step, wantBits, wantPairs := 1, 16400, 134471800
		if testing.Short() {
			step, wantBits, wantPairs = 20, 820, 335790
		}
		all := syndromes(t, l, sealed(t, l, random(longest, 1)), step)
		if len(all) != wantBits {
			t.Fatalf("%d bits, want %d", len(all), wantBits)
		}
		var single [1 << 16]bool
		for _, s := range all {
			if single[s] || bits.OnesCount16(s)%2 == 0 {
				t.Fatalf("%s: the change %04X comes twice or is of even weight", poly, s)
			}
			single[s] = true
		}
		doubles := 0
		for i, a := range all {
			for _, b := range all[:i] {
				if single[a^b] || a == b {
					t.Fatalf("%s: two wrong bits change the code by %04X, as one does or none", poly, a^b)
				}
				doubles++
			}
		}
		if doubles != wantPairs {
			t.Errorf("%d pairs, want %d", doubles, wantPairs)
		}
	}
}

// Each of the 16,400 bits of a block is named when it alone is wrong; two wrong bits are refused: pairs with one bit
// of the first byte, all of them where the flag asks for many, and a sample of the rest.
func TestOneWrong(t *testing.T) {
	p := parameters{poly: "8005", start: "0000", final: "0000"}
	l := bytewise(t, longest, p.record())
	raw := sealed(t, l, random(longest, 2))
	locates(t, l, raw, 1)
	all := len(raw) * 8
	refuses := func(a, b int) {
		if a == b {
			return
		}
		flip(raw, a)
		flip(raw, b)
		if word, bit, found := l.OneWrong(raw); found {
			t.Fatalf("bits %d and %d are wrong, and word %d bit %d is named", a, b, word, bit)
		}
		flip(raw, a)
		flip(raw, b)
	}
	step := 5
	switch {
	case testing.Short():
		step = 37
	case *pairs > somePairs:
		step = 1
	}
	for b := 0; b < all; b += step {
		refuses(0, b)
	}
	rng := rand.New(rand.NewPCG(3, 0))
	for range *pairs {
		refuses(rng.IntN(all), rng.IntN(all))
	}
	if word, bit, found := l.OneWrong(raw); found {
		t.Errorf("nothing is wrong, and word %d bit %d is named", word, bit)
	}
}

// flip turns one bit of a block of bytes.
func flip(raw []memory.Word, bit int) { raw[bit/8] ^= 1 << (bit % 8) }

// locates wants every step-th bit of a block to be named when it alone is wrong.
func locates(t *testing.T, l *tape.Layout, raw []memory.Word, step int) {
	t.Helper()
	width := l.Width()
	if testing.Short() {
		step *= 37
	}
	for i := 0; i < len(raw)*width; i += step {
		w, b := i/width, i%width
		raw[w] ^= 1 << b
		if word, bit, found := l.OneWrong(raw); !found || word != w || bit != b {
			t.Fatalf("bit %d of word %d is wrong; named are word %d, bit %d, %v", b, w, word, bit, found)
		}
		raw[w] ^= 1 << b
	}
}

// A wrong bit is named in any layout of bits, wherever the code stands. Bits beside the code in its own words are no part of
// it, and none is named for them.
func TestOneWrongElsewhere(t *testing.T) {
	const bytewise = "word 8 bits\nbytes 1 of 8 bits make 1 word high first\ndata 40 words\n"
	tests := []struct {
		name, records string
		beside        memory.Word // bits of the code's words that are not the code's
	}{
		{"reflected, low byte first", bytewise + "check 16 bits 1021 start FFFF in reflected out reflected final FFFF 2 words low first over data", 0},
		{"code before the data", "check 16 bits 8005 start 0000 in straight out straight final 0000 over number data\nfield number\n" + bytewise, 0},
		{"sixes, turned and inverted", "word 18 bits\nbytes 3 of 6 bits make 1 word low first\nbits reversed\nsense inverted\ndata 40 words\n" +
			"check 16 bits 8005 start 0000 in reflected out reflected final 0000 over data", 0o600000},
		{"two words in three bytes", "bytes 3 of 8 bits make 2 words low first\ndata 40 words\n" +
			"check 24 bits 864CFB start B704CE in reflected out straight final 000000 over data", 0},
		{"odd number of terms", bytewise + "check 32 bits 04C11DB7 start FFFFFFFF in reflected out reflected final FFFFFFFF over data", 0},
		{"parity beside", "word 18 bits\nbytes 3 of 6 bits make 1 word high first\nstore bits 16-9 7-0\nparity odd over 17-9\nparity odd over 8-0\n" +
			"data 40 words\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over data", 0o400400},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			src, err := l.Append(nil, 5, 0, random(40, 4))
			if err != nil {
				t.Fatal(err)
			}
			raw := l.FromBits(l.Bits(unpacked(t, l, src)))
			for w := range raw {
				for b := range l.Width() {
					raw[w] ^= 1 << b
					word, bit, found := l.OneWrong(raw)
					if w >= 40 && tt.beside>>b&1 != 0 {
						if found {
							t.Errorf("bit %d of word %d is wrong, beside the code; named are word %d, bit %d", b, w, word, bit)
						}
					} else if !found || word != w || bit != b {
						t.Fatalf("bit %d of word %d is wrong; named are word %d, bit %d, %v", b, w, word, bit, found)
					}
					raw[w] ^= 1 << b
				}
			}
		})
	}
}

// unpacked gives the raw words of the one good block of a recording.
func unpacked(t *testing.T, l *tape.Layout, src []byte) []memory.Word {
	t.Helper()
	rec, err := tape.Read(l, "x", bytes.NewReader(src))
	if err != nil || rec.Err() != nil || rec.Len() != 1 {
		t.Fatal(err, rec.Err())
	}
	return rec.Blocks[0].Raw
}

// Three wrong bits can look like one other; where a sum or a parity says that it is not that one, none is named.
func TestOneWrongIsContradicted(t *testing.T) {
	// The polynomial itself has four terms, so that a block stays right with four bits turned; with three of them turned,
	// the code names the fourth.
	for _, tt := range []struct {
		records string
		named   bool
	}{
		{"", true},
		{"sum add over data\n", false},
		{"sum exclusive-or over bytes of data\n", false},
	} {
		l := bytewise(t, 20, tt.records+"check 16 bits 8005 start 0000 in straight out straight final 0000 over data")
		src, err := l.Append(nil, 0, 0, random(20, 8))
		if err != nil {
			t.Fatal(err)
		}
		raw := unpacked(t, l, src)
		raw[10] ^= 1 // x to the power of 16, of the polynomial times a power of x
		raw[11] ^= 0x80
		raw[12] ^= 1 << 2
		if word, bit, found := l.OneWrong(raw); found != tt.named || found && (word != 12 || bit != 0) {
			t.Errorf("%q: named are word %d, bit %d, %v; want word 12, bit 0: %v", tt.records, word, bit, found, tt.named)
		}
	}
}

// A code of distance below four names nothing: with 07 over more than 127 bits in all, two wrong bits can look like one.
func TestOneWrongRefuses(t *testing.T) {
	for _, words := range []int{10, 14, 15, 16, 40} {
		l := bytewise(t, words, "check 8 bits 07 start 00 in straight out straight final 00 over data")
		raw := sealed(t, l, random(words, 5))
		raw[3] ^= 4
		_, _, found := l.OneWrong(raw)
		if want := (words+1)*8 <= 127; found != want {
			t.Errorf("%d words: named %v, want %v", words, found, want)
		}
	}
	l := bytewise(t, 40, "sum add over data")
	if _, _, found := l.OneWrong(make([]memory.Word, 41)); found {
		t.Error("a layout without a check code names a bit")
	}
}

// A polynomial with an odd number of terms keeps codes four bits apart only up to some length, which differs from one to
// the other; beyond, two wrong bits can look like one. The length is found here by trying all pairs of powers of x.
func TestOneWrongOddTerms(t *testing.T) {
	for _, tt := range []struct {
		poly   uint64
		record string
	}{
		{0x11D, "check 8 bits 1D start 00 in straight out straight final 00 over data"},
		{0x1864CFB, "check 24 bits 864CFB start 000000 in straight out straight final 000000 over data"},
	} {
		bits := bits.Len64(tt.poly) - 1
		for _, words := range []int{1, 2, 3, 4, 8, 20} {
			length := words*8 + bits
			powers := map[uint64]bool{}
			x := uint64(1)
			for range length {
				powers[x] = true
				if x <<= 1; x>>bits != 0 {
					x ^= tt.poly
				}
			}
			apart := len(powers) == length
			for p := range powers {
				apart = apart && !powers[p^1]
			}
			l := bytewise(t, words, tt.record)
			raw := sealed(t, l, random(words, 5))
			raw[0] ^= 4
			if _, _, found := l.OneWrong(raw); found != apart {
				t.Errorf("%X, %d bits: named %v, want %v", tt.poly, length, found, apart)
			}
		}
	}
}

// A burst is wrong from its first to its last bit, and anything in between. All of up to 16 bits are caught; of the 32,768
// of 17 bits one is missed, which is the polynomial itself; of the 65,536 of 18 bits one again: recomputed, not read in a
// source.
func TestBursts(t *testing.T) {
	for _, poly := range []string{"8005", "1021"} {
		l := bytewise(t, 20, parameters{poly: poly, start: "0000", final: "0000"}.record())
		good := sealed(t, l, random(20, 6))
		longestBurst := 18
		if testing.Short() {
			longestBurst = 12
		}
		for length := 1; length <= longestBurst; length++ {
			missed := 0
			for inside := range 1 << max(0, length-2) {
				raw := burst(good, 29, length, inside)
				if l.Prove(raw).Check == tape.Right {
					missed++
				}
			}
			if want := max(0, min(1, length-16)); missed != want {
				t.Errorf("%s: %d bursts of %d bits missed, want %d", poly, missed, length, want)
			}
		}
	}
}

// burst gives a copy of raw with a burst of so many bits from bit at on; inside are those between the first and the last.
func burst(raw []memory.Word, at, length, inside int) []memory.Word {
	wrong := slices.Clone(raw)
	pattern := 1 | inside<<1 | 1<<(length-1)
	for i := range length {
		if pattern>>i&1 != 0 {
			wrong[(at+i)/8] ^= 0x80 >> ((at + i) % 8)
		}
	}
	return wrong
}
