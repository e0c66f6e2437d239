package syntax

import (
	"fmt"
	"go/token"
	"slices"

	"coldstart/loader/list"
)

// does reads lines of transfers, the first one beside the keyword or below it, up to the next clause or statement.
func (p *parser) does() []Line {
	if p.tok().kind == lineEnd {
		p.nextLine()
	} else if p.classify() && p.class == headLine {
		p.expected("a transfer or an action", nil)
		p.nextLine()
	} else if p.class == headLine {
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
func (p *parser) lines() (list []Line) {
	for !p.done {
		switch p.class {
		case transferLine, actionLine:
			list = append(list, p.parts())
			p.endLine(`";" or the end of the line`)
		case blockLine:
			list = append(list, p.block())
		default:
			return list
		}
	}
	return list
}

// block reads a let, an if or a repeat.
func (p *parser) block() Line {
	at := p.here()
	switch p.lead {
	case "let":
		p.advance()
		l := &Let{At: at, Name: p.name("a name for a value")}
		p.take("=")
		l.Value = p.wholeExpr()
		return l
	case "repeat":
		p.advance()
		r := &Repeat{At: at, Times: p.decimal("how many times at most")}
		p.takeWord("times")
		if p.acceptWord("while") {
			r.Cond = p.expr()
		}
		p.endLine("while or the end of the line")
		r.Body = p.body()
		p.closed("repeat", at)
		return r
	}
	p.advance()
	c := &If{At: at, Cond: p.expr()}
	if p.acceptWord("then") {
		c.Flat = true
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
		c.Else = p.body()
	}
	p.closed("if", at)
	return c
}

// body reads the lines of a block; blocks nest no deeper than values do.
func (p *parser) body() []Line {
	if !p.enter() {
		p.stop()
		return nil
	}
	defer p.leave()
	return p.lines()
}

// stop gives up the rest of the file after an error that would only bring more of its kind.
func (p *parser) stop() {
	p.rest, p.stopped = nil, true
	p.nextLine()
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

// transferAhead reports whether the word at the cursor begins a transfer, whatever the word is.
func (p *parser) transferAhead() bool {
	next := p.peek()
	return next.kind == pick || next.kind == mark && slices.Contains(transferMarks, next.text)
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
