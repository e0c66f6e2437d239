package memory

import (
	"errors"
	"fmt"
)

// What one bench holds. Both are far above any store of the trade; they keep a slip in a range from eating the host.
const (
	mostPlaces = 1 << 24 // addresses of all areas together
	mostParity = 16      // parity columns of an area
)

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
	if g.Unit != 0 && g.Step()*g.Unit != g.Width {
		return fmt.Errorf("addresses that count units of %d bits: a word of %d bits is not a whole number of them", g.Unit, g.Width)
	}
	var sum uint64
	for i := range g.Areas {
		area := &g.Areas[i]
		if err := area.check(g.Style); err != nil {
			return fmt.Errorf("store %s: %w", area.Name, err)
		}
		if err := g.checkPlace(i); err != nil {
			return fmt.Errorf("store %s: %w", area.Name, err)
		}
		// An area alone may count to 2^64 less one, so no sum is made before it is known to be small.
		if length := uint64(area.Last - area.First); length >= mostPlaces-sum {
			return fmt.Errorf("store %s: with it the areas hold more than %d %s in all; name only the ranges that are fitted",
				area.Name, mostPlaces, g.places())
		}
		sum += uint64(area.Last-area.First) + 1
	}
	return nil
}

// checkPlace finds what is wrong with area i beside the rest of the geometry.
func (g *Geometry) checkPlace(i int) error {
	area, step := &g.Areas[i], g.step()
	switch {
	case area.Width > g.Width:
		return fmt.Errorf("%d bits are more than the %d of a word", area.Width, g.Width)
	case Word(area.Last) > Mask(g.AddrBits):
		return fmt.Errorf("it ends at %s, beyond an address of %d bits", g.addr(area.Last), g.AddrBits)
	case i > 0 && g.Areas[i-1].Last >= area.First:
		return fmt.Errorf("it begins at %s, not after %s, which ends at %s",
			g.addr(area.First), g.Areas[i-1].Name, g.addr(g.Areas[i-1].Last))
	case area.First%step != 0:
		return fmt.Errorf("it begins at %s, inside the word that begins at %s",
			g.addr(area.First), g.addr(area.First-area.First%step))
	case !g.whole(area):
		return fmt.Errorf("it ends at %s, inside a word: the last of the %d units of that word is at %s",
			g.addr(area.Last), step, g.addr(area.Last-area.Last%step+step-1))
	}
	return nil
}

// whole is whether an area begins and ends with a word that addresses reach in all its units.
func (g *Geometry) whole(area *Area) bool {
	step := g.step()
	return step == 1 || area.First%step == 0 && area.Last%step == step-1 && Word(area.Last) <= Mask(g.AddrBits)
}

// places is what the addresses count.
func (g *Geometry) places() string {
	if g.Unit == 0 {
		return "words"
	}
	return "units"
}

// check finds what is wrong with an area by itself; bits in what it says are numbered by s.
func (area *Area) check(s Style) error {
	switch {
	case area.Last < area.First:
		return errors.New("its range ends before it begins")
	case area.Width < 1 || area.Width > 64:
		return fmt.Errorf("words of %d bits: a store here has 1 to 64", area.Width)
	case len(area.Parity) > mostParity:
		return fmt.Errorf("%d parity columns: a store here has at most %d", len(area.Parity), mostParity)
	}
	for _, p := range area.Parity {
		run := p.Over == 0
		if p.Over&^Mask(area.Width) != 0 || run && (p.Lo < 0 || p.Hi < p.Lo || p.Hi >= area.Width) {
			return fmt.Errorf("parity %s is over bits that a word of %d bits does not have", p.Name, area.Width)
		}
	}
	if area.Corrects {
		if err := area.checkMatrix(s); err != nil {
			return err
		}
	}
	return area.checkChips()
}

// checkMatrix finds a data bit of an area that corrects which the check bits cannot name: it must fail a set of them that
// is its own and has two at least, since a check bit that is wrong itself fails alone.
func (area *Area) checkMatrix(s Style) error {
	syndromes := newPlaced(area, 0).syndromes
	first := map[uint16]string{}
	for i, syndrome := range syndromes[area.Width:] {
		first[syndrome] = "check bit " + area.Parity[i].Name
	}
	for i, syndrome := range syndromes[:area.Width] {
		name := "bit " + s.Bit(i, area.Width)
		switch other, taken := first[syndrome]; {
		case syndrome == 0:
			return fmt.Errorf("%s is under no check bit, so that nothing can correct it", name)
		case taken:
			return fmt.Errorf("%s and %s fail the same check bits: nothing can tell which of them to correct", other, name)
		}
		first[syndrome] = name
	}
	return nil
}

// checkChips finds chips of columns that are not there, and columns of two chips.
func (area *Area) checkChips() error {
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
