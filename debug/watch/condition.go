package watch

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"coldstart/cpu/order"
	"coldstart/cpu/panel"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Condition is something that may be so of a machine at one moment, as somebody who lets it run types it:
//
//	here = 001000
//	A /= 0 and store 024107 = 777777
//	lamp 000760.6 = 1 or (zero = 1 and X1 >= 17)
//
// Compared are registers and flip-flops by their names, here (the place of the next order), store words as the machine sees
// them, lamps as lit (1) or dark (0), and numbers in the machine's own style; = /= < <= > >= compare them as plain numbers
// without sign. A store word that nothing has written is unknown, and nothing said of it is so. Of `and` and `or`, `and`
// binds closer. A name goes before a number: where a hexadecimal machine has a register A, the number is written 0A.
type Condition struct {
	text string
	root *clause
}

// A Looker is what a Condition looks at.
type Looker interface {
	// Value is what a register holds.
	Value(r *order.Register) memory.Word
	// Word is the store word at an address as the machine sees it; it is not known where nothing wrote it since power-up.
	Word(a memory.Addr) (w memory.Word, known bool)
	// Lit is a one for each lamp lit of those that the store word at an address drives.
	Lit(row memory.Addr) memory.Word
}

// A ConditionError says what is wrong with the text of a condition, and where.
type ConditionError struct {
	Text    string
	At      int    // bytes before what is wrong
	Problem string // one sentence
}

// mostShown is how much of a condition a message repeats: more than anybody types.
const mostShown = 200

// Error is the sentence, with the place in the condition, and with the condition unless that is very long.
func (e *ConditionError) Error() string {
	if len(e.Text) > mostShown {
		return fmt.Sprintf("condition, column %d: %s", e.column()+1, e.Problem)
	}
	return fmt.Sprintf("condition %q, column %d: %s", e.Text, e.column()+1, e.Problem)
}

// Caret is the condition and, in a second line, a mark under what is wrong, both fit for a terminal.
func (e *ConditionError) Caret() string {
	return list.Safe(e.Text) + "\n" + strings.Repeat(" ", e.column()) + "^"
}

// column is how many characters stand before what is wrong when the text is printed.
func (e *ConditionError) column() int { return utf8.RuneCountInString(list.Safe(e.Text[:e.At])) }

// A clause is two terms compared, or two clauses joined.
type clause struct {
	op          string // a comparison, and, or
	left, right *clause
	a, b        term
}

// A term is one value compared.
type term struct {
	kind     termKind
	register *order.Register
	addr     memory.Addr
	bit      int         // of a lamp's word, counted from the right
	number   memory.Word // where the kind is aNumber
	width    int         // bits
}

// A termKind says where the value of a term comes from.
type termKind uint8

const (
	aNumber termKind = iota
	aRegister
	aBit // of a register
	aWord
	aLamp
)

// Holds tells whether the condition is so now. It allocates nothing.
func (c *Condition) Holds(l Looker) bool { return c.root.holds(l) }

// String is the condition as it was typed.
func (c *Condition) String() string { return c.text }

// holds tells whether a clause is so.
func (c *clause) holds(l Looker) bool {
	switch c.op {
	case "and":
		return c.left.holds(l) && c.right.holds(l)
	case "or":
		return c.left.holds(l) || c.right.holds(l)
	}
	a, known := c.a.value(l)
	b, also := c.b.value(l)
	if !known || !also {
		return false
	}
	switch c.op {
	case "=":
		return a == b
	case "/=":
		return a != b
	case "<":
		return a < b
	case "<=":
		return a <= b
	case ">":
		return a > b
	}
	return a >= b
}

// value is what a term comes to now, and whether that is known.
func (t *term) value(l Looker) (memory.Word, bool) {
	switch t.kind {
	case aRegister:
		return l.Value(t.register), true
	case aBit:
		return l.Value(t.register) >> t.bit & 1, true
	case aWord:
		return l.Word(t.addr)
	case aLamp:
		return l.Lit(t.addr) >> t.bit & 1, true
	}
	return t.number, true
}

