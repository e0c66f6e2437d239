package memory

import (
	"fmt"
	"testing"
)

// octets is 32-bit words whose addresses count units of 8 bits, with a gap and wired store behind.
func octets(lowFirst bool) Geometry {
	return Geometry{Style: sixteen, Width: 32, AddrBits: 16, Unit: 8, LowFirst: lowFirst, Areas: []Area{
		{Name: "ST0", First: 0, Last: 0xFFF, Width: 32, Parity: []Parity{{Odd: true, Hi: 31}}},
		{Name: "WS1", First: 0x1000, Last: 0x10FF, Width: 32, Wired: true},
		{Name: "ST2", First: 0xFF00, Last: 0xFFFF, Width: 32},
	}}
}

// TestReadPart writes 44332211 at 100 and 88776655 at 104, and cuts pieces out of them.
func TestReadPart(t *testing.T) {
	tests := []struct {
		name      string
		a         Addr
		bits      int
		low, high Word // as read with the low, the high end first
	}{
		{"first unit", 0x100, 8, 0x11, 0x44},
		{"second unit", 0x101, 8, 0x22, 0x33},
		{"last unit", 0x103, 8, 0x44, 0x11},
		{"half", 0x100, 16, 0x2211, 0x4433},
		{"half inside", 0x101, 16, 0x3322, 0x3322},
		{"half across", 0x103, 16, 0x5544, 0x1188},
		{"three across", 0x102, 24, 0x554433, 0x221188},
		{"word", 0x100, 32, 0x44332211, 0x44332211},
		{"word one on", 0x101, 32, 0x55443322, 0x33221188},
		{"word three on", 0x103, 32, 0x77665544, 0x11887766},
	}
	for _, lowFirst := range []bool{true, false} {
		s := NewStore(octets(lowFirst), 1)
		s.Write(0x100, 0x44332211)
		s.Write(0x104, 0x88776655)
		for _, tt := range tests {
			want := tt.high
			if lowFirst {
				want = tt.low
			}
			if w, st := s.ReadPart(tt.a, tt.bits); w != want || st != 0 {
				t.Errorf("%s, low end first %t: ReadPart(%#x, %d) = %#x, %q; want %#x", tt.name, lowFirst, tt.a, tt.bits, w, st, want)
			}
			// Written somewhere else a piece must take the same shape.
			s.WritePart(tt.a+0x100, tt.bits, want)
			if w, st := s.ReadPart(tt.a+0x100, tt.bits); w != want || st != 0 {
				t.Errorf("%s, low end first %t: written at %#x, ReadPart = %#x, %q; want %#x", tt.name, lowFirst, tt.a+0x100, w, st, want)
			}
		}
	}
}

func TestPiecesAtEdges(t *testing.T) {
	tests := []struct {
		name        string
		a           Addr
		bits        int
		read, write Status
	}{
		{"into wired store", 0xFFF, 16, NeverWritten, Protected},
		{"from wired store into the gap", 0x10FE, 32, NoReply, Protected},
		{"gap", 0x2001, 8, NoReply, NoReply},
		{"from the gap into store", 0xFEFF, 16, NoReply, NoReply},
		{"round past the last address", 0xFFFE, 32, NeverWritten, 0},
		{"beyond the addresses", 0x10000, 8, NoReply, NoReply},
		{"half a unit", 0x100, 4, NoReply, NoReply},
		{"nothing", 0x100, 0, NoReply, NoReply},
		{"negative", 0x100, -8, NoReply, NoReply},
		{"more than a word", 0x100, 40, NoReply, NoReply},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := NewStore(octets(false), 1)
			if _, st := s.ReadPart(tt.a, tt.bits); st != tt.read {
				t.Errorf("ReadPart(%#x, %d): %q, want %q", tt.a, tt.bits, st, tt.read)
			}
			if st := s.WritePart(tt.a, tt.bits, 0); st != tt.write {
				t.Errorf("WritePart(%#x, %d): %q, want %q", tt.a, tt.bits, st, tt.write)
			}
		})
	}
	whole := NewStore(halves(), 1)
	if _, st := whole.ReadPart(0, 9); st != NoReply {
		t.Errorf("half a word where addresses count words: %q, want %q", st, NoReply)
	}
	whole.WritePart(0, 18, 0o123456)
	if w, st := whole.ReadPart(0, 18); w != 0o123456 || st != 0 {
		t.Errorf("a piece as wide as a word where addresses count words: %#o, %q; want 123456", w, st)
	}
}

