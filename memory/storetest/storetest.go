// Package storetest is the suite that every memory.Bus must pass: words come back as written, nothing else changes, what
// cannot be written refuses, and no address or word whatever makes it fail.
package storetest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"coldstart/memory"
)

// Run runs the suite. Fresh gives a new Bus of the geometry, in which no word was ever written and nothing is jammed; it
// is called many times. Where the addresses of the geometry count units it must be a memory.Units too.
func Run(t *testing.T, fresh func(g memory.Geometry) memory.Bus) {
	for _, g := range geometries() {
		for _, r := range rules {
			if r.units && g.Unit == 0 {
				continue
			}
			t.Run(g.name+"/"+r.name, func(t *testing.T) {
				if err := r.holds(g.Geometry, fresh(g.Geometry)); err != nil {
					t.Error(err)
				}
			})
		}
	}
}

// A rule is one thing that holds for every Bus; holds says where it does not.
type rule struct {
	name  string
	units bool // it is of geometries whose addresses count units
	holds func(g memory.Geometry, bus memory.Bus) error
}

var rules = []rule{
	{"words come back", false, comesBack},
	{"words are cut to the width", false, cut},
	{"never written until written", false, neverWritten},
	{"reading changes nothing", false, readsAlike},
	{"wired store refuses", false, wired},
	{"nothing answers in gaps", false, gaps},
	{"random traffic", false, traffic},
	{"wrong parity shows until written anew", false, wrongShows},
	{"units lie in the order of ends", true, ends},
	{"pieces come back", true, piecesBack},
	{"pieces leave the other units alone", true, otherUnits},
	{"refused pieces change nothing", true, refusedPieces},
}

// comesBack writes every word its own value before it reads any, so that two addresses sharing a word would show.
func comesBack(g memory.Geometry, bus memory.Bus) error {
	for _, turn := range []memory.Word{0, math.MaxUint64} {
		for a, area := range writable(g) {
			if st := bus.Write(a, turn^own(a)&memory.Mask(area.Width)); st != 0 {
				return fmt.Errorf("write at %#x: status %q, want none", a, st)
			}
		}
		for a, area := range writable(g) {
			want := (turn ^ own(a)) & memory.Mask(area.Width)
			if err := expect(bus, a, want, 0); err != nil {
				return err
			}
		}
	}
	return nil
}

// cut writes ones beyond the width of the area: they are lost, the word has right parity, and nobody complains.
func cut(g memory.Geometry, bus memory.Bus) error {
	for a, area := range writable(g) {
		if st := bus.Write(a, math.MaxUint64); st != 0 {
			return fmt.Errorf("write of 64 ones at %#x: status %q, want none", a, st)
		}
		if err := expect(bus, a, memory.Mask(area.Width), 0); err != nil {
			return err
		}
	}
	return nil
}

// neverWritten holds that a fresh word says so, reads the same each time within its width, and says so no more once written,
// even with what it read as.
func neverWritten(g memory.Geometry, bus memory.Bus) error {
	for i := range g.Areas {
		area := &g.Areas[i]
		for _, a := range []memory.Addr{area.First, area.Last - memory.Addr(g.Step()) + 1} {
			w, st := bus.Read(a)
			if st != memory.NeverWritten || w&^memory.Mask(area.Width) != 0 {
				return fmt.Errorf("fresh word at %#x: %#x, status %q; want %d bits, %q", a, w, st, area.Width, memory.NeverWritten)
			}
			if area.Wired {
				continue
			}
			bus.Write(a, w)
			if err := expect(bus, a, w, 0); err != nil {
				return err
			}
		}
	}
	return nil
}

// readsAlike reads every word, and all of them once more.
func readsAlike(g memory.Geometry, bus memory.Bus) error {
	first := map[memory.Addr]memory.Word{}
	for a := range all(g) {
		first[a], _ = bus.Read(a)
	}
	for a := range all(g) {
		if err := expect(bus, a, first[a], memory.NeverWritten); err != nil {
			return err
		}
	}
	return nil
}

