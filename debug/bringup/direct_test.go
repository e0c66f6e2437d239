package bringup_test

import (
	"bytes"
	"testing"

	"coldstart/cpu"
	"coldstart/debug/bringup"
	"coldstart/memory"
)

// A drive puts a block into store past the program, and takes two cycles for each of its eight words; the record knows that no
// order wrote them, and which words of the tape they are.
func TestTapeDirectToStore(t *testing.T) {
	k := newKiln(t, "load to\nsend TC1\nload five\ncommand TC1\nw: test TC1, ready\njump-zero w\nreceive TC1\nstore 50\nhalt\nto: words 20\nfive: words 5\n", "")
	k["kiln.machine"] = bytes.ReplaceAll(k["kiln.machine"], []byte("code 1, 12 bits"), []byte("code 1, 12 bits, steals 2 cycles"))
	k["office.list"] = bytes.ReplaceAll(k["office.list"], []byte(" rewind 10 ms\n"), []byte(" rewind 10 ms command direct 5\n"))
	k.seat(t, firstBlock, secondBlock)
	r := run(t, k.open(t), bringup.Start{})
	if r.Ending != bringup.Halted {
		t.Fatalf("%v at %o: %v", r.Ending, r.Place, r.Stop)
	}
	for i, want := range firstBlock { // behind mark, number and address
		a := memory.Addr(0o23 + i)
		w := r.Record.Whence(a)
		origin := memory.Origin{Kind: memory.Tape, File: "t.tape", Block: 0, Word: i}
		if got := r.Half.Seen(a); got != want || !w.Stolen || w.Channel != 1 || w.Origin != origin {
			t.Errorf("store %o holds %o, %+v; want %o, put there from %+v", a, got, w, want, origin)
		}
	}
	if got := r.Half.Seen(0o50); got != 8 {
		t.Errorf("the drive says it passed %d words, want 8", got)
	}
	if got, want := r.At, cpu.Time(r.Orders+2*8)*cpu.Microsecond; got != want {
		t.Errorf("%d orders took %v, want %v with what was stolen", r.Orders, got, want)
	}
	if w := r.Record.Whence(0o50); w.Stolen {
		t.Errorf("what an order wrote is told of as put there: %+v", w)
	}
}
