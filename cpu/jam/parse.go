package jam

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Form is one way to write a jam, for a person to see.
type Form struct {
	Shape   string // words in capitals stand for something of the machine at hand
	Means   string
	Example string // on the training machine
}

// Forms are the ways to write a jam; numbers are in the machine's own style, bits as its handbook numbers them.
var Forms = []Form{
	{"PLUG-IN CHIP @ADDRESS = 0|1", "one cell of store, by its chip", "ST2 U08 @024107 = 1"},
	{"store ADDRESS bit NUMBER = 0|1", "the same, by its bit", "store 024107 bit 7 = 1"},
	{"store ADDRESS COLUMN = 0|1", "a parity cell", "store 024107 left parity = 0"},
	{"PLUG-IN bit NUMBER dark|lit", "one lamp bit, in all its rows", "LD1 bit 6 dark"},
	{"lamp row ADDRESS bit NUMBER dark|lit", "one lamp", "lamp row 000760 bit 6 dark"},
}

// Level says what the value of a jam means where lines or cells are held true-low, in lines for a person.
var Level = []string{
	"0 and 1 are what the cell itself holds. In a store that the machine file has",
	"inverted, a cell held at 0 reads as 1.",
}

// Parse reads one jam for a machine of the code. The error is one sentence with the nearest right word.
func Parse(code *order.Code, text string) (Jam, error) {
	words := strings.Fields(strings.ReplaceAll(text, "=", " = "))
	p := &parser{code: code, g: &code.Geometry}
	p.head, p.value = p.split(words)
	if p.err != nil {
		return Jam{}, fmt.Errorf("jam %q: %w", list.Safe(list.Brief(text)), p.err)
	}
	j := p.jam()
	if p.err != nil {
		return Jam{}, fmt.Errorf("jam %q: %w", list.Safe(list.Brief(text)), p.err)
	}
	return j, nil
}

// ParseList reads a list of jams, one a line; each remembers its place there. The error is a go/scanner.ErrorList.
func ParseList(code *order.Code, name string, src []byte) ([]Jam, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	var jams []Jam
	for _, r := range records {
		var words []string
		for _, w := range r.Words {
			words = append(words, w.Text)
		}
		j, err := Parse(code, strings.Join(words, " "))
		if err != nil {
			errs.Add(r.Pos, "%v", err)
			continue
		}
		j.Pos = r.Pos
		jams = append(jams, j)
	}
	return jams, errs.Err()
}

// A parser reads one jam; the first thing wrong ends the reading.
type parser struct {
	code  *order.Code
	g     *memory.Geometry
	head  []string
	value int
	err   error
}

// fail notes what is wrong.
func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
}

// split parts the place from the value: `= 0`, `= 1`, `dark` or `lit` at the end.
func (p *parser) split(words []string) (place []string, value int) {
	n := len(words)
	switch {
	case n > 1 && (words[n-1] == "dark" || words[n-1] == "lit"):
		if words[n-1] == "lit" {
			value = 1
		}
		return words[:n-1], value
	case n > 2 && words[n-2] == "=":
		if words[n-1] != "0" && words[n-1] != "1" {
			p.fail("a jam holds a place at 0 or 1, not at %s", list.Safe(words[n-1]))
		}
		value, _ = strconv.Atoi(words[n-1])
		return words[:n-2], value
	}
	p.fail("nothing says at what it is held: %s", p.shape(words))
	return nil, 0
}

// shape says how a jam is written that begins as these words do.
func (p *parser) shape(words []string) string {
	form := "`= 0` or `= 1` belongs at the end, for a lamp `dark` or `lit`"
	if len(words) == 0 {
		return form
	}
	area := p.area(words[0])
	driver := p.rows(func(l order.Lamps) bool { return l.PlugIn == words[0] })
	switch {
	case words[0] == "lamp":
		form = "lamp row ADDRESS bit NUMBER dark|lit"
	case driver != nil:
		form = words[0] + " bit NUMBER dark|lit"
	case area != nil && len(area.Chips) > 0:
		form = words[0] + " CHIP @ADDRESS = 0|1"
	case area != nil || words[0] == "store":
		form = "store ADDRESS bit NUMBER = 0|1"
	default:
		return list.Unknown("place", words[0], p.places())
	}
	return "write it as `" + form + "`"
}

// jam finds the place.
func (p *parser) jam() Jam {
	switch {
	case p.head[0] == "store":
		return p.byBit()
	case p.head[0] == "lamp":
		return p.byRow()
	}
	if a := p.area(p.head[0]); a != nil {
		return p.byChip(a)
	}
	if rows := p.rows(func(l order.Lamps) bool { return l.PlugIn == p.head[0] }); rows != nil {
		return p.byDriver(rows)
	}
	p.fail("%s", p.shape(p.head))
	return Jam{}
}

// places are the words a jam can begin with.
func (p *parser) places() []string {
	all := []string{"store", "lamp"}
	for _, a := range p.g.Areas {
		all = append(all, a.Name)
	}
	for _, l := range p.code.Lamps {
		all = append(all, l.PlugIn)
	}
	return all
}

// area is the area of a name.
func (p *parser) area(name string) *memory.Area {
	for i := range p.g.Areas {
		if p.g.Areas[i].Name == name {
			return &p.g.Areas[i]
		}
	}
	return nil
}

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

