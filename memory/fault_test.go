package memory

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// addressed is halves with parity over the address too in ST1.
func addressed() Geometry {
	g := halves()
	g.Areas[1].Parity = []Parity{{Name: "right", Odd: true, Hi: 8, Address: true}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}
	return g
}

// TestParityDivides holds the great divider: wrong data with wrong parity went bad in store or on the way out of it; wrong data
// with right parity went bad before parity was made (write line, address). Parity over the address finds wrong address lines.
func TestParityDivides(t *testing.T) {
	aggressor := Cell{0o200, 3}
	tests := []struct {
		name string
		jam  Jam
		a    Addr
		want Word
		st   Status
	}{
		{"good", Jam{Addr: 0o300}, 0o100, 0o525252, 0},
		{"cell stuck", Jam{Addr: 0o100, Column: 0, Value: 1}, 0o100, 0o525253, ParityWrong},
		{"never rises", Jam{Fault: NeverRises, Addr: 0o100, Column: 1}, 0o100, 0o525250, ParityWrong},
		{"never falls", Jam{Fault: NeverFalls, Addr: 0o100, Column: 0}, 0o100, 0o525253, ParityWrong},
		{"parity cell stuck", Jam{Addr: 0o100, Column: 18}, 0o100, 0o525252, ParityWrong},
		{"chip", Jam{Fault: ChipStuck, Addr: 0, Value: 1}, 0o100, 0o525253, ParityWrong},
		{"read line", Jam{Fault: ReadLine, Value: 1}, 0o100, 0o525253, ParityWrong},
		{"write line", Jam{Fault: WriteLine, Value: 1}, 0o100, 0o525253, 0},
		{"stuck open", Jam{Fault: StuckOpen, Addr: 0o100, Column: 0}, 0o100, 0o525253, ParityWrong},
		{"inversion", Jam{Fault: Inverts, Addr: 0o100, Column: 0, By: aggressor, On: 1}, 0o100, 0o525253, ParityWrong},
		{"idempotent", Jam{Fault: Forces, Addr: 0o100, Column: 0, Value: 1, By: aggressor, On: 1}, 0o100, 0o525253, ParityWrong},
		{"state", Jam{Fault: Holds, Addr: 0o100, Column: 0, Value: 1, By: aggressor, On: 1}, 0o100, 0o525253, ParityWrong},
		{"state, reads alone", Jam{Fault: Shades, Addr: 0o100, Column: 0, Value: 1, By: aggressor, On: 1}, 0o100, 0o525253, ParityWrong},
		{"disturbed by any write", Jam{Fault: Disturbs, Addr: 0o100, Column: 0, By: aggressor}, 0o100, 0o525253, ParityWrong},
		{"address line, parity over data", Jam{Fault: AddressLine, Column: 6}, 0o100, 0o111111, 0},
		{"address line, parity over the address too", Jam{Fault: AddressLine, Column: 6}, 0o10100, 0o111111, ParityWrong},
		{"address lines tied", Jam{Fault: AddressTied, Column: 6, With: 5}, 0o100, 0o111111, 0},
		{"no select", Jam{Fault: NoSelect, Addr: 0}, 0o100, 0, NoReply},
		{"faded", Jam{Fault: Fades, Addr: 0o100, Rows: 0o77, After: 5, Value: 1}, 0o100, 0o777777, ParityWrong},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := NewStore(addressed(), 1)
			now := int64(0)
			s.Clock(func() int64 { return now })
			for a := Addr(0o77); a <= 0o300; a++ {
				s.Write(a, ^Word(0)&Mask(18))
			}
			s.Write(0o200, 0)
			if err := s.Put(tt.jam); err != nil {
				t.Fatal(err)
			}
			s.Write(tt.a, 0o525252)
			if tt.jam.Fault == AddressLine || tt.jam.Fault == AddressTied {
				s.Write(tt.a&^0o100, 0o111111) // lands where the other one did
			}
			if tt.jam.Fault == NeverRises {
				s.Write(tt.a, 0)
				s.Write(tt.a, 0o525252)
			}
			s.Read(0o77)         // the columns of the plug-in give ones, for what is stuck open
			s.Write(0o200, 0o10) // the aggressor rises
			now = 5              // and time goes by
			stored, _, _ := s.Peek(tt.a)
			if got, st := s.Read(tt.a); got != tt.want || st != tt.st {
				t.Errorf("read %06o, %q; want %06o, %q; stored %06o", got, st, tt.want, tt.st, stored)
			}
		})
	}
}

