package bringup_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// cob opens a file of the second machine: ones complement, bit 1 at the left. The machine file lies by itself.
func cob(name string) ([]byte, error) {
	folder := "../../testdata/tapes/cob14"
	if filepath.Ext(name) == ".machine" {
		folder = "../../testdata/machines"
	}
	return os.ReadFile(filepath.Join(folder, name))
}

// A zeros counts the minus zeros that orders write into one place.
type zeros struct {
	at   memory.Addr
	seen int
}

// Observe looks at what a step writes.
func (z *zeros) Observe(s *cpu.Step) {
	for _, w := range s.Writes {
		if w.Addr == z.at && w.Word == 0o37777 {
			z.seen++
		}
	}
}

// TestConventionsComeFromTheFile brings up a machine that shares no habit with the training machine.
func TestConventionsComeFromTheFile(t *testing.T) {
	o, err := bringup.Open(cob, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	r, err := o.BringUp(context.Background(), bringup.Start{Fill: 1}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != watch.Good || r.Ending != bringup.Arrived {
		t.Errorf("verdict %v, %v; want GOOD, %v\nstop %q", r.Verdict, r.Ending, bringup.Arrived, r.Stop)
	}
	if got := r.Sightings[0].Laps; got < 3 {
		t.Errorf("%d laps of the chase, want 3", got)
	}
}

// TestCountPassesThroughMinusZero watches the place that the chase's pause counts in: in ones complement one more than
// minus one is minus zero, never plus zero, and the order that counts must take it for zero.
func TestCountPassesThroughMinusZero(t *testing.T) {
	o, err := bringup.Open(cob, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	var h *duplex.Half
	if h, err = o.Half("A", 1); err != nil {
		t.Fatal(err)
	}
	z := &zeros{at: 0o202}
	h.Machine.Observe(z)
	h.Machine.Boot()
	h.Machine.Run(cpu.Forever, 200*cpu.Millisecond)
	if z.seen < 5 {
		t.Errorf("%d minus zeros in 000202 after 200 ms, want one each 16 ms", z.seen)
	}
}

// TestConventionsTapeIsMade assembles the order text of the second machine and records it: the bytes are those kept.
func TestConventionsTapeIsMade(t *testing.T) {
	o, err := bringup.Open(cob, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	var sources []assemble.Source
	for _, name := range []string{"cob14.order", "starter.order"} {
		src, err := cob(name)
		if err != nil {
			t.Fatal(err)
		}
		sources = append(sources, assemble.Source{Name: name, Text: src})
	}
	p, err := assemble.Assemble(o.Code, sources...)
	if err != nil {
		t.Fatal(err)
	}
	src, err := cob("cob14.layout")
	if err != nil {
		t.Fatal(err)
	}
	layout, err := tape.ReadLayout("cob14.layout", src)
	if err != nil {
		t.Fatal(err)
	}
	var got []byte
	for _, b := range p.Blocks {
		var words []memory.Word
		for _, w := range p.Block(b) {
			words = append(words, w)
		}
		if got, err = layout.Append(got, b.Number, b.First, words); err != nil {
			t.Fatal(err)
		}
	}
	want, err := cob("cob14.tape")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the recording made has %d bytes, the one kept %d, and they differ", len(got), len(want))
	}
}
