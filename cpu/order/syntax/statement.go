package syntax

import (
	"strings"
)

// statementTable gives the reader of each statement by its keyword; the cursor stands at the keyword. To add a
// statement, add a line here, and one in Print.
func statementTable() map[string]func(*parser) Statement {
	return map[string]func(*parser) Statement{
		"machine":   (*parser).title,
		"issue":     (*parser).title,
		"numbers":   (*parser).numbers,
		"word":      (*parser).wordSize,
		"address":   (*parser).addressSize,
		"clock":     (*parser).clock,
		"declares":  (*parser).declares,
		"register":  (*parser).registers,
		"flip-flop": (*parser).registers,
		"counter":   (*parser).registers,
		"store":     (*parser).store,
		"plug-in":   (*parser).plugIn,
		"group":     (*parser).group,
		"choice":    (*parser).choice,
		"mode":      (*parser).mode,
		"order":     (*parser).order,
		"trap":      (*parser).trap,
		"timer":     (*parser).timer,
		"boot":      (*parser).boot,
		"channel":   (*parser).channel,
		"lamps":     (*parser).lamps,
	}
}

// head takes the keyword.
func (p *parser) head() Mark { return Mark{At: p.where(p.advance())} }

// title reads: machine "Millrace 8".
func (p *parser) title() Statement {
	s := &Title{Keyword: p.lead, Mark: p.head()}
	s.Text = p.text("a name")
	p.heading(&s.Mark)
	return s
}

// numbers reads: numbers octal, bit 0 at right.
func (p *parser) numbers() Statement {
	s := &Numbers{Mark: p.head()}
	s.Radix = p.takeWord(radixWords...)
	p.take(",")
	p.takeWord("bit")
	s.First = p.decimal("0 or 1, the number of the end bit")
	p.takeWord("at")
	s.Side = p.takeWord("right", "left")
	p.heading(&s.Mark)
	return s
}

// wordSize reads: word 18 bits, twos complement.
func (p *parser) wordSize() Statement {
	s := &WordSize{Mark: p.head()}
	s.Bits = p.width()
	p.take(",")
	s.Complement = p.takeWord("twos", "ones", "sign-magnitude")
	if s.Complement.Text != "sign-magnitude" {
		p.takeWord("complement")
	}
	p.heading(&s.Mark)
	return s
}

// addressSize reads: address 15 bits, or address 15 bits, 6 digits.
func (p *parser) addressSize() Statement {
	s := &AddressSize{Mark: p.head()}
	s.Bits = p.width()
	if p.accept(",") {
		s.Digits = p.decimal("how many digits")
		p.takeWord("digits")
	}
	p.heading(&s.Mark)
	return s
}

// clock reads: clock 2.5 us.
func (p *parser) clock() Statement {
	s := &Clock{Mark: p.head()}
	s.Time = p.duration()
	p.heading(&s.Mark)
	return s
}

// declares reads: declares 74 orders.
func (p *parser) declares() Statement {
	s := &Declares{Mark: p.head()}
	s.Count = p.decimal("a count")
	s.What = p.takeWord("orders")
	p.heading(&s.Mark)
	return s
}

// registers reads: register A, B: 18 bits; flip-flop minus, zero; counter P: 15 bits, holds next order.
func (p *parser) registers() Statement {
	s := &Registers{Keyword: p.lead, Mark: p.head()}
	switch s.Keyword {
	case "flip-flop":
		s.Names = p.names("a name for a flip-flop")
	case "register":
		s.Names = p.names("a name for a register")
		p.take(":")
		s.Bits = p.width()
	case "counter":
		s.Names = []Name{p.name("a name for the order counter")}
		p.take(":")
		s.Bits = p.width()
		p.take(",")
		p.takeWord("holds")
		s.Holds = p.takeWord("next", "this")
		p.takeWord("order")
	}
	p.heading(&s.Mark)
	return s
}

// store reads a store with its wired, parity and chips lines.
func (p *parser) store() Statement {
	s := &Store{Mark: p.head()}
	for more := true; more; more = p.accept(",") {
		a := Area{Name: p.name("the name of a plug-in")}
		a.First, a.Last = p.span()
		s.Areas = append(s.Areas, a)
	}
	if p.accept(":") {
		s.Bits = p.width()
	}
	p.heading(&s.Mark)
	p.clauses(
		clause{word: "wired", once: true, read: func() { s.Wired = true; p.endLine("the end of the line") }},
		clause{word: "parity", read: func() { s.Parity = append(s.Parity, p.parity()...) }},
		clause{word: "chips", read: func() { s.Chips = append(s.Chips, p.chips()...) }},
	)
	return s
}

