package memory

import (
	"errors"
	"fmt"
	"sort"
)

// A Geometry says which addresses answer, how wide their words are, and which chip holds which bit.
type Geometry struct {
	Style    Style
	Width    int    // data bits of a word, 4 to 64
	AddrBits int    // bits of an address, 1 to 64
	Unit     int    // bits that an address counts: a word is several of them, and begins at a multiple of that many; 0: a word
	LowFirst bool   // of the units of a word the lowest bits have the lowest address
	Areas    []Area // sorted by First, never overlapping; between them nothing answers
}

// An Area is one plug-in's range of addresses, both ends included.
type Area struct {
	Name        string
	First, Last Addr
	Width       int      // data bits
	Wired       bool     // the processor cannot write it
	Corrects    bool     // a read whose failing parity columns name one column is corrected
	Parity      []Parity // parity columns: column Width+i is Parity[i]
	Chips       []Chip
}

// A Parity is one parity column: bits Hi to Lo and the column together hold an odd (or even) number of ones.
type Parity struct {
	Name    string
	Odd     bool
	Hi, Lo  int
	Over    Word // the data bits covered, in place of Hi to Lo; 0: those
	Address bool // the bits of the address are counted in
}

// A Chip is a part that can be pulled, and the one column it holds in its Area: a data bit, or Width+i for Parity[i].
type Chip struct {
	Name   string
	Column int
}

// What one bench holds. Both are far above any store of the trade; they keep a slip in a range from eating the host.
const (
	mostWords  = 1 << 24 // words of all areas together
	mostParity = 16      // parity columns of an area
)

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

// ColumnName is what a column of area is called: a data bit by the handbook's number, a parity column by its name.
func (g *Geometry) ColumnName(area *Area, column int) string {
	i := column - area.Width
	switch {
	case i < 0 || i >= len(area.Parity):
		return "bit " + g.Style.Bit(column, area.Width)
	case area.Parity[i].Name == "":
		return "parity"
	}
	return area.Parity[i].Name + " parity"
}

// Columns is how many columns a word of the area has, parity columns included.
func (area *Area) Columns() int { return area.Width + len(area.Parity) }

// ParityBits makes the parity columns that belong to the data word w of an area that Check accepts: bit i is column
// Width+i.
func (area *Area) ParityBits(w Word) Word {
	p := newPlaced(area, 0)
	return Word(p.columns(w))
}

// Check finds what no store can be built by: a width, range, parity or chip that cannot be, areas out of order or
// overlapping, or more words than a bench holds. The error is one sentence.
func (g *Geometry) Check() error {
	switch {
	case g.Width < 4 || g.Width > 64:
		return fmt.Errorf("a word of %d bits: words here have 4 to 64", g.Width)
	case g.AddrBits < 1 || g.AddrBits > 64:
		return fmt.Errorf("an address of %d bits: addresses here have 1 to 64", g.AddrBits)
	case g.Style.FirstBit != 0 && g.Style.FirstBit != 1:
		return fmt.Errorf("bits numbered from %d: number them from 0 or 1", g.Style.FirstBit)
	case g.Style.radix() != g.Style.Radix:
		return fmt.Errorf("numbers in radix %d: write them in radix 2, 8, 10 or 16", g.Style.Radix)
	}
	var words uint64
	for i := range g.Areas {
		area := &g.Areas[i]
		if err := area.check(); err != nil {
			return fmt.Errorf("store %s: %w", area.Name, err)
		}
		if err := g.checkPlace(i); err != nil {
			return fmt.Errorf("store %s: %w", area.Name, err)
		}
		// An area alone may count to 2^64 less one, so no sum is made before it is known to be small.
		if length := uint64(area.Last - area.First); length >= mostWords-words {
			return fmt.Errorf("store %s: with it the areas hold more than %d words in all; name only the ranges that are fitted",
				area.Name, mostWords)
		}
		words += uint64(area.Last-area.First) + 1
	}
	return nil
}

// checkPlace finds what is wrong with area i beside the rest of the geometry.
func (g *Geometry) checkPlace(i int) error {
	area := &g.Areas[i]
	switch {
	case area.Width > g.Width:
		return fmt.Errorf("%d bits are more than the %d of a word", area.Width, g.Width)
	case Word(area.Last) > Mask(g.AddrBits):
		return fmt.Errorf("it ends at %s, beyond an address of %d bits", g.addr(area.Last), g.AddrBits)
	case i > 0 && g.Areas[i-1].Last >= area.First:
		return fmt.Errorf("it begins at %s, not after %s, which ends at %s",
			g.addr(area.First), g.Areas[i-1].Name, g.addr(g.Areas[i-1].Last))
	}
	return nil
}

// check finds what is wrong with an area by itself.
func (area *Area) check() error {
	switch {
	case area.Last < area.First:
		return errors.New("its range ends before it begins")
	case area.Width < 1 || area.Width > 64:
		return fmt.Errorf("words of %d bits: a store here has 1 to 64", area.Width)
	case len(area.Parity) > mostParity:
		return fmt.Errorf("%d parity columns: a store here has at most %d", len(area.Parity), mostParity)
	}
	for _, p := range area.Parity {
		if p.Lo < 0 || p.Hi < p.Lo || p.Hi >= area.Width {
			return fmt.Errorf("parity %s is over bits that a word of %d bits does not have", p.Name, area.Width)
		}
	}
	held := map[int]string{}
	for _, c := range area.Chips {
		if c.Column < 0 || c.Column >= area.Columns() {
			return fmt.Errorf("chip %s holds a bit that a word of %d bits does not have", c.Name, area.Width)
		}
		if other, ok := held[c.Column]; ok {
			return fmt.Errorf("chips %s and %s hold the same bit", other, c.Name)
		}
		held[c.Column] = c.Name
	}
	return nil
}

// addr writes an address as the handbook does.
func (g *Geometry) addr(a Addr) string { return g.Style.Addr(a, g.AddrBits) }
