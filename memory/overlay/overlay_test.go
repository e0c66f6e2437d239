package overlay_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"coldstart/memory"
	"coldstart/memory/overlay"
)

// bench is a store of three plug-ins of 256 words of 18 bits with parity over each half, and one of wired words without.
func bench() memory.Geometry {
	g := memory.Geometry{Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 12}
	var chips []memory.Chip
	for c := range 20 {
		chips = append(chips, memory.Chip{Name: fmt.Sprintf("U%02d", c+1), Column: c})
	}
	parity := []memory.Parity{{Name: "right", Odd: true, Hi: 8, Lo: 0}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}
	for i := range 3 {
		first := memory.Addr(256 * i)
		g.Areas = append(g.Areas, memory.Area{Name: fmt.Sprintf("ST%d", i), First: first, Last: first + 255, Width: 18, Parity: parity, Chips: chips})
	}
	g.Areas = append(g.Areas, memory.Area{Name: "WS1", First: 0x800, Last: 0x80F, Width: 18, Wired: true})
	return g
}

// benchParts are what stands in it: working store, program, data, and some that no list names.
var benchParts = []overlay.Part{
	{Kind: "program", Name: "main", Rule: overlay.Fixed, First: 0x020, Last: 0x27F},
	{Kind: "working", Rule: overlay.Free, First: 0x000, Last: 0x01F},
	{Kind: "data", Rule: overlay.Judged, First: 0x280, Last: 0x2DF},
}

// benchTape is words for all of it but working store and the last 16 words.
func benchTape(t *testing.T, g memory.Geometry, seed uint64) *memory.Image {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 1))
	im := memory.NewImage(g)
	for a := memory.Addr(0x20); a < 0x810; a++ {
		if a < 0x2F0 || a >= 0x800 {
			set(t, im, a, memory.Word(r.Uint64())&memory.Mask(18))
		}
	}
	return im
}

// set puts a word in an image.
func set(t *testing.T, im *memory.Image, a memory.Addr, w memory.Word) {
	t.Helper()
	if err := im.Set(a, w, memory.Origin{Kind: memory.Tape, Block: int(a / 256), Word: int(a % 256)}); err != nil {
		t.Fatal(err)
	}
}

// stopped is the dump of a store into which the tape was loaded, in which working store was written, and that has these jams.
func stopped(t *testing.T, g memory.Geometry, tape *memory.Image, jams ...memory.Jam) *overlay.Dump {
	t.Helper()
	s := memory.NewStore(g, 7)
	if err := s.Load(tape); err != nil {
		t.Fatal(err)
	}
	for a := memory.Addr(0); a < 0x20; a++ {
		s.Write(a, memory.Word(a)*0o1234567)
	}
	for _, j := range jams {
		if err := s.Jam(j.Addr, j.Column, j.Value); err != nil {
			t.Fatal(err)
		}
	}
	return overlay.Of(g, s)
}

// turn makes a dump of another by what becomes of each word, and where it goes; ok false loses it.
func turn(t *testing.T, g memory.Geometry, d *overlay.Dump, f func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool)) *overlay.Dump {
	t.Helper()
	out := &overlay.Dump{Words: memory.NewImage(g)}
	for a, e := range d.Words.All() {
		if to, w, ok := f(a, e.Word); ok && g.Area(to) != nil {
			set(t, out.Words, to, w)
		}
	}
	return out
}

