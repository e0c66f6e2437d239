package bringup_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// A spoiled bus shows one data bit of one word at a value, and the parity that no longer fits. The store behind it is whole
// and knows of no jam.
type spoiled struct {
	memory.Bus
	addr memory.Addr
	one  memory.Word
	bit  memory.Word // the same, or 0 for a bit held at zero
	area *memory.Area
}

func (s *spoiled) Read(a memory.Addr) (memory.Word, memory.Status) {
	w, st := s.Bus.Read(a)
	if a != s.addr {
		return w, st
	}
	seen := w&^s.one | s.bit
	if s.area.ParityBits(a, seen) != s.area.ParityBits(a, w) {
		st |= memory.ParityWrong
	}
	return seen, st
}

// A report never sees a jam: it says the same, all but where it was told, when the same fault is put between a whole store
// and the machine, where nothing above the machine can find it. Parity cells are left out, and lamp rows: those a report
// looks at as a person would, after the stop or through the lamps.
func TestReportsNeverSeeJams(t *testing.T) {
	o := training(t)
	limits := bringup.Limits{Orders: 450_000} // into the loading of the resident program
	clean := run(t, o, bringup.Start{Fill: 1, Limits: limits})
	rng := rand.New(rand.NewPCG(20, 1))
	var endings [20]bringup.Ending
	t.Cleanup(func() {
		if slices.Min(endings[:]) == slices.Max(endings[:]) {
			t.Errorf("all ended alike, %v: that shows little", endings[0])
		}
	})
	for i := range endings {
		a := memory.Addr(rng.IntN(0o32000))
		for clean.Record.Use(a)&(trail.Run|trail.Read) == 0 || a >= 0o760 && a < 0o764 {
			a = memory.Addr(rng.IntN(0o32000))
		}
		area := o.Code.Geometry.Area(a)
		bit := rng.IntN(area.Width)
		value := int(^clean.Half.Seen(a) >> bit & 1) // so that it matters
		t.Run(fmt.Sprintf("%06o bit %d = %d", a, bit, value), func(t *testing.T) {
			t.Parallel()
			known := run(t, o, bringup.Start{Fill: 1, Limits: limits, Prepare: func(h *duplex.Half) error { return h.Store.Jam(a, bit, value) }})
			hidden := run(t, o, bringup.Start{Fill: 1, Limits: limits, Prepare: func(h *duplex.Half) error {
				bus := &spoiled{Bus: h.Store, addr: a, one: 1 << bit, bit: memory.Word(value) << bit, area: area}
				h.Machine = cpu.New(o.Code, bus, h.Rack, 1)
				return nil
			}})
			if diff := cmp.Diff(sheet(o.Code, known), sheet(o.Code, hidden)); diff != "" {
				t.Errorf("(-jammed +hidden)\n%s", diff)
			}
			endings[i] = known.Ending
		})
	}
}

// sheet is all that a report says.
func sheet(code *order.Code, r *bringup.Report) map[string]string {
	s := map[string]string{"lamps": r.Half.Lamps(), "agreed": r.Agreed}
	for name, v := range map[string]any{
		"verdict": r.Verdict, "ending": r.Ending, "at": r.At, "orders": r.Orders, "place": r.Place, "stop": r.Stop, "last": r.Last,
		"unwritten": r.Unwritten, "misread": r.Misread, "tape": r.Tape, "look at": r.LookAt, "to settle": r.ToSettle, "lines": r.Lines,
	} {
		s[name] = fmt.Sprintf("%q", v)
	}
	for _, m := range r.Milestones {
		s["milestones"] += fmt.Sprintln(m.Name, m.At, m.Number, m.Evidence, r.Shown(m))
	}
	for _, m := range r.Missing {
		s["missing"] += m.Name + " "
	}
	for _, g := range r.Sightings {
		s["sightings"] += fmt.Sprintln(g.Verdict, g.Text, g.Cause, g.Look, g.Laps, g.Dwell, g.Evidence)
	}
	for _, reg := range code.Registers {
		s["registers"] += fmt.Sprintln(reg.Name, r.Half.Machine.Value(reg))
	}
	return s
}
