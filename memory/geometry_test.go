package memory

import (
	"math"
	"math/bits"
	"testing"
)

// halves is an 18-bit geometry with odd parity over each half, two plug-ins next to each other, a gap, and a wired area.
func halves() Geometry {
	parity := []Parity{{Name: "right", Odd: true, Hi: 8, Lo: 0}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}
	chips := []Chip{{"U08", 7}, {"U19", 18}, {"U20", 19}}
	return Geometry{
		Style: Style{Radix: 8}, Width: 18, AddrBits: 15,
		Areas: []Area{
			{Name: "ST0", First: 0, Last: 0o7777, Width: 18, Parity: parity, Chips: chips},
			{Name: "ST1", First: 0o10000, Last: 0o17777, Width: 18, Parity: parity, Chips: chips},
			{Name: "WS1", First: 0o77400, Last: 0o77777, Width: 18, Wired: true},
		},
	}
}

func TestGeometryArea(t *testing.T) {
	g := halves()
	tests := []struct {
		name string
		a    Addr
		want string
	}{
		{"first word", 0, "ST0"},
		{"last of one", 0o7777, "ST0"},
		{"first of the next", 0o10000, "ST1"},
		{"gap begins", 0o20000, ""},
		{"gap ends", 0o77377, ""},
		{"wired", 0o77400, "WS1"},
		{"last word", 0o77777, "WS1"},
		{"beyond", 0o100000, ""},
		{"largest", math.MaxUint64, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := ""
			if area := g.Area(tt.a); area != nil {
				got = area.Name
			}
			if got != tt.want {
				t.Errorf("Area(%#o) = %q, want %q", tt.a, got, tt.want)
			}
		})
	}
}

func TestGeometryColumns(t *testing.T) {
	g := halves()
	g.Style = Style{Radix: 8, FirstBit: 1, FromLeft: true}
	area := &g.Areas[0]
	tests := []struct {
		column     int
		chip, name string
	}{
		{7, "U08", "bit 11"},
		{18, "U19", "right parity"},
		{19, "U20", "left parity"},
		{3, "", "bit 15"},
		{20, "", "bit -2"}, // there is no such column, and no such number either
	}
	for _, tt := range tests {
		chip, ok := g.Chip(area, tt.column)
		if chip.Name != tt.chip || ok != (tt.chip != "") {
			t.Errorf("Chip(ST0, %d) = %q, %t; want %q", tt.column, chip.Name, ok, tt.chip)
		}
		if name := g.ColumnName(area, tt.column); name != tt.name {
			t.Errorf("ColumnName(ST0, %d) = %q, want %q", tt.column, name, tt.name)
		}
	}
	checked := &Area{Width: 4, Parity: []Parity{{Name: "C1", Over: 13}}}
	if name := g.ColumnName(checked, 4); name != "check bit C1" {
		t.Errorf("ColumnName of a check bit = %q, want %q", name, "check bit C1")
	}
	nameless := &Area{Width: 8, Parity: []Parity{{Hi: 7}}}
	if name := g.ColumnName(nameless, 8); name != "parity" {
		t.Errorf("ColumnName of a parity column without a name = %q, want %q", name, "parity")
	}
}

// TestParityBits counts ones by the definition of parity. That odd parity over eight ones or none is one is the published
// odd parity byte: 00 and FF both give 1.
func TestParityBits(t *testing.T) {
	octet := &Area{Width: 8, Parity: []Parity{{Odd: true, Hi: 7}, {Odd: false, Hi: 7}}}
	for w := range Word(256) {
		got := octet.ParityBits(0, w)
		odd := Word(bits.OnesCount64(uint64(w))+1) & 1
		if want := odd | (odd^1)<<1; got != want {
			t.Errorf("ParityBits(%08b) = %02b, want %02b", w, got, want)
		}
	}
	for _, w := range []Word{0, 0xFF} {
		if got := octet.ParityBits(0, w) & 1; got != 1 {
			t.Errorf("odd parity of %02X = %d, want 1", w, got)
		}
	}
	whole := &Area{Width: 64, Parity: []Parity{{Odd: true, Hi: 63}}}
	if got := whole.ParityBits(0, math.MaxUint64); got != 1 {
		t.Errorf("odd parity of 64 ones = %d, want 1", got)
	}
}

