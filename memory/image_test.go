package memory

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"testing"
)

func TestImage(t *testing.T) {
	for _, g := range []Geometry{halves(), packed()} {
		im := NewImage(g)
		top := g.Areas[len(g.Areas)-1]
		from := Origin{Kind: Tape, File: "a.tape", Block: 3, Word: 7}
		// Put in out of order, one of them twice, and one recovered zero.
		for i, a := range []Addr{top.Last, 0o10000, 0, 0o7777, top.First, 0o10000} {
			if err := im.Set(a, Word(i), from); err != nil {
				t.Fatal(err)
			}
		}
		want := []Addr{0, 0o7777, 0o10000, top.First, top.Last}
		var got []Addr
		for a, e := range im.All() {
			got = append(got, a)
			if w, origin, ok := im.At(a); w != e.Word || origin != from || !ok {
				t.Errorf("At(%#o) = %#o, %v, %t; All gives %#o", a, w, origin, ok, e.Word)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) || im.Len() != len(want) {
			t.Errorf("All gives %d (Len %d), want %d", got, im.Len(), want)
		}
		if w, _, _ := im.At(0o10000); w != 5 {
			t.Errorf("At(10000) = %#o, want the later word 5", w)
		}
		for range im.All() {
			break // must stop quietly
		}
	}
}

func TestImageAtNothing(t *testing.T) {
	im := NewImage(halves())
	for _, a := range []Addr{0, 0o20000, 0o77777, 1 << 63} {
		if w, origin, ok := im.At(a); w != 0 || origin != (Origin{}) || ok {
			t.Errorf("At(%#o) of an empty image = %#o, %v, %t", a, w, origin, ok)
		}
	}
}

func TestImageRefuses(t *testing.T) {
	im := NewImage(halves())
	tests := []struct {
		name string
		a    Addr
		w    Word
		want string
	}{
		{"gap", 0o20000, 0, "nothing answers at 20000: the next store, WS1, begins at 77400"},
		{"too wide", 5, 1 << 18, "1000000 at 00005 is too wide: words of ST0 have 18 bits, at most 777777"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := sentence(im.Set(tt.a, tt.w, Origin{})); got != tt.want {
				t.Errorf("Set(%#o, %#o): %q, want %q", tt.a, tt.w, got, tt.want)
			}
		})
	}
	if im.Len() != 0 {
		t.Errorf("refused words were kept: Len() = %d", im.Len())
	}
}

// TestImageDigest writes the stated bytes by hand and digests them with the standard library; the empty image has the
// SHA-256 of no bytes as FIPS 180-4's companion vectors give it.
func TestImageDigest(t *testing.T) {
	im := NewImage(halves())
	empty := im.Digest()
	if got, want := hex.EncodeToString(empty[:]), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"; got != want {
		t.Errorf("Digest of no words = %s, want %s", got, want)
	}
	for _, a := range []Addr{0o77400, 1} {
		if err := im.Set(a, 0o123456, Origin{Block: int(a)}); err != nil {
			t.Fatal(err)
		}
	}
	stated := "0000000000000001" + "000000000000a72e" + "0000000000007f00" + "000000000000a72e"
	raw, err := hex.DecodeString(stated)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := im.Digest(), sha256.Sum256(raw); got != want {
		t.Errorf("Digest = %x, want %x, of %s", got, want, stated)
	}
}

func ExampleImage() {
	im := NewImage(Geometry{Style: Style{Radix: 8}, Width: 18, AddrBits: 15,
		Areas: []Area{{Name: "ST0", Last: 0o7777, Width: 18}}})
	for _, a := range []Addr{0o1001, 0o1000, 0o10000} {
		if err := im.Set(a, 0o525252, Origin{Kind: Tape, Block: 0, Word: int(a - 0o1000)}); err != nil {
			fmt.Println(err)
		}
	}
	for a, e := range im.All() {
		fmt.Printf("%05o %06o from word %o of block %03o\n", a, e.Word, e.Origin.Word, e.Origin.Block)
	}
	// Output:
	// nothing answers at 10000: the last store, ST0, ends at 07777
	// 01000 525252 from word 0 of block 000
	// 01001 525252 from word 1 of block 000
}
