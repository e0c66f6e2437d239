package syntax

import (
	"fmt"
	"slices"
	"strings"
)

// indexWords may have square brackets behind them.
var indexWords = []string{"channel", "command", "sign", "store", "wrong-parity"}

// enter goes one level deeper into brackets; a line of brackets alone must not use up the stack.
func (p *parser) enter() bool {
	p.depth++
	if p.depth > maxDepth {
		p.depth--
		p.fail(p.tok(), fmt.Sprintf("nested more than %d deep; name a part with let", maxDepth))
		return false
	}
	return true
}

func (p *parser) leave() { p.depth-- }

// wholeExpr reads a value that fills the rest of the line.
func (p *parser) wholeExpr() Expr {
	e := p.expr()
	p.endLine("an operator or the end of the line")
	return e
}

// values reads values between commas.
func (p *parser) values() []Expr {
	list := []Expr{p.expr()}
	for p.accept(",") {
		list = append(list, p.expr())
	}
	return list
}

// expr reads a value: if c then x else y, or what the operators build.
func (p *parser) expr() Expr {
	if !p.enter() {
		return nil
	}
	defer p.leave()
	if !p.isWord("if") {
		return p.binary(0)
	}
	c := &Cond{At: p.where(p.advance()), If: p.expr()}
	if !p.acceptWord("then") {
		p.expected("then", nil)
	}
	c.Then = p.expr()
	if !p.acceptWord("else") {
		p.expected("else", nil)
	}
	c.Else = p.expr()
	return c
}

// levels holds the operators between two values, the loosest first. Below level notLevel, `not` stands before a value.
var levels = [][]string{{"or"}, {"xor"}, {"and"}, {"=", "/=", "<", "<=", ">", ">="}, {"+", "-"}, {":"}}

const (
	notLevel  = 3 // not binds tighter than the levels before this one
	compare   = 3 // the level of comparisons, which do not follow one another
	joinLevel = 5
)

// binary reads values joined by the operators of a level and the tighter ones, from the left.
func (p *parser) binary(level int) Expr {
	if level == len(levels) {
		return p.picked(p.primary())
	}
	if level == notLevel && p.isWord("not") {
		return p.not()
	}
	x := p.binary(level + 1)
	for op := p.tok(); p.operator(level); op = p.tok() {
		at := p.where(p.advance())
		x = &Binary{At: at, Op: op.text, X: x, Y: p.binary(level + 1)}
		if level == compare && p.operator(level) {
			p.expected("brackets round one of two comparisons", nil)
		}
	}
	return x
}

// operator reports whether an operator of a level stands at the cursor.
func (p *parser) operator(level int) bool {
	t := p.tok()
	return (t.kind == word || t.kind == mark) && slices.Contains(levels[level], t.text)
}

// not reads: not x.
func (p *parser) not() Expr {
	if !p.enter() {
		return nil
	}
	defer p.leave()
	return &Unary{At: p.where(p.advance()), Op: "not", X: p.binary(notLevel)}
}

// picked takes the bit picks behind a value.
func (p *parser) picked(x Expr) Expr {
	for p.tok().kind == pick {
		x = &Pick{X: x, Bits: p.pick()}
	}
	return x
}

// pick takes .17 or .14-0.
func (p *parser) pick() Bits {
	at := p.here()
	first, last, _ := strings.Cut(p.advance().text, "-")
	return Bits{At: at, First: first, Last: last}
}

// primary reads a name, a number, a call, an indexed word or a value in brackets.
func (p *parser) primary() Expr {
	t := p.tok()
	switch {
	case t.kind == number || p.radixAhead():
		return &Literal{p.number("a number")}
	case p.accept("("):
		x := p.expr()
		p.take(")")
		return x
	case t.kind != word || slices.Contains(operatorWords, t.text):
		p.expected("a value", nil)
		return nil
	}
	name := Name{p.where(p.advance()), t.text}
	switch {
	case p.accept("("):
		c := &Call{Name: name, Args: p.values()}
		p.take(")")
		return c
	case p.is("["):
		return p.index(name)
	}
	return &Ident{name}
}

// index reads the square brackets behind a name.
func (p *parser) index(name Name) Expr {
	if !slices.Contains(indexWords, name.Text) {
		p.at--
		p.expected(oneOf(indexWords)+` before "["`, indexWords)
	}
	p.take("[")
	x := &Index{Name: name, Args: p.values()}
	p.take("]")
	return x
}

// target reads what a transfer may set: names, indexed words, bits of them, and joins of all these.
func (p *parser) target() Expr {
	x := p.place()
	for p.is(":") {
		at := p.where(p.advance())
		x = &Binary{At: at, Op: ":", X: x, Y: p.place()}
	}
	return x
}

// place reads one piece of a target.
func (p *parser) place() Expr {
	name := p.name("a register or store[...] to set")
	if p.is("[") {
		return p.picked(p.index(name))
	}
	return p.picked(&Ident{name})
}