// parity reads: parity right odd over 8-0, left odd over 17-9.
func (p *parser) parity() (list []Parity) {
	for more := true; more; more = p.accept(",") {
		c := Parity{Name: p.name("the name of a parity column")}
		c.Odd = p.takeWord("odd", "even").Text == "odd"
		p.takeWord("over")
		c.Bits = p.bits()
		list = append(list, c)
	}
	p.endLine(`"," or the end of the line`)
	return list
}

// chips reads: chips U01-U18 for bits 0-17, U19 for right parity.
func (p *parser) chips() (list []Chips) {
	for more := true; more; more = p.accept(",") {
		c := p.chipRange()
		p.takeWord("for")
		if (p.isWord("bits") || p.isWord("bit")) && p.peek().kind == number {
			p.advance()
			c.Bits = p.bits()
		} else {
			c.Parity = p.name("bits and their numbers, or the name of a parity column")
			p.takeWord("parity")
		}
		list = append(list, c)
	}
	p.endLine(`"," or the end of the line`)
	return list
}

// chipRange takes U07, or U01-U18, which looks like one word: so chips have no hyphen in their names.
func (p *parser) chipRange() Chips {
	n := p.anyWord("a chip, U07, or a row of them, U01-U18")
	first, last, row := strings.Cut(n.Text, "-")
	c := Chips{First: Name{n.At, first}}
	if row {
		at := n.At
		at.Offset += len(first) + 1
		at.Column += len(first) + 1
		c.Last = Name{at, last}
	}
	if strings.Contains(last, "-") || row && !letter(last[0]) {
		p.at--
		p.expected("a row of chips, U01-U18", nil)
	}
	return c
}

// plugIn reads: plug-in RG1 "registers".
func (p *parser) plugIn() Statement {
	s := &PlugIn{Mark: p.head()}
	s.Name = p.name("the name of a plug-in")
	s.Text = p.text("what the plug-in is")
	p.heading(&s.Mark)
	return s
}

// group reads: group r: 00 A, 01 B.
func (p *parser) group() Statement {
	s := &Group{Mark: p.head()}
	s.Field, s.Entries = p.entries()
	p.heading(&s.Mark)
	return s
}

// choice reads: choice i: 0 -, 1 through.
func (p *parser) choice() Statement {
	s := &Choice{Mark: p.head()}
	s.Field, s.Entries = p.entries()
	p.heading(&s.Mark)
	return s
}

// entries reads the field of a group or choice, and the name of each value.
func (p *parser) entries() (field Name, list []Entry) {
	field = p.field()
	p.take(":")
	for more := true; more; more = p.accept(",") {
		v := p.tok()
		if v.kind != number || strings.Trim(v.text, "01") != "" {
			p.expected("a value in binary", nil)
		}
		e := Entry{At: p.here(), Value: p.advance().text}
		e.Name = Name{p.here(), "-"}
		if !p.accept("-") {
			e.Name = p.anyWord(`a name, or "-" for nothing`)
		}
		list = append(list, e)
	}
	return field, list
}

// timer reads: timer sanity: 1600 ms, trap insane.
func (p *parser) timer() Statement {
	s := &Timer{Mark: p.head()}
	s.Name = p.name("the name of a timer")
	p.take(":")
	s.Time = p.duration()
	p.take(",")
	p.takeWord("trap")
	s.Trap = p.name("the name of a trap")
	p.heading(&s.Mark)
	return s
}

// channel reads: channel TC1: code 1, 18 bits.
func (p *parser) channel() Statement {
	s := &Channel{Mark: p.head()}
	s.Name = p.name("the name of a channel")
	p.take(":")
	p.takeWord("code")
	s.Code = p.number("the code of the channel")
	p.take(",")
	s.Bits = p.width()
	p.heading(&s.Mark)
	return s
}

// lamps reads: lamps 760-763: bits 15-0, plug-in LD1.
func (p *parser) lamps() Statement {
	s := &Lamps{Mark: p.head()}
	s.First, s.Last = p.span()
	p.take(":")
	p.takeWord("bits", "bit")
	s.Bits = p.bits()
	p.take(",")
	p.takeWord("plug-in")
	s.PlugIn = p.name("the name of a plug-in")
	p.heading(&s.Mark)
	return s
}