// wrongShows writes words with every parity column wrong, and with each alone, and then right. The word itself comes as it
// was written; where no column has the name given, and where there is none at all, nothing is wrong.
func wrongShows(g memory.Geometry, bus memory.Bus) error {
	for a, area := range writable(g) {
		w := own(a) & memory.Mask(area.Width)
		columns := []string{"", "of no store"}
		for _, p := range area.Parity {
			columns = append(columns, p.Name)
		}
		for _, column := range columns {
			want := memory.Status(0)
			if len(area.Parity) > 0 && column != "of no store" {
				want = memory.ParityWrong
			}
			for _, w := range []memory.Word{w, w ^ 1, w ^ 1} { // the same word again too
				if st := bus.WriteWrong(a, w, column); st != 0 {
					return fmt.Errorf("write of wrong parity %q at %#x: status %q, want none", column, a, st)
				}
				if err := expect(bus, a, w, want); err != nil {
					return fmt.Errorf("after a write of wrong parity %q: %w", column, err)
				}
			}
		}
		bus.Write(a, w)
		if err := expect(bus, a, w, 0); err != nil {
			return fmt.Errorf("after a write of right parity: %w", err)
		}
	}
	return nil
}

// wired holds that a write to wired store is refused and changes nothing.
func wired(g memory.Geometry, bus memory.Bus) error {
	for a, area := range all(g) {
		if !area.Wired {
			continue
		}
		before, status := bus.Read(a)
		for _, st := range []memory.Status{bus.Write(a, ^before), bus.WriteWrong(a, before, "")} {
			if st != memory.Protected {
				return fmt.Errorf("write to wired store at %#x: status %q, want %q", a, st, memory.Protected)
			}
		}
		if err := expect(bus, a, before, status); err != nil {
			return err
		}
	}
	return nil
}

// gaps holds that where nothing answers reads and writes say so, and that such a write lands nowhere.
func gaps(g memory.Geometry, bus memory.Bus) error {
	for a, area := range writable(g) {
		bus.Write(a, own(a)&memory.Mask(area.Width))
	}
	for _, a := range absent(g) {
		for _, st := range []memory.Status{bus.Write(a, math.MaxUint64), bus.WriteWrong(a, math.MaxUint64, "")} {
			if st != memory.NoReply {
				return fmt.Errorf("write where nothing answers, %#x: status %q, want %q", a, st, memory.NoReply)
			}
		}
		if err := expect(bus, a, 0, memory.NoReply); err != nil {
			return err
		}
	}
	for a, area := range writable(g) {
		if err := expect(bus, a, own(a)&memory.Mask(area.Width), 0); err != nil {
			return fmt.Errorf("after writes where nothing answers: %w", err)
		}
	}
	return nil
}

// traffic mixes reads and writes at random, a plain map beside it.
func traffic(g memory.Geometry, bus memory.Bus) error {
	r := rand.New(rand.NewPCG(1, 2))
	written := map[memory.Addr]memory.Word{}
	for range 20_000 {
		area := &g.Areas[r.IntN(len(g.Areas))]
		a := area.First + memory.Addr(r.Uint64N(uint64(area.Last-area.First)+1))
		a -= a % memory.Addr(g.Step())
		if area.Wired {
			continue
		}
		if r.IntN(2) == 0 {
			w := memory.Word(r.Uint64()) & memory.Mask(area.Width)
			bus.Write(a, w)
			written[a] = w
		}
		if w, ok := written[a]; ok {
			if err := expect(bus, a, w, 0); err != nil {
				return err
			}
		}
	}
	return nil
}

// expect reads a and says how what comes differs from what is wanted.
func expect(bus memory.Bus, a memory.Addr, want memory.Word, status memory.Status) error {
	if w, st := bus.Read(a); w != want || st != status {
		return fmt.Errorf("read at %#x: %#x, status %q; want %#x, status %q", a, w, st, want, status)
	}
	return nil
}

// own is a value of its own for every address, its bits well mixed.
func own(a memory.Addr) memory.Word { return memory.Fill(1, uint64(a), 64) }
