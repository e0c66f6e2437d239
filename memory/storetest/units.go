package storetest

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"

	"coldstart/memory"
)

// A pieces is a Bus of units as the rules drive it, and a plain map of the units beside it.
type pieces struct {
	memory.Bus
	memory.Units
	g     memory.Geometry
	units map[memory.Addr]memory.Word // as written, cut to what the area has cells for
}

func newPieces(g memory.Geometry, bus memory.Bus) (*pieces, error) {
	u, ok := bus.(memory.Units)
	if !ok {
		return nil, errors.New("a Bus whose addresses count units must be a memory.Units")
	}
	return &pieces{bus, u, g, map[memory.Addr]memory.Word{}}, nil
}

// wordOf is the address of the word that unit a is in.
func (p *pieces) wordOf(a memory.Addr) memory.Addr { return a - a%memory.Addr(p.g.Step()) }

// unit is unit a of a word.
func (p *pieces) unit(a memory.Addr, word memory.Word) memory.Word {
	return word >> p.right(a) & memory.Mask(p.g.Unit)
}

// right is how many bits of its word are right of unit a.
func (p *pieces) right(a memory.Addr) int {
	n := int(a - p.wordOf(a))
	if !p.g.LowFirst {
		n = p.g.Step() - 1 - n
	}
	return n * p.g.Unit
}

// cut is a unit less the bits that the words at a have no cells for.
func (p *pieces) cut(a memory.Addr, unit memory.Word) memory.Word {
	return unit & memory.Mask(p.g.Unit) & (memory.Mask(p.g.Area(a).Width) >> p.right(a))
}

// unitOf is unit i of the n units of a piece, counted as they are addressed.
func (p *pieces) unitOf(piece memory.Word, i, n int) memory.Word {
	if !p.g.LowFirst {
		i = n - 1 - i
	}
	return piece >> (i * p.g.Unit) & memory.Mask(p.g.Unit)
}

// write writes n units from a on, as a word where they are as many.
func (p *pieces) write(a memory.Addr, n int, piece memory.Word) error {
	st := memory.Status(0)
	if n == p.g.Step() {
		st = p.Write(a, piece)
	} else {
		st = p.WritePart(a, n*p.g.Unit, piece)
	}
	if st != 0 {
		return fmt.Errorf("write of %d units at %#x: status %q, want none", n, a, st)
	}
	for i := range n {
		at := a + memory.Addr(i)
		p.units[at] = p.cut(at, p.unitOf(piece, i, n))
	}
	return nil
}

// expect reads n units from a on, as a piece and, where they are as many, as a word: all were written.
func (p *pieces) expect(a memory.Addr, n int) error {
	w, st := p.ReadPart(a, n*p.g.Unit)
	if n == p.g.Step() {
		if whole, wst := p.Read(a); whole != w || wst != st {
			return fmt.Errorf("at %#x a word is %#x, status %q; a piece as wide is %#x, status %q", a, whole, wst, w, st)
		}
	}
	for i := range n {
		at := a + memory.Addr(i)
		if got, want := p.unitOf(w, i, n), p.units[at]; got != want || st != 0 {
			return fmt.Errorf("piece of %d units at %#x: %#x, status %q; want its unit %d to be %#x, no status", n, a, w, st, i, want)
		}
	}
	return nil
}