// TestWritePartUnderJam writes beside a stuck cell: the cell is not touched, so what was stored there comes back.
func TestWritePartUnderJam(t *testing.T) {
	s := NewStore(octets(true), 1)
	s.Write(0x100, 0)
	if err := s.Jam(0x100, 31, 1); err != nil {
		t.Fatal(err)
	}
	s.WritePart(0x100, 8, 0x7F)
	if w, st := s.ReadPart(0x100, 8); w != 0x7F || st != ParityWrong {
		t.Errorf("ReadPart of the good unit = %#x, %q; want 7F, and the parity of the word wrong", w, st)
	}
	if err := s.Unjam(0x100, 31); err != nil {
		t.Fatal(err)
	}
	if w, st := s.Read(0x100); w != 0x7F || st != 0 {
		t.Errorf("Read without the jam = %#x, %q; want 7F, no remark", w, st)
	}
}

// TestPiecesTellWhenInPlace has the hook read the piece while it is told of the first of two words.
func TestPiecesTellWhenInPlace(t *testing.T) {
	s := NewStore(octets(false), 1)
	s.Write(0x100, 0)
	s.Write(0x104, 0)
	if !s.Mark(0x102) {
		t.Error("two written words are not plain")
	}
	var told []Addr
	s.OnChange(func(a Addr) {
		told = append(told, a)
		if w, st := s.ReadPart(0x102, 32); w != 0x12345678 || st != 0 {
			t.Errorf("told of %#x: ReadPart = %#x, %q; want 12345678", a, w, st)
		}
	})
	s.Write(0x102, 0x12345678)
	if fmt.Sprint(told) != "[256 260]" {
		t.Errorf("told of %d, want 256 and 260", told)
	}
}

func TestUnitsSentences(t *testing.T) {
	s, im := NewStore(octets(true), 1), NewImage(octets(true))
	foreign := NewImage(Geometry{Width: 8, AddrBits: 16, Areas: []Area{{Last: 0xFFF, Width: 8}}})
	if err := foreign.Set(0x102, 1, Origin{}); err != nil {
		t.Fatal(err)
	}
	want := "0102 is inside the word at 0100: name a word by the first of its 4 addresses"
	tests := map[string]error{
		"poke": s.Poke(0x102, 1), "set": im.Set(0x102, 1, Origin{}), "load": s.Load(foreign),
		"jam": s.Jam(0x102, 1, 1), "unjam": s.Unjam(0x102, 1),
	}
	for name, err := range tests {
		if got := sentence(err); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if _, _, ok := s.Column(0x102, 1); ok {
		t.Error("Column(102, 1) is said to exist")
	}
}

// TestUnitsBadGeometry makes stores by units that Check refuses: nothing fails, and areas that hold no whole words do not
// answer.
func TestUnitsBadGeometry(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(g *Geometry)
		want  Status // of a write at 100
	}{
		{"a rest", func(g *Geometry) { g.Unit = 7 }, 0},
		{"negative", func(g *Geometry) { g.Unit = -1 }, 0},
		{"no width", func(g *Geometry) { g.Width = 0 }, 0},
		{"no address bits", func(g *Geometry) { g.AddrBits = 0 }, NoReply},
		{"inside a word", func(g *Geometry) { g.Areas[0].First = 2 }, NoReply},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g := octets(true)
			tt.spoil(&g)
			if g.Check() == nil {
				t.Fatal("Check accepts it")
			}
			s := NewStore(g, 1)
			for _, a := range []Addr{0, 1, 2, 0xFFE, 0xFFF, 0x1000, 0xFFFD, 0xFFFF, 1 << 40} {
				for bits := range 70 {
					s.WritePart(a, bits, 1)
					s.ReadPart(a, bits)
				}
				s.Write(a, 1)
				s.Read(a)
				s.Peek(a)
				s.Mark(a)
			}
			if st := s.Write(0x100, 1); st != tt.want {
				t.Errorf("Write(100): %q, want %q", st, tt.want)
			}
		})
	}
}

func ExampleUnits() {
	s := NewStore(Geometry{Width: 16, AddrBits: 8, Unit: 8, Areas: []Area{{Name: "ST0", Last: 255, Width: 16}}}, 1)
	s.Write(4, 0x1234)
	s.Write(6, 0x5678)
	var store Units = s
	low, _ := store.ReadPart(5, 8)
	joined, _ := store.ReadPart(5, 16)
	fmt.Printf("%02X %04X\n", low, joined)
	store.WritePart(5, 8, 0xFF)
	w, st := s.Read(4)
	fmt.Printf("%04X %q\n", w, st)
	// Output:
	// 34 3456
	// 12FF ""
}
