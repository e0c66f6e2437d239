// Package panel gives the lamps of a machine their names and takes pictures of them: what a program asked a row of lamps
// to show, what the store shows, and which lamps the driver lights. A drawing tells lit from dark by shape alone, so that
// it reads the same on paper.
package panel

import (
	"fmt"
	"strconv"
	"strings"

	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Panel is the lamps of a machine file: those of its store rows, and one for each bit of its registers.
type Panel struct {
	style     memory.Style
	rows      []Row
	registers []Row
}

// A Row is a run of lamps lit by the bits of one store word or one register.
type Row struct {
	Name     string          // the address in the machine's own style, or the name of the register
	Addr     memory.Addr     // of the store word
	Register *order.Register // nil for a store word
	Width    int             // bits of the whole word
	Hi, Lo   int             // the bits that light lamps, counted from the right
	Inverted bool            // a zero lights a lamp
	PlugIn   string          // what drives the lamps; "" for a register
}

// Lights is the lamps that a word in the row should light: a one for each, beside bits that have no lamp.
func (r Row) Lights(w memory.Word) memory.Word {
	if r.Inverted {
		return w ^ memory.Mask(r.Width)
	}
	return w
}

// A Lamp is one lamp of a Row.
type Lamp struct {
	Row Row
	Bit int // of its word, counted from the right
}

// New is the panel of a machine file: store rows in the order of the file, then registers.
func New(code *order.Code) *Panel {
	p := &Panel{style: code.Geometry.Style}
	for _, l := range code.Lamps {
		for a := l.First; a <= l.Last; a++ {
			p.rows = append(p.rows, Row{
				Name: p.style.Addr(a, code.Geometry.AddrBits), Addr: a, Width: width(&code.Geometry, a),
				Hi: l.Hi, Lo: l.Lo, Inverted: l.Inverted, PlugIn: l.PlugIn,
			})
		}
	}
	for _, r := range code.Registers {
		p.registers = append(p.registers, Row{Name: r.Name, Register: r, Width: r.Width, Hi: r.Width - 1})
	}
	return p
}

// width is the data bits of the word at an address.
func width(g *memory.Geometry, a memory.Addr) int {
	for i := range g.Areas {
		if area := &g.Areas[i]; area.First <= a && a <= area.Last {
			return area.Width
		}
	}
	return g.Width
}

// Rows are the store rows that light lamps, in the order of the machine file; they are not to be changed.
func (p *Panel) Rows() []Row { return p.rows }

// Row is the store row at an address; false where that word lights nothing.
func (p *Panel) Row(a memory.Addr) (Row, bool) {
	for _, r := range p.rows {
		if r.Addr == a {
			return r, true
		}
	}
	return Row{}, false
}

// Name is what a lamp is called: row and bit number in the machine's own style, such as 000760.6, or a flip-flop alone.
func (p *Panel) Name(l Lamp) string {
	if l.Row.Width == 1 {
		return l.Row.Name
	}
	return l.Row.Name + "." + p.style.Bit(l.Bit, l.Row.Width)
}

// Lamp is the lamp of a name, as Name gives it; leading zeros of an address may be left out. The error is one sentence.
func (p *Panel) Lamp(name string) (Lamp, error) {
	at, bit, dotted := strings.Cut(name, ".")
	row, err := p.find(at)
	if err != nil {
		return Lamp{}, err
	}
	if !dotted && row.Width > 1 {
		return Lamp{}, fmt.Errorf("%q names a row, not a lamp; write a bit after it, such as %s", name, p.Name(Lamp{row, row.Lo}))
	}
	i := 0
	if dotted {
		n, err := strconv.Atoi(bit)
		if err != nil {
			return Lamp{}, fmt.Errorf("%q names no lamp; after the point belongs a bit number, such as %s", name, p.Name(Lamp{row, row.Lo}))
		}
		if i, err = p.style.BitFrom(n, row.Width); err != nil {
			return Lamp{}, err
		}
	}
	if i < row.Lo || i > row.Hi {
		return Lamp{}, fmt.Errorf("bit %s of row %s lights nothing; bits %s to %s do", bit, row.Name,
			p.style.Bit(row.Hi, row.Width), p.style.Bit(row.Lo, row.Width))
	}
	return Lamp{row, i}, nil
}

// find is the row of a name.
func (p *Panel) find(name string) (Row, error) {
	var known []string
	for _, rows := range [][]Row{p.rows, p.registers} {
		for _, r := range rows {
			if r.Name == name || r.Register == nil && sameNumber(p.style, r.Addr, name) {
				return r, nil
			}
			known = append(known, r.Name)
		}
	}
	return Row{}, fmt.Errorf("%s", list.Unknown("lamp row or register", name, known))
}

// sameNumber is whether name is the address a.
func sameNumber(style memory.Style, a memory.Addr, name string) bool {
	n, err := style.Parse(name)
	return err == nil && memory.Addr(n) == a
}