// ends writes words and reads them unit by unit, and then joined at all addresses inside them.
func ends(g memory.Geometry, bus memory.Bus) error {
	p, err := newPieces(g, bus)
	if err != nil {
		return err
	}
	step := memory.Addr(g.Step())
	for a := range writable(g) {
		if err := p.write(a, int(step), own(a)); err != nil {
			return err
		}
	}
	for a, area := range writable(g) {
		for i := range step {
			if err := p.expect(a+i, 1); err != nil {
				return err
			}
			if a+i <= area.Last-step+1 {
				if err := p.expect(a+i, int(step)); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// piecesBack writes and reads pieces of all widths at random addresses of one area, a plain map beside it.
func piecesBack(g memory.Geometry, bus memory.Bus) error {
	p, err := newPieces(g, bus)
	if err != nil {
		return err
	}
	for a := range writable(g) {
		if err := p.write(a, g.Step(), 0); err != nil {
			return err
		}
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 20_000 {
		area := &g.Areas[r.IntN(len(g.Areas))]
		n := 1 + r.IntN(g.Step())
		a := area.First + memory.Addr(r.Uint64N(uint64(area.Last-area.First)+2-uint64(n)))
		if area.Wired {
			continue
		}
		if r.IntN(2) == 0 {
			// Bits beyond the piece are lost.
			if err := p.write(a, n, memory.Word(r.Uint64())); err != nil {
				return err
			}
		}
		if err := p.expect(a, n); err != nil {
			return err
		}
	}
	return nil
}

// otherUnits writes one unit of fresh words: it alone is written after that, and the others read as they did.
func otherUnits(g memory.Geometry, bus memory.Bus) error {
	p, err := newPieces(g, bus)
	if err != nil {
		return err
	}
	step := memory.Addr(g.Step())
	for a := range writable(g) {
		before, _ := p.Read(a)
		one := a + a/step%step
		if err := p.write(one, 1, ^p.unit(one, before)); err != nil {
			return err
		}
		if err := p.expect(one, 1); err != nil {
			return err
		}
		for other := a; other-a < step; other++ {
			w, st := p.ReadPart(other, g.Unit)
			if other != one && (w != p.unit(other, before) || st != memory.NeverWritten) {
				return fmt.Errorf("unit at %#x after a write to the one at %#x: %#x, status %q; want %#x, status %q",
					other, one, w, st, p.unit(other, before), memory.NeverWritten)
			}
		}
		if _, st := p.Read(a); st != memory.NeverWritten {
			return fmt.Errorf("word at %#x with one unit written: status %q, want %q", a, st, memory.NeverWritten)
		}
	}
	return nil
}

// refusedPieces writes pieces that lie in part in wired store or where nothing answers, and pieces of widths there are not.
func refusedPieces(g memory.Geometry, bus memory.Bus) error {
	p, err := newPieces(g, bus)
	if err != nil {
		return err
	}
	for i := range g.Areas {
		first, last := g.Areas[i].First, g.Areas[i].Last
		// Addresses run in a ring: those of a piece may be on both sides of the last.
		for _, a := range []memory.Addr{(first - 1) & memory.Addr(memory.Mask(g.AddrBits)), last, last - 1} {
			if want := p.refusal(a); want != 0 {
				if err := p.refuses(a, want); err != nil {
					return err
				}
			}
		}
		for _, bits := range []int{-g.Unit, 0, g.Unit - 1, g.Unit + 1, g.Width + g.Unit} {
			if bits > 0 && bits <= g.Width && bits%g.Unit == 0 {
				continue
			}
			if w, st := p.ReadPart(first, bits); w != 0 || st != memory.NoReply {
				return fmt.Errorf("piece of %d bits at %#x: %#x, status %q; want 0, %q", bits, first, w, st, memory.NoReply)
			}
			if st := p.WritePart(first, bits, 0); st != memory.NoReply {
				return fmt.Errorf("write of %d bits at %#x: status %q, want %q", bits, first, st, memory.NoReply)
			}
		}
	}
	return nil
}

// refuses writes a word at a, which must meet the status, and looks whether any unit of it changed.
func (p *pieces) refuses(a memory.Addr, want memory.Status) error {
	look := func() (all []string) {
		for i := range memory.Addr(p.g.Step()) {
			w, st := p.ReadPart((a+i)&memory.Addr(memory.Mask(p.g.AddrBits)), p.g.Unit)
			all = append(all, fmt.Sprintf("%#x %s", w, st))
		}
		return all
	}
	before := look()
	// The store is fresh: a unit written after all shows by its status even if it held ones.
	if got := p.Write(a, ^memory.Word(0)); got != want {
		return fmt.Errorf("write of a word at %#x: status %q, want %q", a, got, want)
	}
	if after := look(); !slices.Equal(before, after) {
		return fmt.Errorf("units from %#x on after a refused write: %q; want %q", a, after, before)
	}
	return nil
}

// refusal is what a write of a word at a should meet: the first refusal of its units.
func (p *pieces) refusal(a memory.Addr) memory.Status {
	for i := range memory.Addr(p.g.Step()) {
		switch area := p.g.Area((a + i) & memory.Addr(memory.Mask(p.g.AddrBits))); {
		case area == nil:
			return memory.NoReply
		case area.Wired:
			return memory.Protected
		}
	}
	return 0
}