// Nobody types a condition beyond these by hand; they keep what a file says from eating the host.
const (
	longestCondition = 1000 // bytes
	deepestCondition = 50   // brackets within one another
)

// ParseCondition reads a condition for a machine of the code. The error is a *ConditionError.
func ParseCondition(code *order.Code, text string) (*Condition, error) {
	text = strings.TrimSpace(text)
	if len(text) > longestCondition {
		cut := longestCondition
		for cut > 0 && !utf8.RuneStart(text[cut]) {
			cut--
		}
		return nil, &ConditionError{text[:cut], cut, fmt.Sprintf("a condition has at most %d characters", longestCondition)}
	}
	p := &conditionParser{code: code, text: text, marks: split(text)}
	root := p.either()
	if m := p.next(); p.err == nil && m.text != "" {
		p.fail(m, "%q does not belong here; join comparisons with and, or", m.text)
	}
	if p.err != nil {
		return nil, p.err
	}
	return &Condition{text: text, root: root}, nil
}

// A mark is one word, comparison or bracket of a condition.
type mark struct {
	text string
	at   int // bytes before it
}

// split cuts a condition into its marks.
func split(text string) []mark {
	var marks []mark
	for i := 0; i < len(text); {
		n := 1
		switch {
		case strings.ContainsRune(" \t", rune(text[i])):
			i++
			continue
		case strings.ContainsRune("()", rune(text[i])):
		default:
			inside := strings.ContainsRune(comparing, rune(text[i]))
			for i+n < len(text) && !strings.ContainsRune(" \t()", rune(text[i+n])) &&
				strings.ContainsRune(comparing, rune(text[i+n])) == inside {
				n++
			}
		}
		marks = append(marks, mark{text[i : i+n], i})
		i += n
	}
	return marks
}

// comparing is what comparisons are made of, strange ones too.
const comparing = "=/<>!"

var comparisons = []string{"=", "/=", "<", "<=", ">", ">="}

// strangers are comparisons as other notations have them.
var strangers = map[string]string{"==": "=", "!=": "/=", "<>": "/=", "=>": ">=", "=<": "<=", "=/=": "/="}

// A conditionParser reads one condition; the first thing wrong ends the reading.
type conditionParser struct {
	code  *order.Code
	text  string
	marks []mark
	depth int
	err   error
}

// fail notes what is wrong at a mark.
func (p *conditionParser) fail(m mark, format string, args ...any) {
	if p.err == nil {
		p.err = &ConditionError{p.text, m.at, fmt.Sprintf(format, args...)}
	}
}

// next is the mark at hand; an empty one at the end of the text.
func (p *conditionParser) next() mark {
	if len(p.marks) == 0 {
		return mark{"", len(p.text)}
	}
	return p.marks[0]
}

// take takes the mark at hand.
func (p *conditionParser) take() mark {
	m := p.next()
	p.marks = p.marks[min(1, len(p.marks)):]
	return m
}

// either reads clauses joined by or.
func (p *conditionParser) either() *clause {
	c := p.both()
	for p.err == nil && p.next().text == "or" {
		p.take()
		c = &clause{op: "or", left: c, right: p.both()}
	}
	return c
}

// both reads clauses joined by and.
func (p *conditionParser) both() *clause {
	c := p.clause()
	for p.err == nil && p.next().text == "and" {
		p.take()
		c = &clause{op: "and", left: c, right: p.clause()}
	}
	return c
}

// clause reads a comparison, or a condition in brackets.
func (p *conditionParser) clause() *clause {
	if m := p.next(); m.text == "(" {
		p.take()
		if p.depth++; p.depth > deepestCondition {
			p.fail(m, "more than %d brackets within one another", deepestCondition)
			return nil
		}
		c := p.either()
		if m := p.take(); m.text != ")" {
			p.fail(m, "a bracket is not closed; write ) here")
		}
		p.depth--
		return c
	}
	return p.comparison()
}

