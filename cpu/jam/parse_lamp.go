package jam

import (
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// rows are the lamp rows of the machine file that are meant; nil where none is.
func (p *parser) rows(meant func(order.Lamps) bool) []order.Lamps {
	var all []order.Lamps
	for _, l := range p.code.Lamps {
		if meant(l) {
			all = append(all, l)
		}
	}
	return all
}

// byDriver reads `PLUG-IN bit N dark|lit`: all rows that this plug-in drives.
func (p *parser) byDriver(rows []order.Lamps, words []string) (string, place) {
	form := words[0] + " bit NUMBER dark|lit"
	if len(words) < 3 || words[1] != "bit" {
		p.write(form)
		return "", nil
	}
	value := p.value(words[3:], form, "dark", "lit")
	return p.lamp(lampBit{name: words[0], value: value, last: ^memory.Addr(0)}, rows, words[2])
}

// byRow reads `lamp row ADDRESS bit N dark|lit`.
func (p *parser) byRow(words []string) (string, place) {
	const form = "lamp row ADDRESS bit NUMBER dark|lit"
	if len(words) < 5 || words[1] != "row" || words[3] != "bit" {
		p.write(form)
		return "", nil
	}
	value := p.value(words[5:], form, "dark", "lit")
	a := p.address(words[2])
	rows := p.rows(func(l order.Lamps) bool { return l.First <= a && a <= l.Last })
	if p.err == nil && rows == nil {
		p.fail("%s is no row of lamps: the rows are %s", p.addr(a), p.rowNames())
	}
	if p.err != nil {
		return "", nil
	}
	return p.lamp(lampBit{name: "lamp row " + p.addr(a), value: value, first: a, last: a}, rows, words[4])
}

// rowNames names the rows of lamps there are.
func (p *parser) rowNames() string {
	var all []string
	for _, l := range p.code.Lamps {
		all = append(all, p.addr(l.First)+"-"+p.addr(l.Last))
	}
	if all == nil {
		return "none"
	}
	return strings.Join(all, ", ")
}

// lamp is the jam of a bit that lights a lamp, in those of its rows that lie from first to last. All rows of a plug-in
// count their bits alike.
func (p *parser) lamp(l lampBit, rows []order.Lamps, number string) (string, place) {
	width := p.g.Width
	if area := p.g.Area(rows[0].First); area != nil {
		width = area.Width
	}
	l.bit, l.chance = p.bit(number, width), p.chance
	if p.err != nil {
		return "", nil
	}
	var lit []string
	for _, r := range rows {
		if r.Lo <= l.bit && l.bit <= r.Hi {
			l.name += " bit " + p.bitText(l.bit, width)
			l.plugIn = r.PlugIn
			return l.name + " " + shine(l.value), l
		}
		lit = append(lit, p.bitText(r.Hi, width)+" to "+p.bitText(r.Lo, width))
	}
	p.fail("bit %s of %s lights nothing: lamps are on bits %s", shown(number), l.name, strings.Join(lit, ", "))
	return "", nil
}
