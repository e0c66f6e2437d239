// Package assemble turns order text into words, by a Code, and words back into order text.
//
// # Order text
//
// A line holds labels, then an order or one of the words below. Blanks and empty lines count for nothing; what follows
// a # is a remark.
//
//	start:  load A, table.10-0        # an order of the machine file, its operands between commas
//	        jump-zero start
//	table:  words 123456, -1, start   # words of data
//
// An operand is written as the machine file says: a field with a group by the name of the register, a field with a choice
// by its word, any other by a number. Fields side by side are written side by side, as in `load A, through 12`. An operand
// with `as` in the machine file is written as what it means, a target or a small number with its sign. Where that
// hangs on a register, a plain number is the field itself, and a label needs the register's content assumed:
//
//	NAME = value                      a constant
//	at ADDRESS                        what follows stands from ADDRESS on
//	assume REGISTER = value           from here to the end of the source, or to the next assume of the register
//	words value, value                words of data
//	text CODE "HELLO", value          characters, one a word, in the code ascii or ascii-even
//	reserve COUNT                     COUNT words are left alone
//	block NUMBER, ADDRESS, COUNT      the COUNT words from ADDRESS on are a tape block; what follows stands there
//	sum FIRST, LAST                   the sum of the words from FIRST to LAST, modulo the word
//
// A value is a number in the machine's radix (beginning with a digit, in hexadecimal too), a label, a constant, `here`
// (the place of the word it stands in) or a character "c"; several are added and taken away with + and -, with blanks
// round the minus, since names hold hyphens. A minus sign in front makes a number negative, in the machine's complement.
// Bits are picked by their numbers in the machine's own numbering: table.14-11, table.0.
//
// A text stands between quotes and cannot hold one; a number in it is a character of the code too: "HELLO", 15, 12 ends in
// a return and a new line where the radix is octal. With ascii-even each character has an eighth bit, which makes its
// ones even in number.
//
// Where addresses count units smaller than a word, words begin at multiples of their number of units, and a place is that
// of a first unit. Where words hold two orders a label is the place of an order, as the order counter counts: in a value
// as wide as the counter it stands for the place, anywhere else for the address of its word. Data begin with a new word;
// a half left over before them is zero.
//
// Each word of a block has to be there. Text may run on from one block into the next, but not past the last of them;
// a new `at` may stand anywhere.
//
// Names are letters, digits and hyphens and begin with a letter; labels have small letters only. A name must not be that
// of a register, an order, a choice, or a word above. All sources share their labels and constants; place and
// assumptions are said anew in each. A place, a count or an assumption hangs only on names that stand above it.
package assemble

import (
	"fmt"
	"go/scanner"
	"go/token"

	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Source is one text of a program, and the name its errors carry.
type Source struct {
	Name string
	Text []byte
}

// Assemble turns sources, which share their labels, into a Program. The error is a sorted go/scanner.ErrorList, one plain
// sentence with a position for each thing wrong; a Program comes back only where nothing is wrong.
func Assemble(c *order.Code, sources ...Source) (*Program, error) {
	a := newAssembler(c)
	for _, s := range sources {
		a.walk(s)
	}
	a.walking = false
	a.checkConstants()
	for i := range a.jobs {
		a.carryOut(&a.jobs[i])
	}
	a.settle()
	if len(a.errs) > 0 {
		a.errs.Sort()
		return nil, a.errs
	}
	return a.program(), nil
}

// An assembler is one assembly. It walks all lines once to find every place and label, then carries out the jobs that
// the lines left behind, and adds up sums last.
type assembler struct {
	code    *order.Code
	orders  map[string]*order.Order
	taken   map[string]string // names no label may have, and what they are: "a register"
	symbols map[string]*symbol
	jobs    []job
	words   []Word
	halves  []Word // orders that share a word with another, by place instead of address
	runs    []*run
	sums    []*sum
	blocks  []*block
	errs    scanner.ErrorList
	hints   int // nearest words looked for

	walking bool // places are still being found: a name not met yet may come below
	place   place
	fresh   []*symbol                       // labels of the place, met since the last word
	assumed map[*order.Register]memory.Word // never changed, only replaced: jobs keep it
}

// A job is a line that makes words, kept until all labels are known.
type job struct {
	cursor
	what    string       // words, text, sum; empty for an order
	order   *order.Order // nil for the others
	at      memory.Addr  // the place of its first word
	assumed map[*order.Register]memory.Word
}

// newAssembler knows the names of c and no label yet.
func newAssembler(c *order.Code) *assembler {
	a := &assembler{
		code: c, walking: true,
		orders: map[string]*order.Order{}, taken: map[string]string{}, symbols: map[string]*symbol{},
	}
	for _, o := range c.Orders {
		a.orders[o.Name] = o
		a.taken[o.Name] = "an order"
		for _, f := range o.Fields {
			for _, word := range f.Choice {
				if word != "" && word != order.Unwritten {
					a.taken[word] = "a word of the choice " + f.Name
				}
			}
		}
	}
	for _, r := range c.Registers {
		a.taken[r.Name] = "a register"
	}
	for _, word := range lineWords {
		a.taken[word] = "a word of order text"
	}
	a.taken[here] = "the place of the word it stands in"
	return a
}

// errorf records an error.
func (a *assembler) errorf(at token.Position, format string, args ...any) {
	a.errs.Add(at, fmt.Sprintf(format, args...))
}

// nearest is the end of a sentence about an unknown word. A text full of unknown words is the wrong text, and
// who reads its errors sees the first few.
func (a *assembler) nearest(typed string, words func() []string) string {
	if a.hints++; a.hints > 10 {
		return ""
	}
	if near := list.Nearest(typed, words()); near != "" {
		return "; the nearest is " + near
	}
	return ""
}

// carryOut makes the words of one job.
func (a *assembler) carryOut(j *job) {
	switch j.what {
	case "words":
		for at := j.at; ; at = j.on(at, 1) {
			w, ok := j.data(at)
			if ok {
				a.emit(at, w, j.line, false)
			}
			if !j.more() {
				return
			}
		}
	case "text":
		j.characters(func(i int, w memory.Word) { a.emit(j.on(j.at, i), w, j.line, false) })
	case "sum":
		a.sum(j)
	default:
		for i, w := range j.encode(j.order, j.at, j.assumed) {
			a.emit(j.at+memory.Addr(i*a.code.Step()), w, j.line, true)
		}
	}
}

// on is the place so many words of data on.
func (a *assembler) on(at memory.Addr, words int) memory.Addr {
	return at + memory.Addr(words*a.code.WordStep())
}

// emit keeps one word made, or one half.
func (a *assembler) emit(at memory.Addr, w memory.Word, l *line, isOrder bool) {
	word := Word{Addr: at, Word: w, Order: isOrder, At: l.start()}
	if isOrder && a.code.PerWord > 1 {
		a.halves = append(a.halves, word)
		return
	}
	word.Addr = a.code.WordOf(at)
	a.words = append(a.words, word)
}
