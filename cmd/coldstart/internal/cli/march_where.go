package cli

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"coldstart/memory"
	"coldstart/memory/march"
)

// leads is where the failures lead, and how that is settled: what many have in common comes before each by itself.
func (r *marchReport) leads(g *memory.Geometry) (look, settle []string) {
	f := &r.found
	first := g.Style.Addr(f.First, g.AddrBits)
	settle = []string{"write " + first + " and read it back ten times, from the keys"}
	if area := g.Area(f.First); area != nil {
		settle = append(settle, "pull nothing until the trouble moves when "+area.Name+" is exchanged for its like")
	}
	switch {
	case len(r.Groups) > 0 && f.Bits == memory.Mask(g.Width) && decoding(f):
		return []string{"the address lines and the decoders: whole words go to other places, or come from there"},
			[]string{"write different words at " + first + " and at an address that differs from it in one bit, read both, and go through the bits so"}
	case g.Area(f.First) != g.Area(f.Last) && bits.OnesCount64(uint64(f.Bits)) == 1 && f.Places == f.Words:
		bit := g.Style.Bit(bits.TrailingZeros64(uint64(f.Bits)), g.Width)
		return []string{"bit " + bit + " of every word: its line, or what drives or reads it"},
			[]string{settle[0], "put a probe to the line of bit " + bit + " at both its ends while that is done"}
	case len(r.Groups) == 0: // no bit of a word is wrong
		return each(r.Failures, func(f marchFailure) string { return f.Where }), settle
	}
	return each(r.Groups, func(g marchGroup) string { return g.Where }), settle
}

// each is what is said of each of some things, where something is.
func each[T any](all []T, say func(T) string) []string {
	var said []string
	for _, one := range all {
		if s := say(one); s != "" {
			said = append(said, s)
		}
	}
	return said
}

// decoding is whether no fault of a cell alone would do: what fits all cells are faults of the decoder, or nothing does.
func decoding(f *march.Report) bool {
	return !slices.ContainsFunc(f.Fits, func(k march.Kind) bool { return !strings.HasPrefix(k.Symbol, "AF ") })
}

// groupAt says what cells that failed alike have in common: a cell, a chip, or a line of several plug-ins.
func groupAt(g *memory.Geometry, group march.Group, f *march.Report, tested march.Span) string {
	area := g.Area(group.First)
	one := area.Name + " " + chip(g, area, group.Bit)
	whole := int((area.Last-area.First)/memory.Addr(g.Step())) + 1
	many := fmt.Sprintf("%d words from %s on", group.Cells, g.Style.Addr(group.First, g.AddrBits))
	if f.More > 0 {
		many = "at least " + many // there were more than a report keeps apart
	}
	switch {
	case group.Cells == 1 && f.More == 0:
		return one + " @" + g.Style.Addr(group.First, g.AddrBits)
	case g.Area(group.Last) != area:
		return fmt.Sprintf("bit %s in %s, on more than one plug-in", g.Style.Bit(group.Bit, g.Width), many)
	case group.Cells < whole:
		return one + " in " + many
	case tested.First >= area.First && tested.Last <= area.Last:
		return fmt.Sprintf("%s in all %d words: the chip whole, or a line, since no other plug-in was tested", one, group.Cells)
	}
	return fmt.Sprintf("%s in all %d words: the chip whole", one, group.Cells)
}

// failureAt says where one failure leads.
func failureAt(g *memory.Geometry, f march.Failure) string {
	area := g.Area(f.Addr)
	switch {
	case f.Status&memory.NoReply != 0:
		return area.Name + ", which gives no reply: its select, or nothing is plugged in"
	case f.Bits() != 0:
		var chips []string
		for bit := range area.Width {
			if f.Bits()>>bit&1 == 1 {
				chips = append(chips, chip(g, area, bit))
			}
		}
		return area.Name + " " + strings.Join(chips, ", ")
	case f.Status&memory.ParityWrong != 0:
		return fmt.Sprintf("%s, its parity chips: the word at %s reads right, and its parity does not fit", area.Name, g.Style.Addr(f.Addr, g.AddrBits))
	}
	return ""
}

// chip names what holds a column of an area: the chip and the bit, or the bit alone where the machine file names no chip.
func chip(g *memory.Geometry, area *memory.Area, column int) string {
	name := g.ColumnName(area, column)
	if c, ok := g.Chip(area, column); ok {
		return c.Name + " (" + name + ")"
	}
	return name
}
