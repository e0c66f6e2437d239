package memory

import (
	"fmt"
	"math"
	"testing"
)

// TestFill compares with the outputs published for SplitMix64 started at 0 (values from memory).
func TestFill(t *testing.T) {
	for n, want := range []Word{0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F} {
		if got := Fill(0, uint64(n), 64); got != want {
			t.Errorf("Fill(0, %d, 64) = %#x, want %#x", n, got, want)
		}
		if got := Fill(0, uint64(n), 18); got != want&0o777777 {
			t.Errorf("Fill(0, %d, 18) = %#x, want its low 18 bits", n, got)
		}
	}
}

func TestStoreNeverWritten(t *testing.T) {
	one, two := NewStore(halves(), 1), NewStore(halves(), 2)
	same := 0
	for a := range Addr(512) {
		w1, st := one.Read(a)
		if w2, _ := two.Read(a); w1 == w2 {
			same++
		}
		if st != NeverWritten || w1 != Fill(1, uint64(a), 18) {
			t.Errorf("Read(%#o) = %#o, %v; want the fill, never written", a, w1, st)
		}
	}
	if same > 5 {
		t.Errorf("%d of 512 words are alike under two fills; two fills must tell what was never written", same)
	}
}

func TestStoreSentences(t *testing.T) {
	s := NewStore(halves(), 1)
	foreign := halves()
	foreign.Areas[2].Last++
	stray := NewImage(foreign)
	wide := NewImage(Geometry{Width: 20, Areas: []Area{{Last: 7, Width: 20}}})
	if err := stray.Set(0o100000, 0, Origin{}); err != nil {
		t.Fatal(err)
	}
	if err := wide.Set(1, 1<<18, Origin{}); err != nil {
		t.Fatal(err)
	}
	if err := s.Jam(0o101, 7, 0); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"poke", s.Poke(0o100, 0o777777), ""},
		{"poke in a gap", s.Poke(0o20000, 1), "nothing answers at 20000: the next store, WS1, begins at 77400"},
		{"poke beyond", s.Poke(0o100000, 1), "nothing answers at 100000: the last store, WS1, ends at 77777"},
		{"poke into wired", s.Poke(0o77400, 1), "WS1 at 77400 is wired store: it cannot be written"},
		{"poke too wide", s.Poke(0o100, 1<<18), "1000000 at 00100 is too wide: words of ST0 have 18 bits, at most 777777"},
		{"load where nothing answers", s.Load(stray), "nothing answers at 100000: the last store, WS1, ends at 77777"},
		{"load too wide", s.Load(wide), "1000000 at 00001 is too wide: words of ST0 have 18 bits, at most 777777"},
		{"no store at all", NewStore(Geometry{}, 0).Poke(0, 0), "nothing answers at 0: no store is fitted"},
		{"same jam again", s.Jam(0o101, 7, 0), ""},
		{"jam against a jam", s.Jam(0o101, 7, 1), "bit 7 at 00101 is jammed at 0 already: take that jam out first"},
		{"jam of no column", s.Jam(0o101, 20, 1), "no column 20 at 00101: words of ST0 have 18 data bits and 2 parity columns"},
		{"jam of a negative column", s.Jam(0o101, -1, 1), "no column -1 at 00101: words of ST0 have 18 data bits and 2 parity columns"},
		{"jam at two", s.Jam(0o101, 7, 2), "a cell cannot stick at 2: give 0 or 1"},
		{"jam in a gap", s.Jam(0o20000, 7, 1), "nothing answers at 20000: the next store, WS1, begins at 77400"},
		{"unjam of nothing", s.Unjam(0o102, 19), "left parity at 00102 has no jam to take out"},
		{"unjam in a gap", s.Unjam(0o20000, 7), "nothing answers at 20000: the next store, WS1, begins at 77400"},
		{"unjam", s.Unjam(0o101, 7), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := sentence(tt.err); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestStoreLoad(t *testing.T) {
	im := NewImage(halves())
	for a, w := range map[Addr]Word{0o100: 0o123456, 0o77400: 0o700} {
		if err := im.Set(a, w, Origin{}); err != nil {
			t.Fatal(err)
		}
	}
	s := NewStore(halves(), 1)
	if err := s.Load(im); err != nil {
		t.Fatal(err)
	}
	if w, st := s.Read(0o77400); w != 0o700 || st != 0 {
		t.Errorf("wired store reads %#o, %v after a load; want 700", w, st)
	}
	if st := s.Write(0o77400, 1); st != Protected {
		t.Errorf("writing wired store: %v, want %v", st, Protected)
	}
	if _, st := s.Read(0o101); st != NeverWritten {
		t.Errorf("a word the image does not have: %v, want %v", st, NeverWritten)
	}
}

// TestStoreParityCells jams a parity cell: the word is right, its parity is wrong, and the truth stays.
func TestStoreParityCells(t *testing.T) {
	s := NewStore(halves(), 1)
	s.Write(0o100, 0) // odd parity of no ones: both columns 1
	if err := s.Jam(0o100, 18, 0); err != nil {
		t.Fatal(err)
	}
	if w, st := s.Read(0o100); w != 0 || st != ParityWrong {
		t.Errorf("Read = %#o, %v; want 0, %v", w, st, ParityWrong)
	}
	if stored, seen, ok := s.Column(0o100, 18); stored != 1 || seen != 0 || !ok {
		t.Errorf("Column(100, 18) = %d, %d, %t; want stored 1, seen 0", stored, seen, ok)
	}
	for _, column := range []int{-1, 20, math.MinInt, math.MaxInt} {
		if _, _, ok := s.Column(0o100, column); ok {
			t.Errorf("Column(100, %d) is said to exist", column)
		}
	}
	s.Write(0o100, 1) // the right half now has one 1: its column is 0, as the jam has it
	if w, st := s.Read(0o100); w != 1 || st != 0 {
		t.Errorf("Read = %#o, %v; want 1 and nothing to remark", w, st)
	}
	if reads, altered := s.JamReads(0o100); reads != 2 || altered != 1 {
		t.Errorf("JamReads = %d, %d; want 2 reads, 1 altered", reads, altered)
	}
}

// TestStoreBadGeometry makes stores by geometries that Check refuses: what can be built answers, and nothing fails.
func TestStoreBadGeometry(t *testing.T) {
	g := Geometry{Areas: []Area{
		{Name: "backwards", First: 9, Last: 8, Width: 8},
		{Name: "good", First: 10, Last: 19, Width: 8},
		{Name: "overlapping", First: 19, Last: 29, Width: 8},
		{Name: "without width", First: 40, Last: 49, Width: -1},
		{Name: "odd parity", First: 50, Last: 59, Width: 8, Parity: []Parity{{Hi: -5, Lo: -9}}},
		{Name: "endless", First: 60, Last: math.MaxUint64, Width: 8},
	}}
	if g.Check() == nil {
		t.Fatal("Check accepts a geometry that is all wrong")
	}
	s := NewStore(g, 0)
	for _, a := range []Addr{0, 8, 9, 10, 19, 20, 29, 45, 55, 60, math.MaxUint64} {
		want := NoReply
		if a >= 10 && a <= 19 {
			want = 0
		}
		if got := s.Write(a, 1); got != want {
			t.Errorf("Write(%d) = %v, want %v", a, got, want)
		}
	}
	if im := NewImage(g); im.Set(60, 0, Origin{}) == nil || im.Set(10, 255, Origin{}) != nil {
		t.Error("an image must take words where a store of its geometry answers, and nowhere else")
	}
}

func TestStoreAllocatesNothing(t *testing.T) {
	for _, g := range []Geometry{halves(), packed()} {
		s := NewStore(g, 1)
		if err := s.Jam(3, 7, 1); err != nil {
			t.Fatal(err)
		}
		told := 0
		s.OnChange(func(Addr) { told++ })
		s.Mark(4)
		got := testing.AllocsPerRun(100, func() {
			for a := range Addr(8) {
				s.Write(a, Word(told)&1)
				s.Read(a)
				s.Read(a + 0o20000)
			}
		})
		if got != 0 || told == 0 {
			last := s.Geometry().Areas[len(g.Areas)-1].Name
			t.Errorf("store up to %s: %v allocations in a run of reads and writes, want 0; %d changes told", last, got, told)
		}
	}
}

func TestStatusString(t *testing.T) {
	tests := map[Status]string{
		0: "", NeverWritten: "never written", NeverWritten | ParityWrong: "never written, parity wrong",
		Protected: "protected", NoReply: "no reply", NeverWritten | Corrected: "never written, corrected",
	}
	for st, want := range tests {
		if got := st.String(); got != want {
			t.Errorf("Status(%d).String() = %q, want %q", st, got, want)
		}
	}
}

func ExampleStore() {
	parity := []Parity{{Name: "right", Odd: true, Hi: 8, Lo: 0}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}
	g := Geometry{Style: Style{Radix: 8}, Width: 18, AddrBits: 15,
		Areas: []Area{{Name: "ST2", First: 0o20000, Last: 0o27777, Width: 18, Parity: parity}}}
	s := NewStore(g, 1)
	s.Write(0o24107, 0o530021)
	if err := s.Jam(0o24107, 7, 1); err != nil {
		fmt.Println(err)
	}
	w, st := s.Read(0o24107)
	stored, _, _ := s.Peek(0o24107)
	fmt.Println(g.Style.Word(w, 18), st, "but stored is", g.Style.Word(stored, 18))
	reads, altered := s.JamReads(0o24107)
	fmt.Println(reads, "read,", altered, "altered by the jam")
	// Output:
	// 530221 parity wrong but stored is 530021
	// 1 read, 1 altered by the jam
}

// An area held true-low gives back what was written; a cell stuck at 0 shows a 1 there, in data and in parity alike, and the
// parity that is checked is that of the word read.
func TestInvertedArea(t *testing.T) {
	area := Area{Name: "ST0", Last: 0o77, Width: 6, Inverted: true, Parity: []Parity{{Odd: true, Hi: 5}}}
	s := NewStore(Geometry{Style: Style{Radix: 8}, Width: 6, AddrBits: 6, Areas: []Area{area}}, 1)
	s.Write(1, 0o05)
	for _, tt := range []struct {
		name          string
		column, value int
		seen          Word
		st            Status
	}{
		{"a cell that holds what it should", 0, 0, 0o05, 0},
		{"bit stuck at 1", 0, 1, 0o04, ParityWrong},
		{"bit stuck at 0", 1, 0, 0o07, ParityWrong},
		{"parity as it should be, a one", 6, 0, 0o05, 0},
		{"parity stuck", 6, 1, 0o05, ParityWrong},
	} {
		if err := s.Jam(1, tt.column, tt.value); err != nil {
			t.Fatal(err)
		}
		if w, st := s.Read(1); w != tt.seen || st != tt.st {
			t.Errorf("%s: read %02o, %q; want %02o, %q", tt.name, w, st, tt.seen, tt.st)
		}
		if j := s.Jams(); len(j) != 1 || j[0] != (Jam{Addr: 1, Column: tt.column, Value: tt.value}) {
			t.Errorf("%s: the jams are %v", tt.name, j)
		}
		if err := s.Jam(1, tt.column, 1-tt.value); err == nil {
			t.Errorf("%s: the cell took a second jam, at the other value", tt.name)
		}
		if err := s.Unjam(1, tt.column); err != nil {
			t.Fatal(err)
		}
	}
}
