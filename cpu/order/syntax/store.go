package syntax

import "strings"

// store reads a store with its clauses.
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
	p.clauses(&s.Mark,
		clause{word: "wired", once: true, read: func() { s.Wired = true; p.endLine("the end of the line") }},
		clause{word: "inverted", once: true, read: func() { s.Inverted = true; p.endLine("the end of the line") }},
		clause{word: "parity", list: true, read: func() { s.Parity = append(s.Parity, p.parity()...) }},
		clause{word: "check-bit", read: func() { s.CheckBits = append(s.CheckBits, p.checkBit()) }},
		clause{word: "corrects", once: true, read: func() { s.Corrects = p.corrects() }},
		clause{word: "chips", list: true, read: func() { s.Chips = append(s.Chips, p.chips()...) }},
	)
	return s
}

// parity reads: parity right odd over 8-0, left odd over 17-9.
func (p *parser) parity() (list []Parity) {
	for more := true; more; more = p.accept(",") {
		c := p.column("the name of a parity column")
		c.Address = p.withAddress()
		list = append(list, c)
	}
	p.endLine(`"," or the end of the line`)
	return list
}

// column reads a parity column up to its first run of bits.
func (p *parser) column(what string) Parity {
	c := Parity{Name: p.name(what)}
	c.Odd = p.takeWord("odd", "even").Text == "odd"
	p.takeWord("over")
	c.Bits = p.bits()
	return c
}

// withAddress reads: and address; that may end a column.
func (p *parser) withAddress() bool {
	and := p.acceptWord("and")
	if and {
		p.takeWord("address")
	}
	return and
}

// checkBit reads: check-bit C1 odd over 17 15 13-11.
func (p *parser) checkBit() Parity {
	c := p.column("the name of a check bit")
	for p.tok().kind == number {
		c.More = append(c.More, p.bits())
	}
	c.Address = p.withAddress()
	p.endLine("a bit number or the end of the line")
	return c
}

// corrects reads: corrects once.
func (p *parser) corrects() bool {
	p.takeWord("once")
	p.endLine("the end of the line")
	return true
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

// protect reads: protect 4000-5777 when key = 0, or protect ST1 when key = 0.
func (p *parser) protect() Statement {
	s := &Protect{Mark: p.head()}
	if p.tok().kind == word {
		s.Area = p.name("an address or the name of an area of store")
	} else {
		s.First, s.Last = p.span()
	}
	p.takeWord("when")
	s.When = p.expr()
	p.heading(&s.Mark)
	return s
}

// mirror reads: mirror 0-3777 when mate = 1, parity copied.
func (p *parser) mirror() Statement {
	s := &Mirror{Mark: p.head()}
	s.First, s.Last = p.span()
	p.takeWord("when")
	s.When = p.expr()
	p.take(",")
	p.takeWord("parity")
	s.Parity = p.takeWord("remade", "copied")
	p.heading(&s.Mark)
	return s
}
