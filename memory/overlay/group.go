package overlay

import (
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

// A key tells groups apart.
type key struct {
	area         *memory.Area
	column, from int
}

// group puts the differences that must not be together by plug-in, column and direction.
func (o *Overlay) group() {
	of := map[key][]memory.Addr{}     // all words by what they should have
	differ := map[key][]memory.Addr{} // of these, those that have not
	for i := range o.pairs {
		o.sort(&o.pairs[i], of, differ)
	}
	for area := range o.areas() {
		for column := range area.Columns() {
			for from := range 2 {
				k := key{area, column, from}
				if len(differ[k]) == 0 {
					continue
				}
				g := Group{Area: area, Column: column, From: from, Addrs: differ[k], Of: len(of[k])}
				for other := range o.areas() {
					if other != area {
						g.Elsewhere += len(differ[key{other, column, from}])
						g.ElsewhereOf += len(of[key{other, column, from}])
					}
				}
				for _, d := range o.Differences {
					if _, there := slices.BinarySearch(g.Addrs, d.Addr); there && d.Parity == FitsDump {
						g.Right++
					}
				}
				g.address(of[k])
				o.Groups = append(o.Groups, g)
			}
		}
	}
}

// areas goes through the plug-ins in the order of their addresses.
func (o *Overlay) areas() func(func(*memory.Area) bool) {
	return func(yield func(*memory.Area) bool) {
		for i := range o.Geometry.Areas {
			if !yield(&o.Geometry.Areas[i]) {
				return
			}
		}
	}
}

// sort puts the columns of a pair where they belong. Parity of a word whose data differ says nothing of the parity cells.
func (o *Overlay) sort(p *pair, of, differ map[key][]memory.Addr) {
	if p.part.Rule != Fixed || o.blank[p.area] {
		return
	}
	put := func(column int, tape, dump memory.Word) {
		k := key{p.area, column, int(tape & 1)}
		of[k] = append(of[k], p.addr)
		if (tape^dump)&1 == 1 {
			differ[k] = append(differ[k], p.addr)
		}
	}
	for c := range p.area.Width {
		if o.PathBits>>c&1 == 0 {
			put(c, p.tape>>c, p.dump>>c)
		}
	}
	parity, columns := o.parity(*p)
	if parity == NotRead || p.tape != p.dump {
		return
	}
	made := p.area.ParityBits(p.addr, p.tape)
	for c := range len(p.area.Parity) {
		put(p.area.Width+c, made>>c, columns>>c)
	}
}

// address finds the address bits that the words of the group have alike, among all that could be in it.
func (g *Group) address(all []memory.Addr) {
	ones, zeros := ^memory.Addr(0), ^memory.Addr(0)
	for _, a := range g.Addrs {
		ones, zeros = ones&a, zeros&^a
	}
	varies := memory.Addr(0)
	for _, a := range all {
		varies |= a ^ all[0]
	}
	g.Bits = (ones | zeros) & varies
	g.Value = ones & g.Bits
	for _, a := range all {
		if a&g.Bits == g.Value {
			g.With++
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
