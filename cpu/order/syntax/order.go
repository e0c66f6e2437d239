package syntax

import (
	"strings"
)

// mode reads a mode with its does lines.
func (p *parser) mode() Statement {
	s := &Mode{Mark: p.head()}
	s.Name = p.name("the name of a mode")
	p.heading(&s.Mark)
	p.clauses(clause{word: "does", once: true, read: func() { s.Does = p.does() }})
	return s
}

// trap reads a trap with its when and does lines.
func (p *parser) trap() Statement {
	s := &Trap{Mark: p.head()}
	s.Name = p.name("the name of a trap")
	s.Text = p.text("what the trap is")
	p.heading(&s.Mark)
	p.clauses(
		clause{word: "when", once: true, read: func() { s.When = p.wholeExpr() }},
		clause{word: "does", once: true, read: func() { s.Does = p.does() }},
	)
	return s
}

// boot reads what start-up sets.
func (p *parser) boot() Statement {
	s := &Boot{Mark: p.head()}
	p.heading(&s.Mark)
	p.clauses(clause{word: "does", once: true, read: func() { s.Does = p.does() }})
	return s
}

// order reads an order with all its clauses. A mode line stands before does: after it, it begins a statement.
func (p *parser) order() Statement {
	s := &Order{Mark: p.head()}
	s.Name = p.anyWord("the name of an order")
	if p.tok().kind == word && !p.pageAhead() {
		s.Operands = p.operands()
	}
	p.heading(&s.Mark)
	done := false
	ownMode := func() bool { return !done && !p.headMarked() }
	p.clauses(
		clause{word: "pattern", read: func() { s.Patterns = append(s.Patterns, p.patterns()...) }},
		clause{word: "operand", read: func() { s.As = append(s.As, p.as()) }},
		clause{word: "mode", read: func() { s.Modes = append(s.Modes, p.modes()...) }, here: ownMode},
		clause{word: "must", read: func() { s.Must = append(s.Must, p.wholeExpr()) }},
		clause{word: "does", once: true, read: func() { s.Does = p.does(); done = true }},
		clause{word: "cost", once: true, read: func() { s.Cost = p.cost() }},
		clause{word: "check", read: func() { s.Checks = append(s.Checks, p.check()) }},
	)
	return s
}

// pageAhead reports whether the page reference of a head line stands at the cursor.
func (p *parser) pageAhead() bool { return p.isWord("page") && p.peek().kind != lineEnd }

// headMarked reports whether a mode line carries, behind its name, what only head lines carry.
func (p *parser) headMarked() bool {
	t := p.toks[min(2, len(p.toks)-1)]
	return t.kind == word && t.text == "page" || t.kind == mark && t.text == "?"
}

// operands reads: r, i a.
func (p *parser) operands() (list []Operand) {
	for more := true; more; more = p.accept(",") {
		o := Operand{Fields: []Name{p.field()}}
		for p.tok().kind == word && !p.pageAhead() {
			o.Fields = append(o.Fields, p.field())
		}
		list = append(list, o)
	}
	return list
}

// patterns reads the drawings of an order's words, a stroke between two words.
func (p *parser) patterns() (list []Pattern) {
	for more := true; more; more = p.accept("/") {
		if p.tok().kind != drawing {
			p.expected("a pattern of 0, 1, field letters, * and ?", nil)
		}
		d := Pattern{At: p.here()}
		for p.tok().kind == drawing {
			d.Text += p.advance().text
		}
		list = append(list, d)
	}
	p.endLine(`"/" or the end of the line`)
	return list
}

// as reads: operand a as page:a.
func (p *parser) as() As {
	a := As{At: p.where(p.toks[p.at-1]), Field: p.field()}
	p.takeWord("as")
	a.Value = p.wholeExpr()
	return a
}

// modes reads the names on the mode line of an order.
func (p *parser) modes() []Name {
	list := p.names("the name of a mode")
	p.endLine(`"," or the end of the line`)
	return list
}

// cost reads: cost 2.
func (p *parser) cost() Number {
	n := p.decimal("a count of cycles")
	p.endLine("the end of the line")
	return n
}

// check reads: check "0001 00" reads "load A", or: check A = 1 : A = 2.
func (p *parser) check() Check {
	c := Check{At: p.where(p.toks[p.at-1])}
	if t := p.tok(); t.kind == quoted {
		c.Words = strings.Split(p.advance().text, "/")
		for i, w := range c.Words {
			c.Words[i] = strings.Join(strings.Fields(w), " ")
			if strings.Trim(w, "01 ") != "" || c.Words[i] == "" {
				p.at--
				p.expected("words in binary, a / between two", nil)
			}
		}
		p.takeWord("reads")
		c.Reads = p.text("order text")
	} else {
		c.Before = p.settings()
		p.take(":")
		c.After = p.settings()
	}
	p.endLine("the end of the line")
	return c
}

// settings reads: A = 123, store[12] = 0.
func (p *parser) settings() (list []Setting) {
	for more := true; more; more = p.accept(",") {
		s := Setting{Place: p.target()}
		p.take("=")
		s.Value = p.number("a number")
		list = append(list, s)
	}
	return list
}
