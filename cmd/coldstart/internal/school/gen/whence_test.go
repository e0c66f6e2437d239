package main

import (
	"testing"

	"coldstart/cpu"
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// A log is every write of a run, the last one of each word.
type log struct {
	record *trail.Record
	last   map[memory.Addr]trail.Write
}

// Observe takes note of an order.
func (l *log) Observe(s *cpu.Step) {
	l.record.Observe(s)
	for _, w := range s.Writes {
		if w.Status&(memory.Protected|memory.NoReply) == 0 {
			l.last[w.Addr] = trail.Write{Number: s.Number, At: s.At, Place: s.Place, Word: w.Word}
		}
	}
}

// TestWhenceAgreesWithEveryWrite holds what the record says of each word of store against a log of every write, over the whole
// bring-up.
func TestWhenceAgreesWithEveryWrite(t *testing.T) {
	h := power(t, nil)
	office, err := bringup.Open(readOffice, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	l := &log{trail.New(h.Machine.Code(), office.Wired), map[memory.Addr]trail.Write{}}
	h.Machine.Observe(l)
	run(h, 6400*cpu.Millisecond)
	written := 0
	for _, area := range h.Machine.Code().Geometry.Areas {
		for a := area.First; a <= area.Last; a++ {
			got := l.record.Whence(a)
			want := l.last[a]
			if got.Number != want.Number || want.Number > 0 && (got.At != want.At || got.Place != want.Place || got.Word != want.Word) {
				t.Fatalf("%05o: told is %+v, the log has %+v", a, got, want)
			}
			if want.Number > 0 {
				written++
			}
		}
	}
	if written < 11_000 {
		t.Errorf("%d words were written; the tape alone has 11264", written)
	}
}
