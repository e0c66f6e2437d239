package overlay

import (
	"fmt"
	"strings"

	"coldstart/memory"
)

// Place is what to put a finger on for a group, such as "ST2 U08 (bit 7)"; a plug-in without named chips gives its column.
func (o *Overlay) Place(g *Group) string {
	column := o.Geometry.ColumnName(g.Area, g.Column)
	if chip := g.Chip(&o.Geometry); chip != "" {
		return fmt.Sprintf("%s %s (%s)", g.Area.Name, chip, column)
	}
	return g.Area.Name + " " + column
}

// Odds is the counts of a group, in a sentence that a reader can count again.
func (o *Overlay) Odds(g *Group) string {
	column := o.Geometry.ColumnName(g.Area, g.Column)
	text := fmt.Sprintf("of %s in %s that must not differ with %s = %d on tape, %d are %d in the dump",
		amount(g.Of, "word"), g.Area.Name, column, g.From, g.Of-len(g.Addrs), g.From)
	if g.ElsewhereOf > 0 {
		text += fmt.Sprintf("; in other plug-ins %d of %d", g.ElsewhereOf-g.Elsewhere, g.ElsewhereOf)
	}
	return text
}

// Means is what the counts of a group speak for, and against, and what parity adds.
func (o *Overlay) Means(g *Group) string {
	k := len(g.Addrs)
	if g.Right == k && k == 1 {
		return "one word whose parity is right: it was stored so, if it is not two cells"
	}
	said := o.counted(g)
	if g.Right > 0 {
		said += fmt.Sprintf("; in %d of %d parity is right, so that it went wrong before its parity was made", g.Right, k)
	}
	return said
}

// counted is what the counts alone speak for.
func (o *Overlay) counted(g *Group) string {
	k := len(g.Addrs)
	chip := g.Chip(&o.Geometry)
	if chip == "" {
		chip = "its chip"
	}
	switch {
	case g.Of == 1:
		return "one word alone says nothing of the chip or the line"
	case k == 1 && g.Elsewhere == 0:
		return "one cell, not the chip or the line"
	case k == g.Of && g.ElsewhereOf > 0 && g.Elsewhere == g.ElsewhereOf:
		return "the line, not a chip: it is so in every plug-in"
	case k == g.Of && g.Elsewhere == 0:
		return chip + " or its socket, not a cell or the line"
	case k == g.Of:
		return "more than " + chip + ": it is so in other plug-ins, though not in all of their words"
	case k == 1:
		return "one cell here, and others in other plug-ins; not the whole chip or the line"
	}
	return fmt.Sprintf("%d cells, not the whole chip or the line", k)
}

// Address is which address bits the words of a group have alike, in a sentence with counts; "" where there is one word, or
// no bit.
func (o *Overlay) Address(g *Group) string {
	if len(g.Addrs) < 2 || g.Bits == 0 {
		return ""
	}
	var bits []string
	for b := o.Geometry.AddrBits - 1; b >= 0; b-- {
		if g.Bits>>b&1 == 1 {
			bits = append(bits, fmt.Sprintf("%s = %d", o.Geometry.Style.Bit(b, o.Geometry.AddrBits), g.Value>>b&1))
		}
	}
	return fmt.Sprintf("all %d have address bits %s; of %s with these, and %d on tape, %d are right", len(g.Addrs), strings.Join(bits, ", "),
		amount(g.With, "word"), g.From, g.With-len(g.Addrs))
}

// Flips says which bits of a difference went which way, and which chips hold them.
func (o *Overlay) Flips(d *Difference) []string {
	var all []string
	add := func(column int, tape, dump memory.Word) {
		g := Group{Area: d.Area, Column: column}
		all = append(all, fmt.Sprintf("%s: %d to %d", o.Place(&g), tape&1, dump&1))
	}
	for c := d.Area.Width - 1; c >= 0; c-- {
		if d.Bits>>c&1 == 1 {
			add(c, d.Tape>>c, d.Dump>>c)
		}
	}
	for c := len(d.Area.Parity) - 1; c >= 0 && d.Bits == 0; c-- {
		if (d.Columns^d.Made)>>c&1 == 1 {
			add(d.Area.Width+c, d.Made>>c, d.Columns>>c)
		}
	}
	return all
}

// InStore tells whether parity shows that the word went bad in the store itself.
func (d *Difference) InStore() bool { return d.Parity == FitsTape || d.Parity == FitsNone }

// Says is what parity says of a difference.
func (d *Difference) Says() string {
	switch {
	case d.Bits == 0:
		return "the data are as on the tape and their parity is wrong: it went bad in the store, at a parity cell"
	case d.Parity == FitsTape:
		return "parity bits still fit the tape word: it went bad in the store, at or after writing"
	case d.Parity == FitsNone:
		return "parity is wrong for this word and for the tape's: it went bad in the store, after another word was written there or in more than one cell"
	case d.Parity == FitsDump:
		return "parity fits the dumped word: wrong before its parity was made, written there later, an even number of cells, or so on another issue of the tape"
	case len(d.Area.Parity) == 0:
		return "this store has no parity"
	}
	return "no parity to tell where it went wrong"
}
