package syntax

// mode reads a mode with its does lines.
func (p *parser) mode() Statement {
	s := &Mode{Mark: p.head()}
	s.Name = p.name("the name of a mode")
	p.heading(&s.Mark)
	p.clauses(&s.Mark, clause{word: "does", once: true, read: func() { s.Does = p.does() }})
	return s
}

// trap reads a trap with its when and does lines.
func (p *parser) trap() Statement {
	s := &Trap{Mark: p.head()}
	s.Name = p.name("the name of a trap")
	s.Text = p.text("what the trap is")
	p.heading(&s.Mark)
	p.clauses(&s.Mark,
		clause{word: "when", once: true, read: func() { s.When = p.wholeExpr() }},
		clause{word: "does", once: true, read: func() { s.Does = p.does() }},
	)
	return s
}

// boot reads what start-up sets.
func (p *parser) boot() Statement {
	s := &Boot{Mark: p.head()}
	p.heading(&s.Mark)
	p.clauses(&s.Mark, clause{word: "does", once: true, read: func() { s.Does = p.does() }})
	return s
}

// duplex reads: duplex active: gap 20 us, gates TT1 and PU1, mate MC1 after 30 us, with its does lines.
func (p *parser) duplex() Statement {
	s := &Duplex{Mark: p.head()}
	s.OnLine = p.name("the name of a flip-flop")
	p.take(":")
	p.takeWord("gap")
	s.Gap = p.duration()
	p.options(
		option{"gates", func() {
			for more := true; more; more = p.acceptWord("and") {
				s.Gates = append(s.Gates, p.name("the name of a channel"))
			}
		}},
		option{"mate", func() {
			s.Mate = p.name("the name of a channel")
			p.takeWord("after")
			s.After = p.duration()
		}})
	p.heading(&s.Mark)
	p.clauses(&s.Mark, clause{word: "does", once: true, read: func() { s.Does = p.does() }})
	return s
}

// interrupt reads an interrupt with its level, when, after and does lines.
func (p *parser) interrupt() Statement {
	s := &Interrupt{Mark: p.head()}
	s.Name = p.name("the name of an interrupt")
	s.Text = p.text("what the interrupt is")
	p.heading(&s.Mark)
	p.clauses(&s.Mark,
		clause{word: "level", once: true, read: func() { s.Level = p.count("a level") }},
		clause{word: "when", once: true, read: func() { s.When = p.wholeExpr() }},
		clause{word: "after", once: true, read: func() { s.After, s.Enable = p.after() }},
		clause{word: "does", once: true, read: func() { s.Does = p.does() }},
	)
	return s
}

// after reads: after 1 order of enable.
func (p *parser) after() (n Number, enable Name) {
	n = p.decimal("how many orders")
	p.takeWord("orders", "order")
	p.takeWord("of")
	enable = p.name("the name of a flip-flop")
	p.endLine("the end of the line")
	return n, enable
}

// undefined reads a group of words that no order reads, with its does and cost lines.
func (p *parser) undefined() Statement {
	s := &Undefined{Mark: p.head(), Pattern: p.drawing()}
	if p.tok().kind == quoted {
		s.Text = p.advance().text
	}
	p.heading(&s.Mark)
	p.clauses(&s.Mark,
		clause{word: "does", once: true, read: func() { s.Does = append([]Line{}, p.does()...) }},
		clause{word: "cost", once: true, read: func() { s.Cost = p.count("a count of cycles") }},
	)
	return s
}