// TestIntermittentRate: 100,000 reads of a cell that fails once in 200 are 500 on average; 4 standard deviations of the
// binomial distribution are 4 * sqrt(100000 * 1/200 * 199/200) = 89.2.
func TestIntermittentRate(t *testing.T) {
	altered := map[uint64]int64{}
	for seed := range uint64(20) {
		run := func() (trace []int) {
			s := NewStore(halves(), 1)
			j := Jam{Addr: 0o100, Column: 7, Value: 1, OneIn: 200, Seed: seed}
			if err := s.Put(j); err != nil {
				t.Fatal(err)
			}
			s.Write(0o100, 0)
			for i := range 100_000 {
				if w, _ := s.Read(0o100); w != 0 {
					trace = append(trace, i)
				}
			}
			met, n := s.Effect(j)
			if met != 100_000 || int(n) != len(trace) {
				t.Errorf("seed %d: %d times in %d reads by the store's account, %d seen", seed, n, met, len(trace))
			}
			altered[seed] = n
			return trace
		}
		first := fmt.Sprint(run())
		if again := fmt.Sprint(run()); again != first {
			t.Errorf("seed %d does not repeat itself", seed)
		}
		if off := math.Abs(float64(altered[seed] - 500)); off > 89.2 {
			t.Errorf("seed %d: %d of 100,000 reads failed, want 500 give or take 89", seed, altered[seed])
		}
	}
	if altered[0] == altered[1] && altered[1] == altered[2] {
		t.Error("another seed makes no other run")
	}
}

func TestJamsRefused(t *testing.T) {
	s := NewStore(halves(), 1)
	put := func(j Jam) string {
		if err := s.Put(j); err != nil {
			return err.Error()
		}
		return ""
	}
	cell := Cell{0o101, 7}
	tests := []struct {
		name, got, want string
	}{
		{"chip of no column", put(Jam{Fault: ChipStuck, Column: 20}), "no column 20 at 00000: words of ST0 have 18 data bits and 2 parity columns"},
		{"chip nowhere", put(Jam{Fault: ChipStuck, Addr: 0o20000}), "nothing answers at 20000: the next store, WS1, begins at 77400"},
		{"no data line", put(Jam{Fault: ReadLine, Column: 18}), "no data line 18: words have 18 data bits"},
		{"negative line", put(Jam{Fault: WriteLine, Column: -1}), "no data line -1: words have 18 data bits"},
		{"no address line", put(Jam{Fault: AddressLine, Column: 15}), "no address bit 15: addresses have 15 bits"},
		{"tied to itself", put(Jam{Fault: AddressTied, Column: 3, With: 3}), "address bit 3 cannot be tied to itself: give two"},
		{"tied to none", put(Jam{Fault: AddressTied, Column: 3, With: 99}), "no address bit 99: addresses have 15 bits"},
		{"line at two", put(Jam{Fault: ReadLine, Value: 2}), "nothing is held at 2: give 0 or 1"},
		{"disturbs itself", put(Jam{Fault: Inverts, Addr: 0o101, Column: 7, By: cell}), "a cell cannot disturb itself: give two"},
		{"no aggressor", put(Jam{Fault: Inverts, By: Cell{0o101, 44}}), "no column 44 at 00101: words of ST0 have 18 data bits and 2 parity columns"},
		{"becomes two", put(Jam{Fault: Inverts, By: cell, On: 2}), "no cell becomes 2: give 0 or 1"},
		{"no clock", put(Jam{Fault: Fades, After: 5}), "nothing fades in a store without a clock: time stands still there"},
		{"at once", put(Jam{Fault: Fades}), "no row fades after a time of 0: give 1 or more"},
		{"no fault", put(Jam{Fault: faults}), "there is no fault number 16"},
		{"line", put(Jam{Fault: ReadLine, Column: 3, Value: 1}), ""},
		{"the same again", put(Jam{Fault: ReadLine, Column: 3, Value: 1, Addr: 77}), ""},
		{"line against a line", put(Jam{Fault: ReadLine, Column: 3}), "this line is jammed at 1 already: take that jam out first"},
		{"now and then", put(Jam{Addr: 0o101, Column: 7, OneIn: 9}), ""},
		{"always after now and then", put(Jam{Addr: 0o101, Column: 7, Value: 1}), "bit 7 at 00101 is jammed at 0 already: take that jam out first"},
		{"slow", put(Jam{Fault: NeverRises, Addr: 0o101, Column: 7}), ""},
		{"slow now and then", put(Jam{Fault: NeverRises, Addr: 0o101, Column: 7, OneIn: 3}), "00101 has a jam of this kind already: take that jam out first"},
		{"lift what is not in", errorOf(s.Lift(Jam{Fault: ReadLine, Column: 4})), "this jam is not in: take out one that is"},
		{"lift at the other value", errorOf(s.Lift(Jam{Fault: ReadLine, Column: 3})), "this jam is not in: take out one that is"},
		{"lift", errorOf(s.Lift(Jam{Fault: ReadLine, Column: 3, Value: 1})), ""},
		{"unjam what is now and then", errorOf(s.Unjam(0o101, 7)), ""},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%s:\n got %s\nwant %s", tt.name, tt.got, tt.want)
		}
	}
	if jams := s.Jams(); len(jams) != 1 || jams[0].Fault != NeverRises {
		t.Errorf("jams left: %+v, want the slow cell", jams)
	}
	units := NewStore(octets(true), 1)
	if got := errorOf(units.Put(Jam{Fault: AddressLine, Column: 1})); !strings.Contains(got, "which part of a word") {
		t.Errorf("a line that chooses a unit: %s", got)
	}
}

