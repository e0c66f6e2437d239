package panel

import (
	"fmt"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Source is where a picture gets its words from.
type Source struct {
	Asked    func(memory.Addr) (memory.Word, bool)            // what was last asked to be stored in a row, if anything was
	Seen     func(memory.Addr) memory.Word                    // what the store shows there
	Light    func(row memory.Addr, w memory.Word) memory.Word // the lamps that the driver lights for a word
	Register func(*order.Register) memory.Word                // nil: a picture without the registers
}

// A Picture is the lamps at one moment.
type Picture struct {
	Lines []Line
	style memory.Style
}

// A Line is one row of a picture.
type Line struct {
	Row
	Asked memory.Word // what was last asked to be stored there; Seen where nothing was
	Seen  memory.Word // what the store, or the register, shows
	Lit   memory.Word // a one for each lamp lit; bits that have no lamp are 0
}

// Picture takes a picture of all store rows, and of the registers if the source has them.
func (p *Panel) Picture(s Source) Picture {
	pic := Picture{style: p.style}
	for _, row := range p.rows {
		seen := s.Seen(row.Addr)
		asked, ok := s.Asked(row.Addr)
		if !ok {
			asked = seen
		}
		pic.Lines = append(pic.Lines, Line{Row: row, Asked: asked, Seen: seen, Lit: s.Light(row.Addr, seen) & row.mask()})
	}
	if s.Register == nil {
		return pic
	}
	for _, row := range p.registers {
		w := s.Register(row.Register)
		pic.Lines = append(pic.Lines, Line{Row: row, Asked: w, Seen: w, Lit: w})
	}
	return pic
}

// mask is the bits of a row that light lamps.
func (r Row) mask() memory.Word { return memory.Mask(r.Hi+1) &^ memory.Mask(r.Lo) }

// String draws the picture: @ is a lit lamp, a point is a dark one, bit numbers stand above where they change, and what
// the store shows stands behind. Where the lamps, the store and what was asked for differ, it is said below the line.
func (p Picture) String() string {
	var b strings.Builder
	names := 0
	for _, l := range p.Lines {
		names = max(names, len(l.Name))
	}
	var above string
	for _, l := range p.Lines {
		numbers, lamps := p.lamps(l)
		if numbers != above {
			fmt.Fprintf(&b, "%-*s %s\n", names, "", numbers)
			above = numbers
		}
		fmt.Fprintf(&b, "%-*s %s   %s\n", names, l.Name, lamps, p.style.Word(l.Seen, l.Width))
		for _, wrong := range p.wrong(l) {
			fmt.Fprintf(&b, "%-*s   %s\n", names, "", wrong)
		}
	}
	return b.String()
}

// lamps are the bit numbers of a line and its lamps below them, leftmost first.
func (p Picture) lamps(l Line) (numbers, lamps string) {
	for bit := l.Hi; bit >= l.Lo; bit-- {
		shape := "."
		if l.Lit>>bit&1 == 1 {
			shape = "@"
		}
		numbers += fmt.Sprintf(" %2s", p.style.Bit(bit, l.Width))
		lamps += fmt.Sprintf(" %2s", shape)
	}
	return numbers, lamps
}

// wrong says where a line is not as it should be: which lamps the driver has wrong, and what was asked of a store that
// shows something else.
func (p Picture) wrong(l Line) []string {
	var wrong []string
	for _, way := range []struct {
		lamps memory.Word
		state string
	}{{l.Lights(l.Seen) &^ l.Lit, "dark"}, {l.Lit &^ l.Lights(l.Seen), "lit"}} {
		if way.lamps &= l.mask(); way.lamps != 0 {
			wrong = append(wrong, fmt.Sprintf("lamp %s %s against the word", p.bits(way.lamps, l.Width), way.state))
		}
	}
	if l.Asked != l.Seen {
		wrong = append(wrong, "asked was "+p.style.Word(l.Asked, l.Width))
	}
	return wrong
}

// bits are the numbers of the ones of w, leftmost first.
func (p Picture) bits(w memory.Word, width int) string {
	var all []string
	for bit := width - 1; bit >= 0; bit-- {
		if w>>bit&1 == 1 {
			all = append(all, p.style.Bit(bit, width))
		}
	}
	return strings.Join(all, ", ")
}