// byBit reads `store ADDRESS bit N` and `store ADDRESS COLUMN`.
func (p *parser) byBit() Jam {
	if len(p.head) < 3 {
		p.fail("write it as `store ADDRESS bit NUMBER = 1`")
		return Jam{}
	}
	a := p.address(p.head[1])
	area := p.g.Area(a)
	if p.err == nil && area == nil {
		p.fail("nothing answers at %s: store is %s", p.addr(a), p.ranges())
	}
	if p.err != nil {
		return Jam{}
	}
	if p.head[2] == "bit" && len(p.head) == 4 {
		return p.cell(area, a, p.bit(p.head[3], area.Width))
	}
	want := strings.Join(p.head[2:], " ")
	var columns []string
	for i := range area.Parity {
		name := p.g.ColumnName(area, area.Width+i)
		if name == want {
			return p.cell(area, a, area.Width+i)
		}
		columns = append(columns, name)
	}
	p.fail("%s", list.Unknown("column", want, append(columns, "bit NUMBER")))
	return Jam{}
}

// byChip reads `PLUG-IN CHIP @ADDRESS`.
func (p *parser) byChip(area *memory.Area) Jam {
	if len(p.head) != 3 || !strings.HasPrefix(p.head[2], "@") {
		p.fail("write it as `%s CHIP @ADDRESS = 1`", area.Name)
		return Jam{}
	}
	if len(area.Chips) == 0 {
		p.fail("%s has no chips by name: write it as `store ADDRESS bit NUMBER = 1`", area.Name)
		return Jam{}
	}
	i := slices.IndexFunc(area.Chips, func(c memory.Chip) bool { return c.Name == p.head[1] })
	if i < 0 {
		var chips []string
		for _, c := range area.Chips {
			chips = append(chips, c.Name)
		}
		p.fail("%s", list.Unknown("chip of "+area.Name, p.head[1], chips))
		return Jam{}
	}
	a := p.address(strings.TrimPrefix(p.head[2], "@"))
	if p.err == nil && (a < area.First || a > area.Last) {
		p.fail("%s is not on %s, which holds %s-%s", p.addr(a), area.Name, p.addr(area.First), p.addr(area.Last))
	}
	return p.cell(area, a, area.Chips[i].Column)
}

// cell is the jam of a cell, by its chip where one is named.
func (p *parser) cell(area *memory.Area, a memory.Addr, column int) Jam {
	text := fmt.Sprintf("store %s %s = %d", p.addr(a), p.g.ColumnName(area, column), p.value)
	if chip, ok := p.g.Chip(area, column); ok {
		text = fmt.Sprintf("%s %s @%s = %d", area.Name, chip.Name, p.addr(a), p.value)
	}
	return Jam{text: text, place: cell{a, column}, value: p.value}
}

// byDriver reads `PLUG-IN bit N`: all rows that this plug-in drives.
func (p *parser) byDriver(rows []order.Lamps) Jam {
	if len(p.head) != 3 || p.head[1] != "bit" {
		p.fail("write it as `%s bit NUMBER dark`", p.head[0])
		return Jam{}
	}
	return p.lamp(rows, p.head[0], p.head[2], 0, ^memory.Addr(0))
}

// byRow reads `lamp row ADDRESS bit N`.
func (p *parser) byRow() Jam {
	if len(p.head) != 5 || p.head[1] != "row" || p.head[3] != "bit" {
		p.fail("write it as `lamp row ADDRESS bit NUMBER dark`")
		return Jam{}
	}
	a := p.address(p.head[2])
	rows := p.rows(func(l order.Lamps) bool { return l.First <= a && a <= l.Last })
	if p.err == nil && rows == nil {
		p.fail("%s is no row of lamps: the rows are %s", p.addr(a), p.rowNames())
	}
	if p.err != nil {
		return Jam{}
	}
	return p.lamp(rows, "lamp row "+p.addr(a), p.head[4], a, a)
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
func (p *parser) lamp(rows []order.Lamps, name, number string, first, last memory.Addr) Jam {
	width := p.g.Width
	if area := p.g.Area(rows[0].First); area != nil {
		width = area.Width
	}
	bit := p.bit(number, width)
	if p.err != nil {
		return Jam{}
	}
	var lit []string
	for _, l := range rows {
		if l.Lo <= bit && bit <= l.Hi {
			name += " bit " + p.g.Style.Bit(bit, width)
			return Jam{text: name + " " + shine(p.value), place: lampBit{name, l.PlugIn, bit, first, last}, value: p.value}
		}
		lit = append(lit, p.g.Style.Bit(l.Hi, width)+" to "+p.g.Style.Bit(l.Lo, width))
	}
	p.fail("bit %s of %s lights nothing: lamps are on bits %s", list.Safe(number), name, strings.Join(lit, ", "))
	return Jam{}
}

// bit reads a bit number, decimal, as the handbook counts them; it gives the bit counted from the right.
func (p *parser) bit(text string, width int) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		p.fail("%s is no bit number: bit numbers are decimal", list.Safe(text))
		return 0
	}
	bit, err := p.g.Style.BitFrom(n, width)
	if err != nil {
		p.fail("%v", err)
	}
	return bit
}

// address reads an address.
func (p *parser) address(text string) memory.Addr {
	v, err := p.g.Style.Parse(text)
	if err != nil {
		p.fail("%v", err)
	}
	return memory.Addr(v)
}

// addr writes an address.
func (p *parser) addr(a memory.Addr) string { return p.g.Style.Addr(a, p.g.AddrBits) }

// ranges names where store answers.
func (p *parser) ranges() string {
	var all []string
	for _, a := range p.g.Areas {
		all = append(all, fmt.Sprintf("%s %s-%s", a.Name, p.addr(a.First), p.addr(a.Last)))
	}
	return strings.Join(all, ", ")
}