// comparison reads two terms and what compares them.
func (p *conditionParser) comparison() *clause {
	left := p.next()
	c := &clause{a: p.term()}
	m := p.take()
	c.op = m.text
	switch right := strangers[m.text]; {
	case slices.Contains(comparisons, m.text):
	case right != "":
		p.fail(m, "%q is written %s here", m.text, right)
	default:
		p.fail(m, "a comparison belongs after %s: one of %s and a value", left.text, strings.Join(comparisons, " "))
	}
	right := p.next()
	c.b = p.term()
	switch {
	case p.err != nil:
	case c.a.kind == aNumber && c.b.kind == aNumber:
		p.fail(left, "two numbers compared say nothing of the machine; name a register, a store word or a lamp")
	case c.a.kind == aNumber:
		p.fits(left, c.a, c.b)
	case c.b.kind == aNumber:
		p.fits(right, c.b, c.a)
	}
	return c
}

// fits refuses a number that the other side never comes to.
func (p *conditionParser) fits(m mark, number, other term) {
	if most := memory.Mask(other.width); number.number > most {
		s := p.code.Geometry.Style
		p.fail(m, "%s is too large to compare: the other side has %d bits and is at most %s (%s)",
			m.text, other.width, s.Number(uint64(most)), s.Name())
	}
}

// term reads one value.
func (p *conditionParser) term() term {
	m := p.take()
	g := &p.code.Geometry
	switch {
	case p.err != nil:
		return term{}
	case m.text == "" || strings.ContainsAny(m.text, "()"+comparing) || m.text == "and" || m.text == "or":
		p.fail(m, "a value belongs here: a register, here, store and an address, lamp and its name, or a number")
		return term{}
	case m.text == "here":
		return term{kind: aRegister, register: p.code.Counter, width: p.code.Counter.Width}
	case m.text == "store":
		return p.word()
	case m.text == "lamp":
		return p.lamp()
	}
	if r := p.code.Register(m.text); r != nil {
		return term{kind: aRegister, register: r, width: r.Width}
	}
	n, err := g.Style.Parse(m.text)
	switch {
	case err == nil:
		return term{kind: aNumber, number: memory.Word(n), width: 64}
	case m.text[0] >= '0' && m.text[0] <= '9':
		p.fail(m, "%v", err)
	default:
		p.fail(m, "%s", list.Unknown("register or flip-flop", m.text, p.names()))
	}
	return term{}
}

// names are what a term can begin with.
func (p *conditionParser) names() []string {
	var names []string
	for _, r := range p.code.Registers {
		names = append(names, r.Name)
	}
	return append(names, "here", "store", "lamp")
}

// word reads the address of a store word.
func (p *conditionParser) word() term {
	m := p.take()
	g := &p.code.Geometry
	n, err := g.Style.Parse(m.text)
	if err != nil {
		p.fail(m, "after store belongs an address: %v", err)
		return term{}
	}
	area := g.Area(memory.Addr(n))
	if area == nil {
		p.fail(m, "nothing answers at %s; the machine file says which addresses do", m.text)
		return term{}
	}
	return term{kind: aWord, addr: memory.Addr(n), width: area.Width}
}

// lamp reads the name of a lamp. The lamp of a register bit is that bit.
func (p *conditionParser) lamp() term {
	m := p.take()
	l, err := panel.New(p.code).Lamp(m.text)
	switch {
	case err != nil:
		p.fail(m, "%v", err)
		return term{}
	case l.Row.Register != nil:
		return term{kind: aBit, register: l.Row.Register, bit: l.Bit, width: 1}
	}
	return term{kind: aLamp, addr: l.Row.Addr, bit: l.Bit, width: 1}
}
