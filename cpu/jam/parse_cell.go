package jam

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// A cell is one bit, or one parity bit, of a word.
type cell struct {
	memory.Cell
	area *memory.Area
}

// byStore reads what begins with `store`: its lines, or a cell by its bit.
func (p *parser) byStore(words []string) (string, place) {
	if len(words) > 1 && (words[1] == "data" || words[1] == "address") {
		return p.line(words)
	}
	c, rest := p.byBit(words[1:])
	return p.wrong(c, rest, "store ADDRESS bit NUMBER = 0|1")
}

// byPlugIn reads what begins with a plug-in that holds store.
func (p *parser) byPlugIn(area *memory.Area, words []string) (string, place) {
	if len(words) > 2 && strings.HasPrefix(words[2], "@") {
		c := p.byChip(area, words[1:])
		return p.wrong(c, words[3:], area.Name+" CHIP @ADDRESS = 0|1")
	}
	return p.plugIn(area, words)
}

// byChip reads `CHIP @ADDRESS`.
func (p *parser) byChip(area *memory.Area, words []string) cell {
	column := p.chip(area, words[0])
	a := p.address(strings.TrimPrefix(words[1], "@"))
	if p.err == nil && (a < area.First || a > area.Last) {
		p.fail("%s is not on %s, which holds %s-%s", p.addr(a), area.Name, p.addr(area.First), p.addr(area.Last))
	}
	return cell{memory.Cell{Addr: a, Column: column}, area}
}

// chip is the column of a chip.
func (p *parser) chip(area *memory.Area, name string) int {
	if len(area.Chips) == 0 {
		p.fail("%s has no chips by name: write it as `store ADDRESS bit NUMBER = 1`", area.Name)
		return 0
	}
	i := slices.IndexFunc(area.Chips, func(c memory.Chip) bool { return c.Name == name })
	if i < 0 {
		var chips []string
		for _, c := range area.Chips {
			chips = append(chips, c.Name)
		}
		p.fail("%s", list.Unknown("chip of "+area.Name, name, chips))
		return 0
	}
	return area.Chips[i].Column
}

// byBit reads `ADDRESS bit N` and `ADDRESS COLUMN`, and gives what follows.
func (p *parser) byBit(words []string) (c cell, rest []string) {
	if len(words) < 2 {
		p.write("store ADDRESS bit NUMBER = 0|1")
		return c, nil
	}
	a := p.address(words[0])
	area := p.g.Area(a)
	if p.err == nil && area == nil {
		p.fail("nothing answers at %s: store is %s", p.addr(a), p.ranges())
	}
	if p.err != nil {
		return c, nil
	}
	column, rest := p.column(area, words[1:])
	return cell{memory.Cell{Addr: a, Column: column}, area}, rest
}

// column reads `bit NUMBER`, or the name of a parity column, and gives what follows.
func (p *parser) column(area *memory.Area, words []string) (column int, rest []string) {
	if words[0] == "bit" && len(words) > 1 {
		return p.bit(words[1], area.Width), words[2:]
	}
	var columns []string
	for i := range area.Parity {
		name := p.g.ColumnName(area, area.Width+i)
		if n := len(strings.Fields(name)); n <= len(words) && strings.Join(words[:n], " ") == name {
			return area.Width + i, words[n:]
		}
		columns = append(columns, name)
	}
	end := len(words)
	if i := slices.Index(words, "="); i > 0 {
		end = i
	}
	if end == 0 || words[0] == "=" {
		p.write("store ADDRESS bit NUMBER = 0|1")
	} else {
		p.fail("%s", list.Unknown("column", strings.Join(words[:end], " "), append(columns, "bit NUMBER")))
	}
	return 0, nil
}

// text names a cell, by its chip where one is named.
func (p *parser) text(c cell) string {
	if chip, ok := p.g.Chip(c.area, c.Column); ok {
		return fmt.Sprintf("%s %s @%s", c.area.Name, chip.Name, p.addr(c.Addr))
	}
	return fmt.Sprintf("store %s %s", p.addr(c.Addr), p.g.ColumnName(c.area, c.Column))
}

// cellIn reads a cell in the midst of a jam.
func (p *parser) cellIn(words []string) (c cell, rest []string) {
	switch {
	case len(words) > 0 && words[0] == "store":
		return p.byBit(words[1:])
	case len(words) > 2 && p.area(words[0]) != nil && strings.HasPrefix(words[2], "@"):
		return p.byChip(p.area(words[0]), words[1:]), words[3:]
	}
	return p.byBit(words)
}

// wrong reads what is wrong with a cell.
func (p *parser) wrong(c cell, rest []string, form string) (string, place) {
	j := memory.Jam{Addr: c.Addr, Column: c.Column}
	if p.err != nil {
		return "", nil
	}
	name := p.text(c)
	switch {
	case like(rest, "never rises"):
		j.Fault = memory.NeverRises
	case like(rest, "never falls"):
		j.Fault = memory.NeverFalls
	case like(rest, "open"):
		j.Fault = memory.StuckOpen
	case len(rest) > 1 && rest[0] == "flips" && rest[1] == "when":
		return p.flips(j, name, rest[2:])
	case len(rest) > 2 && rest[0] == "=" && rest[2] == "when":
		j.Value = p.value(rest[:2], form)
		return p.forced(j, fmt.Sprintf("%s = %d when ", name, j.Value), rest[3:])
	default:
		j.Value = p.value(rest, form)
		return fmt.Sprintf("%s = %d", name, j.Value), p.stored(j)
	}
	return name + " " + strings.Join(rest, " "), p.stored(j)
}

// flips reads what turns a cell round: a write to a word, or another cell that rises or falls.
func (p *parser) flips(j memory.Jam, name string, words []string) (string, place) {
	if like(words, "ADDRESS written") {
		a := p.address(words[0])
		if p.err == nil && p.g.Area(a) == nil {
			p.fail("nothing answers at %s: store is %s", p.addr(a), p.ranges())
		}
		j.Fault, j.By.Addr = memory.Disturbs, a
		return name + " flips when " + p.addr(a) + " written", p.stored(j)
	}
	by, rest := p.cellIn(words)
	if p.err != nil {
		return "", nil
	}
	switch {
	case like(rest, "rises"):
		j.On = 1
	case !like(rest, "falls"):
		p.write("CELL flips when CELL rises|falls")
		return "", nil
	}
	j.Fault, j.By = memory.Inverts, by.Cell
	return name + " flips when " + p.text(by) + " " + rest[0], p.stored(j)
}

// forced reads what makes a cell a value: another cell that rises or falls, or that is 0 or 1.
func (p *parser) forced(j memory.Jam, name string, words []string) (string, place) {
	by, rest := p.cellIn(words)
	if p.err != nil {
		return "", nil
	}
	switch {
	case like(rest, "rises"), like(rest, "is 1"):
		j.On = 1
	case !like(rest, "falls") && !like(rest, "is 0"):
		p.write("CELL = 0|1 when CELL rises|falls|is 0|is 1")
		return "", nil
	}
	j.Fault, j.By = memory.Forces, by.Cell
	if rest[0] == "is" {
		j.Fault = memory.Holds
	}
	return name + p.text(by) + " " + strings.Join(rest, " "), p.stored(j)
}

// stored is a fault of the store, intermittent where that was said.
func (p *parser) stored(j memory.Jam) place {
	j.OneIn, j.Seed = p.chance.OneIn, p.chance.Seed
	return stored{j}
}
