package overlay_test

import (
	"math/bits"
	"strings"
	"testing"

	"coldstart/memory"
	"coldstart/memory/overlay"
)

// halved exchanges the halves of a word of 18 bits, reversed turns it end for end.
func halved(w memory.Word) memory.Word   { return w>>9 | w<<9&0o777000 }
func reversed(w memory.Word) memory.Word { return memory.Word(bits.Reverse32(uint32(w)) >> 14) }

// TestDumpPathIsSuspectedFirst turns a sound dump in every way that a dump path is known to, and wants it seen, with the count
// of what fits then, and nothing said of the store.
func TestDumpPathIsSuspectedFirst(t *testing.T) {
	type addr = memory.Addr
	type word = memory.Word
	words := func(f func(word) word) func(addr, word) (addr, word, bool) {
		return func(a addr, w word) (addr, word, bool) { return a, f(w), true }
	}
	for _, tt := range []struct {
		name, want string
		do         func(addr, word) (addr, word, bool)
	}{
		{"inverted", "all bits inverted: read so, 624 of 624 words that must not differ are as on the tape; as it is, 0.", words(func(w word) word { return ^w & 0o777777 })},
		{"halves", "halves exchanged: read so, 624 of 624", words(halved)},
		{"reversed", "bits reversed: read so, 624 of 624", words(reversed)},
		{"reversed in halves", "bits reversed in each half: read so, 624 of 624", words(func(w word) word { return halved(reversed(w)) })},
		{"both", "halves exchanged, all bits inverted: read so, 624 of 624", words(func(w word) word { return ^halved(w) & 0o777777 })},
		{"one too high", "1 address too high: read so, 622 of 623", func(a addr, w word) (addr, word, bool) { return a + 1, w, true }},
		{"three too low", "3 addresses too low: read so, 618 of 621", func(a addr, w word) (addr, word, bool) { return a - 3, w, a >= 3 && a < 0x800 || a >= 0x803 }},
		{"one lost on the way", "1 address too low from 0420 on: read so, 621 of 623", func(a addr, w word) (addr, word, bool) {
			switch {
			case a == 0o420 || a == 0x800:
				return a, w, false
			case a > 0o420:
				return a - 1, w, true
			}
			return a, w, true
		}},
		{"a bit alike everywhere", "bit 5 is 1 in all 784 words of the dump, at every address", words(func(w word) word { return w | 1<<5 })},
		{"rubbish", "only 0 of 624 words that must not differ are as on the tape, and no other way", func(a addr, w word) (addr, word, bool) { return a, (w*0o3333+word(a)*31+5)&0o777777 ^ w>>3, true }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			g := bench()
			tape := benchTape(t, g, 5)
			d := turn(t, g, stopped(t, g, tape), tt.do)
			o := overlay.Lay(g, tape, d, benchParts)
			if !o.First() {
				t.Errorf("nothing of it is first: %v", o.Suspicions)
			}
			said := ""
			for _, s := range o.Suspicions {
				said += s.Text + "\n"
				if s.As != "" {
					undone(t, g, tape, d, s.As)
				}
			}
			if !strings.Contains(said, tt.want) {
				t.Errorf("suspected is\n%swant %q", said, tt.want)
			}
		})
	}
}

// undone undoes what was done to a dump, and wants nothing of it to differ then.
func undone(t *testing.T, g memory.Geometry, tape *memory.Image, d *overlay.Dump, as string) {
	t.Helper()
	back, err := d.As(g, as)
	if err != nil {
		t.Fatal(err)
	}
	o := overlay.Lay(g, tape, back, benchParts)
	// Wired words are read another way in one of these dumps, and then do not move with the rest.
	if o.First() || len(o.Under(overlay.Fixed)) > 0 || o.Readings[0].Of < 600 {
		t.Errorf("as %s: of %d words these differ: %v", as, o.Readings[0].Of, o.Differences)
	}
}

func TestAsRefuses(t *testing.T) {
	d := &overlay.Dump{Words: memory.NewImage(bench())}
	for _, as := range []string{"", "zork", "halves exchanged, halves exchanged", "1 address", "1 address too high from 9 on", "bytes exchanged", "address bit 2 held at 0", "halves exchanged,all bits inverted"} {
		if _, err := d.As(bench(), as); err == nil {
			t.Errorf("%q is taken", as)
		}
	}
}

