package loader_test

import (
	"bytes"
	"errors"
	"testing"

	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// What is placed, and what a drive gives, is what goes to store of recorded words, without their parity; a block with a
// word of wrong parity is not placed.
func TestPlaceStoreBits(t *testing.T) {
	l, err := tape.ReadLayout("x.layout", []byte("layout x\nnumbers octal\nword 10 bits\nbytes 2 of 5 bits make 1 word high first\n"+
		"store bits 8-5 3-0\nparity odd over 9-5\nparity odd over 4-0\nfield number\nfield address\ndata 2 words"))
	if err != nil {
		t.Fatal(err)
	}
	src, err := l.Append(nil, 0, 0o10, []memory.Word{0o252, 0o377})
	if err != nil {
		t.Fatal(err)
	}
	good := len(src)
	if src, err = l.Append(src, 1, 0o20, []memory.Word{1, 2}); err != nil {
		t.Fatal(err)
	}
	src[good+4] ^= 0x10 // the left parity of its first word
	rec, err := tape.Read(l, "x.tape", bytes.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	g := memory.Geometry{Width: 8, AddrBits: 6, Areas: []memory.Area{{Name: "S", First: 0, Last: 0o77, Width: 8}}}
	im, m := loader.Place(rec.Blocks, g)
	for a, want := range map[memory.Addr]memory.Word{0o10: 0o252, 0o11: 0o377} {
		if w, from, _ := im.At(a); w != want || from.Word != int(a-0o10) {
			t.Errorf("%o holds %o from word %d, want %o", a, w, from.Word, want)
		}
	}
	if _, _, set := im.At(0o20); set || !errors.Is(m.Loads[1].Err, tape.ErrParity) {
		t.Errorf("the block of wrong parity: %v, want %v", m.Loads[1].Err, tape.ErrParity)
	}
	if got := rec.Words(0); got[1] != 0o10 || got[2] != 0o252 {
		t.Errorf("a drive gives %o, want the bits that go to store", got)
	}
}