func errorOf(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// TestManyJams puts in 100,000 jams, half of them with a memory: it is a matter of a moment, and the words beside them are plain.
func TestManyJams(t *testing.T) {
	g := Geometry{Style: Style{Radix: 8}, Width: 18, AddrBits: 16, Areas: []Area{{Name: "ST0", Last: 0xFFFF, Width: 18}}}
	s := NewStore(g, 1)
	began := time.Now()
	for a := range Addr(50_000) {
		if err := s.Jam(a, 3, 1); err != nil {
			t.Fatal(err)
		}
		if err := s.Put(Jam{Fault: NeverFalls, Addr: a, Column: 5}); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(s.Jams()); n != 100_000 {
		t.Errorf("%d jams are in, want 100,000", n)
	}
	for a := range Addr(50_000) {
		s.Write(a, 0o40)
		s.Write(a, 0)
		if w, _ := s.Read(a); w != 0o50 {
			t.Fatalf("read %o at %o, want 50", w, a)
		}
	}
	if d := time.Since(began); d > 20*time.Second {
		t.Errorf("it took %v", d)
	}
	if s.Hooked(60_000) || !s.Hooked(1) {
		t.Error("words without a jam are taken for ones with, or the other way round")
	}
}

// TestJamsMeet puts two jams in one another's way.
func TestJamsMeet(t *testing.T) {
	aggressor := Cell{0o200, 3}
	tests := []struct {
		name string
		jams []Jam
		do   func(s *Store, now *int64)
		want Word // at 0o100
	}{
		{"a line comes after a chip", []Jam{{Fault: ChipStuck, Column: 1, Value: 1}, {Fault: ReadLine, Column: 1}}, func(*Store, *int64) {}, 0},
		{"a chip comes after a cell", []Jam{{Addr: 0o100, Column: 1, Value: 1}, {Fault: ChipStuck, Column: 1}}, func(*Store, *int64) {}, 0},
		{"a stuck aggressor disturbs nothing", []Jam{{Addr: 0o200, Column: 3}, {Fault: Inverts, Addr: 0o100, By: aggressor, On: 1}},
			func(s *Store, _ *int64) { s.Write(0o200, 0o10) }, 0},
		{"a disturbance sets off no other", []Jam{{Fault: Inverts, Addr: 0o300, By: aggressor, On: 1}, {Fault: Inverts, Addr: 0o100, By: Cell{0o300, 0}, On: 1}},
			func(s *Store, _ *int64) { s.Write(0o200, 0o10) }, 0},
		{"what a mended jam did stays", []Jam{{Fault: Forces, Addr: 0o100, Value: 1, By: aggressor, On: 1}},
			func(s *Store, _ *int64) { s.Write(0o200, 0o10); _ = s.Lift(s.Jams()[0]) }, 1},
		{"a row mended too late has faded", []Jam{{Fault: Fades, Addr: 0o100, Rows: 0o777, After: 5, Value: 1}},
			func(s *Store, now *int64) { *now = 5; _ = s.Lift(s.Jams()[0]) }, 0o777777},
		{"a row mended in time has not", []Jam{{Fault: Fades, Addr: 0o100, Rows: 0o777, After: 5, Value: 1}},
			func(s *Store, now *int64) { *now = 4; _ = s.Lift(s.Jams()[0]); *now = 9 }, 0},
		{"a word that is keyed in is past all jams", []Jam{{Fault: WriteLine, Column: 0, Value: 1}, {Fault: NeverFalls, Addr: 0o100, Column: 1}},
			func(s *Store, _ *int64) { _ = s.Poke(0o100, 2); _ = s.Poke(0o100, 0) }, 0},
	}
	for _, tt := range tests {
		s, now := NewStore(halves(), 1), int64(0)
		s.Clock(func() int64 { return now })
		for _, a := range []Addr{0o100, 0o200, 0o300} {
			s.Write(a, 0)
		}
		for _, j := range tt.jams {
			if err := s.Put(j); err != nil {
				t.Fatal(err)
			}
		}
		tt.do(s, &now)
		if w, _ := s.Read(0o100); w != tt.want {
			t.Errorf("%s: read %06o, want %06o", tt.name, w, tt.want)
		}
	}
}

// TestTiedLines: which of two tied lines is named first is no matter, and what nothing answers at may lead to a word.
func TestTiedLines(t *testing.T) {
	s := NewStore(halves(), 1)
	one, other := Jam{Fault: AddressTied, Column: 14, With: 4}, Jam{Fault: AddressTied, Column: 4, With: 14}
	if err := s.Put(one); err != nil {
		t.Fatal(err)
	}
	if err := s.Put(other); err != nil || len(s.Jams()) != 1 || s.Jams()[0] != other {
		t.Errorf("%v; jams %+v, want %+v alone", err, s.Jams(), other)
	}
	s.Write(7, 5)
	if w, st := s.Read(0o40007); w != 5 || st != 0 || !s.Hooked(0o40007) {
		t.Errorf("read %o, %q at 40007, hooked %v; want the word at 7, hooked", w, st, s.Hooked(0o40007))
	}
	if err := s.Lift(one); err != nil || s.Hooked(0o40007) || s.Hooked(7) {
		t.Errorf("%v; hooked %v, %v when the jam is out", err, s.Hooked(0o40007), s.Hooked(7))
	}
	if _, st := s.Read(0o40007); st != NoReply {
		t.Errorf("status %q at 40007 when the jam is out, want %q", st, NoReply)
	}
}

func ExampleStore_Put() {
	s := NewStore(halves(), 1)
	_ = s.Put(Jam{Fault: NeverRises, Addr: 0o24, Column: 7})
	s.Write(0o24, 0)
	s.Write(0o24, 0o200)
	w, st := s.Read(0o24)
	fmt.Printf("%06o, %v\n", w, st)
	_ = s.Put(Jam{Fault: WriteLine, Column: 0, Value: 1})
	s.Write(0o25, 0o200)
	w, st = s.Read(0o25)
	fmt.Printf("%06o, %q: its parity was made of the wrong word\n", w, st)
	// Output:
	// 000000, parity wrong
	// 000201, "": its parity was made of the wrong word
}

func ExampleStore_Clock() {
	s := NewStore(halves(), 1)
	now := int64(0) // in any unit: here milliseconds
	s.Clock(func() int64 { return now })
	_ = s.Put(Jam{Fault: Fades, Addr: 0o41, Rows: 0o77, After: 5})
	s.Write(0o41, 0o777)
	s.Write(0o141, 0o777)
	now = 4
	w, _ := s.Read(0o41) // all of the row is kept by it
	now = 8
	other, _ := s.Read(0o141)
	now = 13
	late, _ := s.Read(0o141)
	fmt.Printf("%06o %06o %06o\n", w, other, late)
	// Output:
	// 000777 000777 000000
}
