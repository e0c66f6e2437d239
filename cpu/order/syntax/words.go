package syntax

import (
	"slices"
	"strconv"
	"strings"
)

// operatorWords mean something inside a value, so nothing that a value may name is called so.
var operatorWords = []string{"and", "else", "if", "not", "or", "then", "xor"}

// radixWords are the number styles; before a number one of them says how that number is meant.
var radixWords = []string{"octal", "hexadecimal", "decimal", "binary"}

// units are those of a Duration.
var units = []string{"s", "ms", "us", "ns", "ps"}

// is reports whether a mark stands at the cursor.
func (p *parser) is(m string) bool { t := p.tok(); return t.kind == mark && t.text == m }

// isWord reports whether a certain word stands at the cursor.
func (p *parser) isWord(w string) bool { t := p.tok(); return t.kind == word && t.text == w }

// accept takes a mark if it stands at the cursor.
func (p *parser) accept(m string) bool {
	if p.is(m) {
		p.at++
		return true
	}
	return false
}

// acceptWord takes a word if it stands at the cursor.
func (p *parser) acceptWord(w string) bool {
	if p.isWord(w) {
		p.at++
		return true
	}
	return false
}

// take wants a mark.
func (p *parser) take(m string) {
	if !p.accept(m) {
		p.expected(strconv.Quote(m), nil)
	}
}

// takeWord wants one of some words, and gives it with its place.
func (p *parser) takeWord(words ...string) Name {
	n := Name{p.here(), p.tok().text}
	if p.tok().kind != word || !slices.Contains(words, n.Text) {
		p.expected(oneOf(words), words)
		return Name{}
	}
	p.at++
	return n
}

// oneOf lists words for a message.
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// anyWord wants a word; what says which for a message.
func (p *parser) anyWord(what string) Name {
	t := p.tok()
	if t.kind != word {
		p.expected(what, nil)
		return Name{}
	}
	return Name{p.where(p.advance()), t.text}
}

// name wants a word that values may use.
func (p *parser) name(what string) Name {
	if t := p.tok(); t.kind == word && slices.Contains(operatorWords, t.text) {
		p.expected(what+", which is no word that values are built with", nil)
	}
	return p.anyWord(what)
}

// names wants names between commas.
func (p *parser) names(what string) []Name {
	list := []Name{p.name(what)}
	for p.accept(",") {
		list = append(list, p.name(what))
	}
	return list
}

// field wants the letter of a field.
func (p *parser) field() Name {
	if t := p.tok(); t.kind != word || len(t.text) != 1 {
		p.expected("the letter of a field", nil)
	}
	return p.anyWord("the letter of a field")
}

// digits wants a number; what says which for a message.
func (p *parser) digits(what string) Number {
	t := p.tok()
	if t.kind != number {
		var near []string
		if repaired := lettersRepaired.Replace(t.text); t.kind == word && strings.Trim(repaired, "0123456789-") == "" {
			near = append(near, repaired)
		}
		p.expected(what, near)
		return Number{}
	}
	return Number{At: p.where(p.advance()), Text: t.text}
}

// number wants a number, perhaps with a word before it that says its radix.
func (p *parser) number(what string) Number {
	at, radix := p.here(), ""
	if p.radixAhead() {
		radix = p.advance().text
	}
	n := p.digits(what)
	n.At, n.Radix = at, radix
	return n
}

// radixAhead reports whether a radix word and a number stand at the cursor.
func (p *parser) radixAhead() bool {
	return p.tok().kind == word && slices.Contains(radixWords, p.tok().text) && p.peek().kind == number
}

// binaryDigits wants the value of a field.
func (p *parser) binaryDigits() string {
	if t := p.tok(); t.kind != number || strings.Trim(t.text, "01") != "" {
		p.expected("a value in binary", nil)
	}
	return p.advance().text
}

// decimal wants a count: a number of decimal digits.
func (p *parser) decimal(what string) Number {
	if t := p.tok(); t.kind == number && digits(t.text, 0) < len(t.text) {
		p.expected(what+" in decimal digits", nil)
	}
	return p.digits(what)
}

// width wants a count of bits: 18 bits.
func (p *parser) width() Number {
	n := p.decimal("how many bits")
	p.takeWord("bits", "bit")
	return n
}

// span wants a range of addresses, or a single one, which is both ends.
func (p *parser) span() (first, last Number) {
	first = p.digits("an address")
	if !p.accept("-") {
		return first, first
	}
	return first, p.digits("an address")
}

// bits wants a run of bit numbers, 8-0, or a single one.
func (p *parser) bits() Bits {
	first := p.decimal("a bit number")
	b := Bits{At: first.At, First: first.Text}
	if p.accept("-") {
		b.Last = p.decimal("a bit number").Text
	}
	return b
}

// text wants words between quotes.
func (p *parser) text(what string) string {
	t := p.tok()
	if t.kind != quoted {
		p.expected(what+` in quotes, "like this"`, nil)
		return ""
	}
	return p.advance().text
}

// duration wants a time: 2.5 us.
func (p *parser) duration() Duration {
	n := p.decimal("a time")
	d := Duration{At: n.At, Number: n.Text}
	if t := p.tok(); t.kind == pick && digits(t.text, 0) == len(t.text) {
		d.Number += "." + p.advance().text
	}
	d.Unit = p.takeWord(units...).Text
	return d
}

// An option is a part of a line that may be left out: a comma, its word, and what read takes.
type option struct {
	word string
	read func()
}

// options reads the parts that may end a line, in their order.
func (p *parser) options(parts ...option) {
	for len(parts) > 0 && p.accept(",") {
		var words []string
		for _, o := range parts {
			words = append(words, o.word)
		}
		i := slices.Index(words, p.takeWord(words...).Text)
		if i < 0 {
			return
		}
		parts[i].read()
		parts = parts[i+1:]
	}
}

// plugInOption is the part that says which plug-in holds something.
func (p *parser) plugInOption(n *Name) option {
	return option{"plug-in", func() { *n = p.name("the name of a plug-in") }}
}

// heading takes the marks that end a head line: the page of the handbook, the page it replaces, and the doubt mark.
func (p *parser) heading(m *Mark) {
	next := "page, "
	if p.acceptWord("page") {
		next = "replaces, "
		m.Page, m.Issue = p.page(), p.issue()
		if p.acceptWord("replaces") {
			s := &Sheet{At: p.here()}
			p.takeWord("page")
			s.Page, s.Issue = p.page(), p.issue()
			m.Replaces, next = s, ""
		}
	}
	m.Doubt = p.accept("?")
	p.lastly(next+`"?" or the end of the line`, strings.TrimSuffix(next, ", "))
}

// issue takes the issue of a page, if there is one.
func (p *parser) issue() string {
	if !p.acceptWord("issue") {
		return ""
	}
	if t := p.tok(); t.kind != word && t.kind != sheet {
		p.expected("the issue of the page, 2", nil)
	}
	return p.advance().text
}

// page takes a page number: digits and what stands close to them, or a word.
func (p *parser) page() string {
	if t := p.tok(); t.kind != word && t.kind != sheet {
		p.expected("a page number, 3-4", nil)
	}
	return p.advance().text
}