func TestGeometryCheck(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(g *Geometry)
		want  string
	}{
		{"good", func(*Geometry) {}, ""},
		{"64 bits, all wide", func(g *Geometry) { g.Width, g.AddrBits = 64, 64 }, ""},
		{"no store", func(g *Geometry) { g.Areas = nil }, ""},
		{"narrow word", func(g *Geometry) { g.Width = 3 }, "a word of 3 bits: words here have 4 to 64"},
		{"wide word", func(g *Geometry) { g.Width = 65 }, "a word of 65 bits: words here have 4 to 64"},
		{"no address", func(g *Geometry) { g.AddrBits = 0 }, "an address of 0 bits: addresses here have 1 to 64"},
		{"odd first bit", func(g *Geometry) { g.Style.FirstBit = 2 }, "bits numbered from 2: number them from 0 or 1"},
		{"odd radix", func(g *Geometry) { g.Style.Radix = 12 }, "numbers in radix 12: write them in radix 2, 8, 10 or 16"},
		{"backwards", func(g *Geometry) { g.Areas[0].First = 0o10000 }, "store ST0: its range ends before it begins"},
		{"no width", func(g *Geometry) { g.Areas[0].Width = 0 }, "store ST0: words of 0 bits: a store here has 1 to 64"},
		{"wider than the word", func(g *Geometry) { g.Areas[2].Width = 19 }, "store WS1: 19 bits are more than the 18 of a word"},
		{"beyond the address", func(g *Geometry) { g.AddrBits = 14 }, "store WS1: it ends at 77777, beyond an address of 14 bits"},
		{"overlap", func(g *Geometry) { g.Areas[1].First = 0o7777 }, "store ST1: it begins at 07777, not after ST0, which ends at 07777"},
		{"out of order", func(g *Geometry) { g.Areas[0], g.Areas[1] = g.Areas[1], g.Areas[0] }, "store ST0: it begins at 00000, not after ST1, which ends at 17777"},
		{"parity over nothing", func(g *Geometry) { g.Areas[0].Parity = []Parity{{Name: "left", Hi: 18}} }, "store ST0: parity left is over bits that a word of 18 bits does not have"},
		{"many parities", func(g *Geometry) { g.Areas[2].Parity = make([]Parity, 17) }, "store WS1: 17 parity columns: a store here has at most 16"},
		{"chip of no column", func(g *Geometry) { g.Areas[0].Chips = []Chip{{"U21", 20}} }, "store ST0: chip U21 holds a bit that a word of 18 bits does not have"},
		{"check bit over nothing", func(g *Geometry) { g.Areas[0].Parity = []Parity{{Name: "C1", Over: 1 << 18}} }, "store ST0: parity C1 is over bits that a word of 18 bits does not have"},
		{"check bits name every bit", func(g *Geometry) { g.Areas[2].Corrects, g.Areas[2].Parity = true, oddColumns(18) }, ""},
		{"bit under no check bit", func(g *Geometry) { correcting(g, 1<<17, 0) }, "store WS1: bit 17 is under no check bit, so that nothing can correct it"},
		{"bit under one check bit", func(g *Geometry) { correcting(g, 1<<4, 1) }, "store WS1: check bit C1 and bit 4 fail the same check bits: nothing can tell which of them to correct"},
		{"bits under the same check bits", func(g *Geometry) { correcting(g, 1<<17|1<<3, 6) }, "store WS1: bit 3 and bit 17 fail the same check bits: nothing can tell which of them to correct"},
		{"nothing to correct with", func(g *Geometry) { g.Areas[2].Corrects = true }, "store WS1: bit 0 is under no check bit, so that nothing can correct it"},
		{"units", func(g *Geometry) { g.Unit = 9 }, ""},
		{"a word is one unit", func(g *Geometry) { g.Unit = 18 }, ""},
		{"units that leave a rest", func(g *Geometry) { g.Unit = 8 }, "addresses that count units of 8 bits: a word of 18 bits is not a whole number of them"},
		{"a unit wider than a word", func(g *Geometry) { g.Unit = 36 }, "addresses that count units of 36 bits: a word of 18 bits is not a whole number of them"},
		{"negative unit", func(g *Geometry) { g.Unit = -9 }, "addresses that count units of -9 bits: a word of 18 bits is not a whole number of them"},
		{"begins inside a word", func(g *Geometry) { g.Unit, g.Areas[2].First = 9, 0o77401 }, "store WS1: it begins at 77401, inside the word that begins at 77400"},
		{"ends inside a word", func(g *Geometry) { g.Unit, g.Areas[2].Last = 9, 0o77776 }, "store WS1: it ends at 77776, inside a word: the last of the 2 units of that word is at 77777"},
		{"one unit too much", func(g *Geometry) {
			g.AddrBits, g.Unit = 40, 9
			g.Areas[2] = Area{Name: "BIG", First: 1 << 30, Last: 1<<30 + 1<<24 - 8191, Width: 8}
		},
			"store BIG: with it the areas hold more than 16777216 units in all; name only the ranges that are fitted"},
		{"two chips", func(g *Geometry) { g.Areas[0].Chips = []Chip{{"U01", 0}, {"U02", 0}} }, "store ST0: chips U01 and U02 hold the same bit"},
		{"everything answers", func(g *Geometry) { g.AddrBits = 64; g.Areas = []Area{{Name: "ALL", Last: math.MaxUint64, Width: 8}} },
			"store ALL: with it the areas hold more than 16777216 words in all; name only the ranges that are fitted"},
		{"as much as there may be", func(g *Geometry) {
			g.AddrBits = 40
			g.Areas[2] = Area{Name: "BIG", First: 1 << 30, Last: 1<<30 + 1<<24 - 8193, Width: 8}
		}, ""},
		{"one word too much", func(g *Geometry) {
			g.AddrBits = 40
			g.Areas[2] = Area{Name: "BIG", First: 1 << 30, Last: 1<<30 + 1<<24 - 8192, Width: 8}
		},
			"store BIG: with it the areas hold more than 16777216 words in all; name only the ranges that are fitted"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g := halves()
			tt.spoil(&g)
			if got := sentence(g.Check()); got != tt.want {
				t.Errorf("Check() = %q, want %q", got, tt.want)
			}
		})
	}
}

// correcting makes the third area of g one that corrects, with the columns of the data bits in mask spoilt.
func correcting(g *Geometry, mask Word, column uint16) {
	area := &g.Areas[2]
	columns := balanced(area.Width, 6)
	for bit := range columns {
		if mask>>bit&1 == 1 {
			columns[bit] = column
		}
	}
	area.Corrects, area.Parity = true, checkBits(6, columns)
}

func TestGeometryStep(t *testing.T) {
	tests := []struct{ width, unit, want int }{
		{18, 0, 1}, {18, 18, 1}, {18, 9, 2}, {64, 1, 64},
		{18, 8, 1}, {18, 36, 1}, {18, -1, 1}, {0, 8, 1}, {-8, 8, 1}, // these Check refuses
	}
	for _, tt := range tests {
		g := Geometry{Width: tt.width, Unit: tt.unit}
		if got := g.Step(); got != tt.want {
			t.Errorf("Step of %d bits in units of %d = %d, want %d", tt.width, tt.unit, got, tt.want)
		}
	}
}
