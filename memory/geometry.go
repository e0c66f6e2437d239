package memory

import "sort"

// A Geometry says which addresses answer, how wide their words are, and which chip holds which bit.
type Geometry struct {
	Style    Style
	Width    int    // data bits of a word, 4 to 64
	AddrBits int    // bits of an address, 1 to 64
	Unit     int    // bits that an address counts, a part of Width without rest; 0: an address counts words
	LowFirst bool   // the unit at the lowest address is the right end of a word, else its left end
	Areas    []Area // sorted by First, never overlapping; between them nothing answers
}

// An Area is one plug-in's range of addresses, both ends included. Where addresses count units it begins with the first
// unit of a word and ends with the last of one; a word narrower than the Geometry's lies at the right of its units, and
// the bits at the left of it have no cells.
type Area struct {
	Name        string
	First, Last Addr
	Width       int      // data bits
	Wired       bool     // the processor cannot write it
	Inverted    bool     // held true-low: its cells, parity columns too, hold the complement of what is written and read
	Corrects    bool     // the one column that the failing check bits name is put right when read
	Parity      []Parity // parity columns, or check bits: column Width+i is Parity[i]
	Chips       []Chip
}

// A Parity is one parity column, or check bit: the bits it is over and the column together hold an odd (or even) number
// of ones.
type Parity struct {
	Name    string
	Odd     bool
	Hi, Lo  int  // it is over data bits Hi to Lo,
	Over    Word // or over those of this mask, if not 0,
	Address bool // and over the address of the word, if set
}

// over is the data bits that the column is over.
func (p *Parity) over() Word {
	if p.Over != 0 {
		return p.Over
	}
	return Mask(p.Hi-p.Lo+1) << uint(p.Lo)
}

// A Chip is a part that can be pulled, and the one column it holds in its Area: a data bit, or Width+i for Parity[i].
type Chip struct {
	Name   string
	Column int
}

// Step is how many addresses a word takes: 1 where an address counts words, or the units of a word.
func (g *Geometry) Step() int {
	// A unit that Check refuses must not make anything fail that counts by it.
	if g.Unit < 1 || g.Width < g.Unit || g.Width%g.Unit != 0 {
		return 1
	}
	return g.Width / g.Unit
}

// step is Step as addresses are reckoned with.
func (g *Geometry) step() Addr { return Addr(g.Step()) }

// Area is the area that a lies in, or nil where nothing answers.
func (g *Geometry) Area(a Addr) *Area {
	i := sort.Search(len(g.Areas), func(i int) bool { return g.Areas[i].Last >= a })
	if i == len(g.Areas) || g.Areas[i].First > a {
		return nil
	}
	return &g.Areas[i]
}

// Chip is the part that holds a column of area, and whether one is named.
func (g *Geometry) Chip(area *Area, column int) (Chip, bool) {
	for _, c := range area.Chips {
		if c.Column == column {
			return c, true
		}
	}
	return Chip{}, false
}

// ColumnName is what a column of area is called: a data bit by the handbook's number, a parity column or check bit by its
// name.
func (g *Geometry) ColumnName(area *Area, column int) string {
	i := column - area.Width
	switch {
	case i < 0 || i >= len(area.Parity):
		return "bit " + g.Style.Bit(column, area.Width)
	case area.Parity[i].Name == "":
		return "parity"
	case area.Parity[i].Over != 0:
		return "check bit " + area.Parity[i].Name
	}
	return area.Parity[i].Name + " parity"
}

// Columns is how many columns a word of the area has, parity columns included.
func (area *Area) Columns() int { return area.Width + len(area.Parity) }

// Cell turns a bit of the area's words, 0 or 1, as it is written and read, into what its cell holds, and back.
func (area *Area) Cell(bit int) int {
	if area.Inverted {
		return 1 - bit
	}
	return bit
}

// ParityBits makes the parity columns that belong to the data word w at address a of an area that Check accepts: bit i is
// column Width+i.
func (area *Area) ParityBits(a Addr, w Word) Word {
	p := newPlaced(area, 0)
	return Word(p.columns(a, w))
}

// addr writes an address as the handbook does.
func (g *Geometry) addr(a Addr) string { return g.Style.Addr(a, g.AddrBits) }