func TestSoundDumpShowsNothing(t *testing.T) {
	g := bench()
	tape := benchTape(t, g, 1)
	o := overlay.Lay(g, tape, stopped(t, g, tape), benchParts)
	if len(o.Differences)+len(o.Groups)+len(o.Suspicions) != 0 {
		t.Errorf("a sound dump gives %d differences, %d groups, %v", len(o.Differences), len(o.Groups), o.Suspicions)
	}
	want := []overlay.Tally{
		{Kind: "program", Rule: overlay.Fixed, Words: 608, OnTape: 608, Compared: 608},
		{Kind: "wired", Rule: overlay.Fixed, Words: 16, OnTape: 16, Compared: 16},
		{Kind: "data", Rule: overlay.Judged, Words: 96, OnTape: 96, Compared: 96},
		{Kind: "not listed", Rule: overlay.Unlisted, Words: 16, OnTape: 16, Compared: 16},
		{Kind: "working", Rule: overlay.Free, Words: 32},
		{Kind: "unused", Rule: overlay.Free, Words: 16},
	}
	if !slices.Equal(o.Tallies, want) {
		t.Errorf("tallies are\n%v, want\n%v", o.Tallies, want)
	}
	if o.ParityRead != 768 || o.ParityRight != 768 {
		t.Errorf("parity right in %d of %d, want 768 of 768", o.ParityRight, o.ParityRead)
	}
}

// TestCountsAreThoseOfASimpleLoop puts random cells in jam, and counts all that is told again word by word, from the dump and
// the tape alone.
func TestCountsAreThoseOfASimpleLoop(t *testing.T) {
	g := bench()
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 2))
		tape := benchTape(t, g, seed)
		var jams []memory.Jam
		for range 1 + r.IntN(40) {
			j := memory.Jam{Addr: memory.Addr(r.IntN(768)), Column: r.IntN(20), Value: r.IntN(2)}
			if !slices.ContainsFunc(jams, func(k memory.Jam) bool { return k.Addr == j.Addr && k.Column == j.Column }) {
				jams = append(jams, j)
			}
		}
		d := stopped(t, g, tape, jams...)
		o := overlay.Lay(g, tape, d, benchParts)
		for i := range o.Groups {
			recount(t, &g, tape, d, &o.Groups[i])
		}
		told := 0
		for _, gr := range o.Groups {
			told += len(gr.Addrs)
		}
		if want := flipped(tape, d); told != want {
			t.Errorf("seed %d: %d bits are told of, a loop over the words counts %d", seed, told, want)
		}
	}
}

// bit is a column of a word with its parity columns.
func bit(w, columns memory.Word, column int) memory.Word {
	if column < 18 {
		return w >> column & 1
	}
	return columns >> (column - 18) & 1
}

// oddParity is the two columns of a word, made by counting.
func oddParity(w memory.Word) (columns memory.Word) {
	for i := range 2 {
		n := 0
		for c := 9 * i; c < 9*i+9; c++ {
			n += int(w >> c & 1)
		}
		if n%2 == 0 {
			columns |= 1 << i
		}
	}
	return columns
}

// recount counts one group again.
func recount(t *testing.T, g *memory.Geometry, tape *memory.Image, d *overlay.Dump, gr *overlay.Group) {
	t.Helper()
	var addrs []memory.Addr
	of, with, elsewhere, elsewhereOf := 0, 0, 0, 0
	for a := memory.Addr(0); a < 0x810; a++ {
		want, _, on := tape.At(a)
		program := a >= 0x20 && a <= 0x27F || a >= 0x800
		if !on || !program {
			continue
		}
		if gr.Column >= 18 {
			if a >= 0x800 {
				continue // wired store has no parity
			}
			if have, _, _ := d.Words.At(a); have != want {
				continue // its parity says nothing of the parity cells
			}
		}
		have, _, _ := d.Words.At(a)
		if int(bit(want, oddParity(want), gr.Column)) != gr.From {
			continue
		}
		differs := bit(want, oddParity(want), gr.Column) != bit(have, d.Columns[a], gr.Column)
		if a >= gr.Area.First && a <= gr.Area.Last {
			of++
			if a&gr.Bits == gr.Value {
				with++
			}
			if differs {
				addrs = append(addrs, a)
			}
		} else {
			elsewhereOf++
			if differs {
				elsewhere++
			}
		}
	}
	if of != gr.Of || with != gr.With || elsewhere != gr.Elsewhere || elsewhereOf != gr.ElsewhereOf || !slices.Equal(addrs, gr.Addrs) {
		t.Errorf("%s column %d from %d: told %v of %d, with the address bits %d, elsewhere %d of %d; a loop counts %v of %d, %d, %d of %d",
			gr.Area.Name, gr.Column, gr.From, gr.Addrs, gr.Of, gr.With, gr.Elsewhere, gr.ElsewhereOf, addrs, of, with, elsewhere, elsewhereOf)
	}
}

