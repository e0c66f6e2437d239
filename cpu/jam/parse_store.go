package jam

import (
	"fmt"
	"math/bits"
	"strings"

	"coldstart/cpu"
	"coldstart/memory"
)

// area is the area of a name.
func (p *parser) area(name string) *memory.Area {
	for i := range p.g.Areas {
		if p.g.Areas[i].Name == name {
			return &p.g.Areas[i]
		}
	}
	return nil
}

// plugIn reads what is wrong with a whole plug-in that holds store: it does not reply, a row of it fades, or a chip is stuck.
func (p *parser) plugIn(area *memory.Area, words []string) (string, place) {
	form := area.Name + " CHIP @ADDRESS = 0|1"
	switch rest := words[1:]; {
	case len(rest) == 0 && len(area.Chips) > 0:
		p.fail("nothing says what is wrong there: write it as `%s`", form)
	case len(rest) == 0:
		p.fail("nothing says what is wrong there: write it as `store ADDRESS bit NUMBER = 0|1`")
	case like(rest, "no reply"):
		return area.Name + " no reply", p.stored(memory.Jam{Fault: memory.NoSelect, Addr: area.First})
	case rest[0] == "row":
		return p.row(area, rest[1:])
	case rest[0] == "bit" || len(area.Chips) == 0 && len(rest) > 2 && rest[2] == "=":
		column, end := p.column(area, rest)
		return p.whole(area, column, end, area.Name+" bit NUMBER = 0|1")
	case len(area.Chips) == 0:
		p.chip(area, rest[0])
	default:
		column := p.chip(area, rest[0])
		if len(rest) > 1 && rest[1] != "=" {
			p.write(form)
		}
		return p.whole(area, column, rest[1:], area.Name+" CHIP = 0|1")
	}
	return "", nil
}

// whole is a chip that is stuck, or the cells of a column on a plug-in without chips by name.
func (p *parser) whole(area *memory.Area, column int, words []string, form string) (string, place) {
	if p.err != nil {
		return "", nil
	}
	value := p.value(words, form)
	name := area.Name + " " + p.g.ColumnName(area, column)
	if chip, ok := p.g.Chip(area, column); ok {
		name = area.Name + " " + chip.Name
	}
	j := memory.Jam{Fault: memory.ChipStuck, Addr: area.First, Column: column, Value: value}
	return fmt.Sprintf("%s = %d", name, value), p.stored(j)
}

// row reads `NUMBER [of NUMBER] fades [to 0|1] after TIME`. Rows are told by the low bits of the address; where nobody says how
// many there are, the cells of a chip lie in a square, or in twice as many columns as rows: common practice, no source.
func (p *parser) row(area *memory.Area, words []string) (string, place) {
	const form = "PLUG-IN row NUMBER of NUMBER fades to 0|1 after TIME"
	step := memory.Addr(p.g.Step())
	length := (area.Last-area.First)/step + 1
	rows, value := memory.Addr(1)<<((bits.Len64(uint64(length))-1)/2), 0
	if len(words) > 3 && words[1] == "of" {
		rows = p.address(words[2])
		words = append(words[:1:1], words[3:]...)
	}
	if len(words) > 3 && words[2] == "to" {
		value = p.value([]string{"=", words[3]}, form)
		words = append(words[:2:2], words[4:]...)
	}
	if !like(words, "NUMBER fades after NUMBER UNIT") {
		p.write(form)
	}
	if p.err != nil {
		return "", nil
	}
	after, err := cpu.ParseTime(words[3], words[4])
	row := p.address(words[0])
	switch {
	case p.code.Cycle == 0:
		p.fail("the machine file states no clock, so that nothing fades: time stands still there")
	case err != nil:
		p.fail("%v", err)
	case after == 0:
		p.fail("no row fades after a time of nothing")
	case rows&(rows-1) != 0 || rows < 2 || rows > length:
		p.fail("%s cannot have %s rows: give a power of two up to its %s words", area.Name, p.style(rows), p.style(length))
	case row >= rows:
		p.fail("%s has no row %s: rows are 0 to %s", area.Name, p.style(row), p.style(rows-1))
	}
	j := memory.Jam{Fault: memory.Fades, Addr: area.First + row*step, Value: value, Rows: (rows - 1) * step, After: int64(after)}
	return fmt.Sprintf("%s row %s of %s fades to %d after %v", area.Name, p.style(row), p.style(rows), value, after), p.stored(j)
}

// style writes a small number as the machine file has numbers.
func (p *parser) style(n memory.Addr) string { return p.g.Style.Number(uint64(n)) }

// line reads what is wrong with a data line or an address line of the store.
func (p *parser) line(words []string) (string, place) {
	switch rest := words[2:]; {
	case words[1] == "data" && len(rest) > 1 && rest[0] == "bit":
		return p.dataLine(rest)
	case words[1] == "address" && len(rest) > 1 && rest[0] == "bit":
		return p.addressLine(rest)
	}
	p.write("store " + words[1] + " bit NUMBER = 0|1" + map[string]string{"data": " (read)|(write)"}[words[1]])
	return "", nil
}

// dataLine reads `bit NUMBER = 0|1 (read)|(write)`.
func (p *parser) dataLine(words []string) (string, place) {
	const form = "store data bit NUMBER = 0|1 (read)|(write)"
	j := memory.Jam{Fault: memory.ReadLine, Column: p.bit(words[1], p.g.Width)}
	side := strings.Trim(words[len(words)-1], "()")
	switch {
	case side == "write":
		j.Fault = memory.WriteLine
	case side != "read":
		p.fail("nothing says on which side of the store: write it as `%s`", form)
		return "", nil
	}
	j.Value = p.value(words[2:len(words)-1], form)
	return fmt.Sprintf("store data bit %s = %d (%s)", p.bitText(j.Column, p.g.Width), j.Value, side), p.stored(j)
}

// addressLine reads `bit NUMBER = 0|1`, and `bit NUMBER tied to bit NUMBER = 0|1`.
func (p *parser) addressLine(words []string) (string, place) {
	width := p.g.AddrBits
	j := memory.Jam{Fault: memory.AddressLine, Column: p.bit(words[1], width)}
	name := "store address bit " + p.bitText(j.Column, width)
	rest := words[2:]
	if len(rest) > 3 && like(rest[:4], "tied to bit NUMBER") {
		j.Fault, j.With = memory.AddressTied, p.bit(rest[3], width)
		if rest = rest[4:]; j.With == j.Column {
			p.fail("a line cannot be tied to itself: give two bits")
		}
		j.Column, j.With = min(j.Column, j.With), max(j.Column, j.With)
		name = fmt.Sprintf("store address bit %s tied to bit %s", p.bitText(j.Column, width), p.bitText(j.With, width))
	}
	j.Value = p.value(rest, name+" = 0|1")
	step := memory.Addr(p.g.Step())
	if p.err == nil && memory.Addr(1)<<j.Column < step {
		p.fail("address bit %s says which part of a word is meant: it does not reach the store", shown(words[1]))
	}
	return fmt.Sprintf("%s = %d", name, j.Value), p.stored(j)
}
