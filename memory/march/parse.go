package march

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// A test is not longer than this, and leaves not more directions open: those of fame have 26 operations and 4 eithers at most,
// and Cover tries all ways to take them.
const (
	mostOps     = 64
	mostEithers = 6
)

// Parse reads a test in the notation of the package comment; blanks between its parts do not matter. A test that a good
// memory would fail is refused: a read must expect what the test wrote last. The error is one sentence that begins with the
// column, counted from 1.
func Parse(text string) (Test, error) {
	p := parser{text: text, held: unknown}
	var t Test
	for {
		t.Elements = append(t.Elements, p.element())
		if p.err != nil {
			return Test{}, p.err
		}
		p.blanks()
		if p.at == len(text) {
			return t, nil
		}
		if p.want(";"); p.err != nil {
			return Test{}, p.err
		}
	}
}

// unknown is what a cell holds that the test has not written.
const unknown = 2

// A parser reads one test; the first thing wrong ends the reading.
type parser struct {
	text    string
	at      int
	ops     int
	eithers int
	held    uint8 // by every cell, when the operation at hand is done on it
	err     error
}

// fail notes what is wrong at a place in the text.
func (p *parser) fail(at int, format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf("column %d: %s", at+1, fmt.Sprintf(format, args...))
	}
}

func (p *parser) blanks() {
	for p.at < len(p.text) && (p.text[p.at] == ' ' || p.text[p.at] == '\t') {
		p.at++
	}
}

// word takes letters and digits.
func (p *parser) word() (word string, at int) {
	p.blanks()
	at = p.at
	for p.at < len(p.text) && isWord(p.text[p.at]) {
		p.at++
	}
	return p.text[at:p.at], at
}

func isWord(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
}

// want takes one sign.
func (p *parser) want(sign string) {
	p.blanks()
	if !strings.HasPrefix(p.text[p.at:], sign) {
		p.fail(p.at, "%s where %q belongs", p.found(), sign)
		return
	}
	p.at += len(sign)
}

// found shows what stands at the place reached, in printing signs only.
func (p *parser) found() string {
	rest := p.text[p.at:]
	if rest == "" {
		return "the end"
	}
	n := 0
	for n < len(rest) && isWord(rest[n]) && n < 12 {
		n++
	}
	if n == 0 { // a sign is shown whole, be it of several bytes
		_, n = utf8.DecodeRuneInString(rest)
	}
	return fmt.Sprintf("%+q", rest[:n])
}

// element takes a direction and its operations.
func (p *parser) element() Element {
	name, at := p.word()
	order := slices.Index(orderNames[:], name)
	if order < 0 {
		p.at = at
		p.fail(at, "%s where a direction belongs: up, down or either", p.found())
		return Element{}
	}
	if Order(order) == Either {
		p.eithers++
	}
	if p.eithers > mostEithers {
		p.fail(at, "a test has at most %d eithers: say up or down", mostEithers)
	}
	p.want("(")
	e := Element{Order: Order(order)}
	for p.err == nil {
		e.Ops = append(e.Ops, p.op())
		p.blanks()
		if p.at < len(p.text) && p.text[p.at] == ')' {
			break
		}
		p.want(",")
	}
	p.want(")")
	return e
}

// op takes one operation.
func (p *parser) op() Op {
	name, at := p.word()
	i := slices.Index(opNames[:], name)
	if i < 0 {
		p.at = at
		p.fail(at, "%s where an operation belongs: r0, r1, w0 or w1", p.found())
		return 0
	}
	op := Op(i)
	p.ops++
	switch {
	case p.ops > mostOps:
		p.fail(at, "a test has at most %d operations", mostOps)
	case op.writes():
		p.held = op.value()
	case p.held == unknown:
		p.fail(at, "%s reads what the test has not written: begin with either(w0)", op)
	case p.held != op.value():
		p.fail(at, "%s would fail on a good store: every cell holds %d there", op, p.held)
	}
	return op
}