func TestWeakDumps(t *testing.T) {
	g := bench()
	tape := benchTape(t, g, 6)
	whole := stopped(t, g, tape)
	keep := func(f func(memory.Addr) bool) *overlay.Dump {
		d := turn(t, g, whole, func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool) { return a, w, f(a) })
		d.Columns = whole.Columns
		return d
	}
	cleared := turn(t, g, whole, func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool) {
		if a < 0x20 {
			w = 0
		}
		return a, w, true
	})
	cleared.Columns = whole.Columns
	inverse := &overlay.Dump{Words: whole.Words, Columns: map[memory.Addr]memory.Word{}}
	for a, c := range whole.Columns {
		inverse.Columns[a] = ^c & 3
	}
	// Words that nothing wrote have any parity, in a real store; that takes nothing from the parity of the others.
	powered := &overlay.Dump{Words: whole.Words, Columns: map[memory.Addr]memory.Word{}}
	for a, c := range whole.Columns {
		powered.Columns[a] = c
		if a < 0x20 || a >= 0x2F0 {
			powered.Columns[a] = ^c & 3
		}
	}
	if o := overlay.Lay(g, tape, powered, benchParts); !o.ParityUsed() || len(o.Differences)+len(o.Suspicions) > 0 || o.ParityRead-o.ParityRight != 48 {
		t.Errorf("words never written spoil it: parity used %v, %d wrong, %v", o.ParityUsed(), o.ParityRead-o.ParityRight, o.Suspicions)
	}
	dead := turn(t, g, whole, func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool) {
		if a >= 0x100 && a < 0x200 {
			w = 0
		}
		return a, w, true
	})
	dead.Columns = whole.Columns
	for _, tt := range []struct {
		name, want string
		d          *overlay.Dump
	}{
		{"short", "wrong length: the dump has 768 words of plug-ins that hold 784; not in it: 1360-1377", keep(func(a memory.Addr) bool { return a < 0x2F0 || a >= 0x800 })},
		{"holes", "not in it: 0021, 0050-0051", keep(func(a memory.Addr) bool { return a != 0o21 && a != 0o50 && a != 0o51 })},
		{"a plug-in not dumped", "no word in the dump of WS1", keep(func(a memory.Addr) bool { return a < 0x800 })},
		{"no parity", "no parity in the dump", &overlay.Dump{Words: whole.Words}},
		{"parity the other way", "parity is right in only 0 of 720 words that are as on the tape", inverse},
		{"a restart before it", "words of working store are 000000: it may have been taken after a restart attempt", cleared},
		{"a plug-in that did not answer", "ST1: all 256 words that are on the tape are 000000 in the dump: nothing of it was read", dead},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o := overlay.Lay(g, tape, tt.d, benchParts)
			if o.First() {
				t.Errorf("it forbids to say anything of the store: %v", o.Suspicions)
			}
			if len(o.Suspicions) != 1 || !strings.Contains(o.Suspicions[0].Text, tt.want) {
				t.Errorf("suspected is %v, want %q alone", o.Suspicions, tt.want)
			}
			if len(o.Groups)+len(o.Differences) != 0 {
				t.Errorf("it shows %v", o.Differences)
			}
		})
	}
}

// TestAddressLine holds an address line: what stands where it is 1 is what belongs where it is 0.
func TestAddressLine(t *testing.T) {
	g := bench()
	tape := benchTape(t, g, 8)
	whole := stopped(t, g, tape)
	d := turn(t, g, whole, func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool) {
		if a < 0x800 {
			w, _, _ = whole.Words.At(a &^ 4)
		}
		return a, w, true
	})
	o := overlay.Lay(g, tape, d, benchParts)
	if !o.First() || len(o.Suspicions) != 2 || !strings.HasPrefix(o.Suspicions[0].Text, "address bit 2 held at 0: read so, 616 of 624") {
		t.Errorf("suspected is %v", o.Suspicions)
	}
}

// TestNoListOfAreas has no area that must not differ: all on the tape is searched for how the dump was taken, and none blamed.
func TestNoListOfAreas(t *testing.T) {
	g := bench()
	tape := benchTape(t, g, 9)
	d := turn(t, g, stopped(t, g, tape), func(a memory.Addr, w memory.Word) (memory.Addr, memory.Word, bool) { return a, halved(w), true })
	o := overlay.Lay(g, tape, d, nil)
	if !o.First() || !strings.HasPrefix(o.Suspicions[0].Text, "halves exchanged: read so, 736 of 736 words that are on the tape") {
		t.Errorf("suspected is %v", o.Suspicions)
	}
}

// TestUnitsAndInverted lays dumps where addresses count units of a word, and where cells hold the complement.
func TestUnitsAndInverted(t *testing.T) {
	g := memory.Geometry{Style: memory.Style{Radix: 16}, Width: 32, AddrBits: 16, Unit: 8, LowFirst: true, Areas: []memory.Area{
		{Name: "RAM", First: 0x100, Last: 0x1FF, Width: 32, Inverted: true, Parity: []memory.Parity{{Odd: false, Hi: 31, Lo: 0}}}}}
	tape := memory.NewImage(g)
	for a := memory.Addr(0x100); a < 0x200; a += 4 {
		set(t, tape, a, memory.Word(a)*0x01234567&0xFFFFFFFF)
	}
	s := memory.NewStore(g, 1)
	if err := s.Load(tape); err != nil {
		t.Fatal(err)
	}
	w, _, _ := tape.At(0x120)
	// The cell holds what is read, the other way round.
	if err := s.Jam(0x120, 31, int(w>>31&1)); err != nil {
		t.Fatal(err)
	}
	o := overlay.Lay(g, tape, overlay.Of(g, s), []overlay.Part{{Kind: "program", Rule: overlay.Fixed, First: 0x100, Last: 0x1FF}})
	if len(o.Differences) != 1 || o.Differences[0].Addr != 0x120 || o.Differences[0].Bits != 1<<31 || o.Differences[0].Parity != overlay.FitsTape {
		t.Errorf("differences are %+v", o.Differences)
	}
	if o.StoreWords != 64 || o.Words != 64 {
		t.Errorf("%d words of %d, want 64 of 64", o.Words, o.StoreWords)
	}
}
