package syntax

import (
	"fmt"
	"go/token"
	"slices"

	"coldstart/loader/list"
)

// does reads lines of transfers, the first one beside the keyword or below it, up to the next clause or statement.
func (p *parser) does() []Line {
	if p.peek().kind == lineEnd {
		p.doubtMark() // of a does that stands alone
	}
	if p.tok().kind != lineEnd && p.classify() && p.class == headLine {
		p.expected("a transfer or an action", nil)
	}
	if p.class == headLine { // nothing stands beside the keyword, or nothing that can be read
		p.nextLine()
	}
	lines := p.lines()
	for !p.done && p.class == closeLine {
		p.expected("an if or repeat before it", nil)
		p.nextLine()
		lines = append(lines, p.lines()...)
	}
	return lines
}

// lines reads lines until one that is none: a head line, else, or end.
func (p *parser) lines() (lines []Line) {
	for !p.done {
		switch p.class {
		case transferLine, actionLine:
			lines = append(lines, p.parts())
			p.endLine(`";" or the end of the line`)
		case blockLine:
			lines = append(lines, p.block())
		default:
			return lines
		}
	}
	return lines
}

// block reads a let, an if or a repeat.
func (p *parser) block() Line {
	switch p.lead {
	case "let":
		return p.let()
	case "repeat":
		return p.repeat()
	}
	return p.choose()
}

// let reads: let v = store[at].
func (p *parser) let() Line {
	l := &Let{At: p.where(p.advance()), Name: p.name("a name for a value")}
	p.take("=")
	l.Value = p.wholeExpr()
	return l
}

// repeat reads: repeat 16 times while more = 1, with its lines and its end.
func (p *parser) repeat() Line {
	r := &Repeat{At: p.where(p.advance()), Times: p.decimal("how many times at most")}
	p.takeWord("times")
	if p.acceptWord("while") {
		r.Cond = p.expr()
	}
	p.endLine("while or the end of the line")
	r.Body = p.body()
	p.closed("repeat", r.At)
	return r
}

// choose reads an if, on one line or as a block.
func (p *parser) choose() Line {
	c := &If{At: p.where(p.advance()), Cond: p.expr()}
	// A wrong if is a block only where nothing on its line says otherwise, lest an end be missed that nobody meant.
	c.Flat = p.tok().kind != lineEnd && !p.is("?") || p.failed && slices.ContainsFunc(p.toks, item.isThen)
	if c.Flat {
		if !p.acceptWord("then") {
			p.expected("then or the end of the line", nil)
		}
		c.Then = []Line{p.parts()}
		if p.acceptWord("else") {
			c.Else = []Line{p.parts()}
		}
		p.endLine(`";", else or the end of the line`)
		return c
	}
	p.endLine("then or the end of the line")
	c.Then = p.body()
	if p.lead == "else" && p.class == closeLine {
		p.advance()
		p.endLine("the end of the line")
		c.Else = append([]Line{}, p.body()...) // not nil, though nothing may stand below
	}
	p.closed("if", c.At)
	return c
}

// isThen reports whether a token is the word then.
func (t item) isThen() bool { return t.kind == word && t.text == "then" }

// body reads the lines of a block. Where blocks nest too deep the rest of the file is given up: it would only bring
// more errors of that kind.
func (p *parser) body() []Line {
	if p.blocks == maxDepth {
		p.fail(p.tok(), fmt.Sprintf("blocks nest more than %d deep", maxDepth))
		p.rest, p.stopped = "", true
		p.nextLine()
		return nil
	}
	p.blocks++
	defer func() { p.blocks-- }()
	return p.lines()
}

// closed takes the end line of a block that was opened at a place.
func (p *parser) closed(what string, opened token.Position) {
	if p.class == closeLine && p.lead == "end" {
		p.advance()
		p.endLine("the end of the line")
		return
	}
	if p.stopped {
		return
	}
	found := "the end of the file"
	if !p.done {
		found = fmt.Sprintf("%s in line %d", show(p.tok().text), p.line)
	}
	p.errs.Add(opened, fmt.Sprintf("expected end to close this %s, found %s", what, found))
	if p.class == closeLine {
		p.nextLine() // a second else
	}
}

// parts reads transfers and actions that happen together.
func (p *parser) parts() Line {
	at := p.here()
	first := p.part()
	if !p.is(";") {
		return first
	}
	t := &Together{At: at, Parts: []Line{first}}
	for p.accept(";") {
		t.Parts = append(t.Parts, p.part())
	}
	return t
}

// part reads one transfer or action.
func (p *parser) part() Line {
	t := p.tok()
	if t.kind != word {
		p.expected("a transfer or an action", nil)
		return nil
	}
	if p.transferAhead() {
		return p.transfer()
	}
	a := &Action{At: p.here(), Verb: t.text}
	switch t.text {
	case "halt":
		p.advance()
		if p.acceptWord("for") {
			p.takeWord("good")
			a.Final = true
		}
	case "wait", "spend":
		p.advance()
		a.Arg = p.expr()
	case "restart":
		p.advance()
		a.Name = p.name("the name of a timer")
	case "trap":
		p.advance()
		a.Name = p.name("the name of a trap")
	default:
		if p.peek().kind != mark && list.Nearest(t.text, actionWords) != "" {
			p.expected("a transfer or an action", actionWords)
		}
		return p.transfer()
	}
	return a
}

// transfer reads: carry, r <- carry(r, s), add(r, s).
func (p *parser) transfer() Line {
	t := &Transfer{At: p.here(), Targets: []Expr{p.target()}}
	for p.accept(",") {
		t.Targets = append(t.Targets, p.target())
	}
	p.take("<-")
	t.Sources = p.values()
	return t
}