// flipped counts the bits of program that are not as on the tape, and parity bits of words that are.
func flipped(tape *memory.Image, d *overlay.Dump) (n int) {
	for a := memory.Addr(0x20); a <= 0x27F; a++ {
		want, _, _ := tape.At(a)
		have, _, _ := d.Words.At(a)
		for c := range 20 {
			if (c < 18 || want == have) && bit(want, oddParity(want), c) != bit(have, d.Columns[a], c) {
				n++
			}
		}
	}
	return n
}

func TestGroupsAreNamed(t *testing.T) {
	g := bench()
	tape := benchTape(t, g, 3)
	// stuck makes a jam of every word of a range, the same column and value.
	stuck := func(first, last memory.Addr, column, value int) (all []memory.Jam) {
		for a := first; a <= last; a++ {
			all = append(all, memory.Jam{Addr: a, Column: column, Value: value})
		}
		return all
	}
	word, _, _ := tape.At(0x147)
	one := memory.Jam{Addr: 0x147, Column: 7, Value: int(1 - word>>7&1)}
	for _, tt := range []struct {
		name, place, means, parity string
		jams                       []memory.Jam
	}{
		{"a cell", "ST1 U08 (bit 7)", "one cell, not the chip or the line", "fit the tape word", []memory.Jam{one}},
		{"a chip", "ST1 U08 (bit 7)", "U08 or its socket, not a cell or the line", "fit the tape word", stuck(0x100, 0x1FF, 7, 1)},
		{"a parity cell", "ST0 U19 (right parity)", "one cell, not the chip or the line", "parity cell", func() []memory.Jam {
			w, _, _ := tape.At(0x33)
			return []memory.Jam{{Addr: 0x33, Column: 18, Value: 1 - int(oddParity(w)&1)}}
		}()},
		{"two cells of a half", "ST0 U01 (bit 0)", "one word whose parity is right: it was stored so, if it is not two cells", "an even number of cells", func() []memory.Jam {
			w, _, _ := tape.At(0x33)
			return []memory.Jam{{Addr: 0x33, Column: 0, Value: 1 - int(w&1)}, {Addr: 0x33, Column: 1, Value: 1 - int(w>>1&1)}}
		}()},
		{"a row of cells", "ST1 U04 (bit 3)", "cells, not the whole chip or the line", "fit the tape word", stuck(0x130, 0x13F, 3, 1)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o := overlay.Lay(g, tape, stopped(t, g, tape, tt.jams...), benchParts)
			if len(o.Groups) == 0 || len(o.Suspicions) > 0 {
				t.Fatalf("groups %v, suspicions %v", o.Groups, o.Suspicions)
			}
			gr := &o.Groups[0]
			if o.Place(gr) != tt.place || !strings.Contains(o.Means(gr), tt.means) {
				t.Errorf("%s: %s, want %s: %s", o.Place(gr), o.Means(gr), tt.place, tt.means)
			}
			if said := o.Differences[0].Says(); !strings.Contains(said, tt.parity) {
				t.Errorf("parity says %q, want %q in it", said, tt.parity)
			}
		})
	}
	o := overlay.Lay(g, tape, stopped(t, g, tape, stuck(0x130, 0x13F, 3, 1)...), benchParts)
	if said := o.Address(&o.Groups[0]); !strings.Contains(said, "address bits 7 = 0, 6 = 0, 5 = 1, 4 = 1; of ") || !strings.HasSuffix(said, ", 0 are right") {
		t.Errorf("address bits: %s", said)
	}
}
