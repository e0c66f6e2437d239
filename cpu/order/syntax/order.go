package syntax

import (
	"strings"
)

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
	p.clauses(&s.Mark,
		clause{word: "pattern", list: true, read: func() { s.Patterns = append(s.Patterns, p.patterns()...) }},
		clause{word: "each", read: func() { s.Each = append(s.Each, p.each()) }},
		clause{word: "except", list: true, read: func() { s.Except = append(s.Except, p.except()...) }},
		clause{word: "operand", read: func() { s.As = append(s.As, p.as()) }},
		clause{word: "mode", list: true, read: func() { s.Modes = append(s.Modes, p.modes()...) }, here: ownMode},
		clause{word: "must", read: func() { s.Must = append(s.Must, p.wholeExpr()) }},
		clause{word: "does", once: true, read: func() { s.Does = p.acts(done); done = true }},
		clause{word: "unknown", once: true, read: func() { s.Unknown = p.unknown(done); done = true }},
		clause{word: "cost", once: true, read: func() { s.Cost = p.count("a count of cycles") }},
		clause{word: "check", read: func() { s.Checks = append(s.Checks, p.check()) }},
	)
	return s
}

// pageAhead reports whether the page reference of a head line stands at the cursor.
func (p *parser) pageAhead() bool {
	return (p.isWord("page") || p.isWord("replaces")) && p.peek().kind != lineEnd
}

// headMarked reports whether a mode line carries, behind its name, a page, as only head lines do.
func (p *parser) headMarked() bool {
	t := p.toks[min(2, len(p.toks)-1)]
	return t.kind == word && t.text == "page"
}

// acts reads the does lines of an order, unless unknown stands above them.
func (p *parser) acts(unknown bool) []Line {
	if unknown {
		p.at--
		p.fail(p.tok(), "unknown stands in place of does; leave out one of them")
	}
	return p.does()
}

// unknown reads the word that stands in place of does.
func (p *parser) unknown(does bool) Name {
	p.at--
	if does {
		p.fail(p.tok(), "unknown stands in place of does; leave out one of them")
	}
	n := p.anyWord("unknown")
	p.endLine("the end of the line")
	return n
}

// each reads: each c: 00 zero = (zero = 1), 01 minus = (minus = 1).
func (p *parser) each() Each {
	e := Each{At: p.where(p.toks[p.at-1]), Field: p.field()}
	p.take(":")
	for more := true; more; more = p.accept(",") {
		v := EachEntry{At: p.here(), Value: p.binaryDigits()}
		v.Name = p.anyWord("a word for the name of the order")
		p.take("=")
		p.take("(")
		v.Is = p.expr()
		p.take(")")
		e.Entries = append(e.Entries, v)
	}
	p.endLine(`"," or the end of the line`)
	return e
}

// except reads the names of the orders that come before this one.
func (p *parser) except() (list []Name) {
	for more := true; more; more = p.accept(",") {
		list = append(list, p.anyWord("the name of an order"))
	}
	p.endLine(`"," or the end of the line`)
	return list
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
		list = append(list, p.drawing())
	}
	p.endLine(`"/" or the end of the line`)
	return list
}

// drawing reads the drawing of one word.
func (p *parser) drawing() Pattern {
	if p.tok().kind != drawing {
		p.expected("a pattern of 0, 1, field letters, * and ?", nil)
	}
	d := Pattern{At: p.here()}
	for p.tok().kind == drawing {
		d.Text += p.advance().text
	}
	return d
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

// count reads a number that fills the rest of the line: cost 2.
func (p *parser) count(what string) Number {
	n := p.decimal(what)
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
