package overlay

import (
	"iter"
	"slices"

	"coldstart/memory"
)

// A Group is the words of one plug-in in which one column, a data bit or Width+i for parity column i, went one way and must
// not have: all counts are over words that are Fixed.
type Group struct {
	Area   *memory.Area
	Column int
	From   int // the bit on the tape, or the parity bit that belongs to the word there; in the dump it is the other
	Addrs  []memory.Addr
	Of     int // words of the plug-in that have From on the tape

	Right int // of Addrs, words whose parity is right as dumped: they were stored so

	Elsewhere   int // words of all other plug-ins that went the same way
	ElsewhereOf int // of so many that have From on the tape

	// The address bits that all of Addrs have alike, and others of the Of have not: a one in Bits for each, with its Value.
	Bits, Value memory.Addr
	With        int // words of the Of with these address bits
}

// mostColumns is more columns than a word and its parity can have.
const mostColumns = 64 + 16

// A census counts the words of a plug-in by what stands in a column on the tape, and keeps those that have something else.
type census [mostColumns][2]struct {
	of     int
	differ []memory.Addr
}

// group puts the differences that must not be together by plug-in, column and direction.
func (o *Overlay) group() {
	all := map[*memory.Area]*census{}
	for area := range o.areas() {
		all[area] = new(census)
	}
	for i := range o.pairs {
		p := &o.pairs[i]
		for column := range p.area.Columns() {
			if tape, dump, ok := o.bit(p, column); ok {
				c := &all[p.area][column][tape]
				c.of++
				if tape != dump {
					c.differ = append(c.differ, p.addr)
				}
			}
		}
	}
	for area := range o.areas() {
		for column := range area.Columns() {
			for from := range 2 {
				if c := all[area][column][from]; len(c.differ) > 0 {
					o.Groups = append(o.Groups, o.newGroup(all, area, column, from))
				}
			}
		}
	}
}

// newGroup makes a group of what was counted.
func (o *Overlay) newGroup(all map[*memory.Area]*census, area *memory.Area, column, from int) Group {
	c := all[area][column][from]
	g := Group{Area: area, Column: column, From: from, Addrs: c.differ, Of: c.of}
	for other := range o.areas() {
		if other != area {
			g.Elsewhere += len(all[other][column][from].differ)
			g.ElsewhereOf += all[other][column][from].of
		}
	}
	for _, d := range o.Differences {
		if _, there := slices.BinarySearch(g.Addrs, d.Addr); there && d.Parity == FitsDump {
			g.Right++
		}
	}
	o.address(&g)
	return g
}

// areas goes through the plug-ins in the order of their addresses.
func (o *Overlay) areas() iter.Seq[*memory.Area] {
	return func(yield func(*memory.Area) bool) {
		for i := range o.Geometry.Areas {
			if !yield(&o.Geometry.Areas[i]) {
				return
			}
		}
	}
}

// bit is one column of a pair, on the tape and in the dump, and whether it counts. Parity of a word whose data differ says
// nothing of the parity cells.
func (o *Overlay) bit(p *pair, column int) (tape, dump int, ok bool) {
	if p.part.Rule != Fixed || o.blank[p.area] {
		return 0, 0, false
	}
	if column < p.area.Width {
		return int(p.tape >> column & 1), int(p.dump >> column & 1), o.PathBits>>column&1 == 0
	}
	parity, columns := o.parity(*p)
	if parity == NotRead || p.tape != p.dump {
		return 0, 0, false
	}
	column -= p.area.Width
	return int(p.area.ParityBits(p.addr, p.tape) >> column & 1), int(columns >> column & 1), true
}

// address finds the address bits that the words of the group have alike, among all that could be in it.
func (o *Overlay) address(g *Group) {
	ones, zeros := ^memory.Addr(0), ^memory.Addr(0)
	for _, a := range g.Addrs {
		ones, zeros = ones&a, zeros&^a
	}
	varies := memory.Addr(0)
	for p := range o.could(g) {
		varies |= p.addr ^ g.Addrs[0]
	}
	g.Bits = (ones | zeros) & varies
	g.Value = ones & g.Bits
	for p := range o.could(g) {
		if p.addr&g.Bits == g.Value {
			g.With++
		}
	}
}

// could goes through the words that could be in the group: those of its plug-in that have the same bit on the tape.
func (o *Overlay) could(g *Group) iter.Seq[*pair] {
	return func(yield func(*pair) bool) {
		for i := range o.pairs {
			p := &o.pairs[i]
			if p.area != g.Area {
				continue
			}
			if tape, _, ok := o.bit(p, g.Column); ok && tape == g.From && !yield(p) {
				return
			}
		}
	}
}

// Chip is the part that holds the column, "" where the machine file names none.
func (g *Group) Chip(of *memory.Geometry) string {
	chip, _ := of.Chip(g.Area, g.Column)
	return chip.Name
}

// Under gives the differences under a rule.
func (o *Overlay) Under(r Rule) []Difference {
	return slices.DeleteFunc(slices.Clone(o.Differences), func(d Difference) bool { return d.Part.Rule != r })
}

// Told tells whether every bit of a difference went the way of a group of several words in its plug-in: then it is the same
// trouble.
func (o *Overlay) Told(d *Difference) bool {
	for c := range d.Area.Width {
		if d.Bits>>c&1 == 1 && !slices.ContainsFunc(o.Groups, func(g Group) bool {
			return g.Area == d.Area && g.Column == c && g.From == int(d.Tape>>c&1) && len(g.Addrs) > 1
		}) {
			return false
		}
	}
	return d.Bits != 0
}
