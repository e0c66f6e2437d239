package order

import (
	"fmt"
	"go/scanner"
	"go/token"
	"strings"

	"coldstart/cpu/order/syntax"
	"coldstart/loader/list"
)

// Read parses and checks a machine file; name stands in its errors. The error is a sorted go/scanner.ErrorList, one plain
// sentence with a position for each thing wrong: what the notation does not allow, or, where that is in order, what does
// not fit together. A Code comes back only where nothing is wrong.
func Read(name string, src []byte) (*Code, error) {
	file, err := syntax.Parse(name, src)
	if err != nil {
		return nil, err
	}
	return check(file)
}

// A file within these bounds is checked in well under a second, whatever is in it.
const (
	maxErrors   = 1000
	maxDeclared = 4096 // names of one kind
)

// check turns a tree into a Code. Declarations are collected before anything that uses them, so a file may stand in the
// order its handbook does.
func check(file *syntax.File) (*Code, error) {
	c := &checker{
		file: file, code: &Code{PerWord: 1}, told: map[token.Position]bool{}, declared: map[string]token.Position{}, counts: map[string]int{},
		groups: map[string]*group{}, modes: map[string]*syntax.Mode{}, used: map[*syntax.Mode]bool{},
		at: map[*Order]token.Position{}, typed: map[string][]*Order{},
	}
	c.amend()
	// Nothing can be read while radix and widths are in doubt, so errors in the head stop here.
	amiss := len(c.errs)
	if c.head(); len(c.errs) == amiss {
		c.declarations()
	}
	if len(c.errs) == 0 {
		c.decoders()
	}
	if len(c.errs) > 0 {
		c.errs.Sort()
		return nil, c.errs
	}
	return c.code, nil
}

// declarations reads all below the head. What things are comes before what is done with them.
func (c *checker) declarations() {
	c.stores()
	c.registers()
	c.adder()
	c.channels()
	if c.unsure {
		return
	}
	c.lamps()
	c.names()
	c.traps()
	c.timers()
	c.bodies()
	c.protects()
	c.mirrors()
	c.duplex()
	c.orders()
	c.declares()
	c.doubts()
}

// decoders sorts the patterns so that words are found fast, once it is certain which order reads which word.
func (c *checker) decoders() {
	orders, groups := c.cubes(c.code.Orders), c.cubes(c.code.Undefined)
	c.overlaps(orders)
	c.ranked(orders)
	c.groupOverlaps(groups)
	if len(c.errs) == 0 {
		c.code.index = newDecoder(c.code.OrderWidth(), orders)
		c.code.undefined = newDecoder(c.code.OrderWidth(), groups)
	}
}

// A checker is one reading of one tree.
type checker struct {
	file     *syntax.File
	code     *Code
	errs     scanner.ErrorList
	unsure   bool                      // a width is wrong: nothing that names its owner can be read
	told     map[token.Position]bool   // places already complained of
	declared map[string]token.Position // by kind and name
	counts   map[string]int            // of names declared, by kind
	groups   map[string]*group         // groups and choices by field letter
	modes    map[string]*syntax.Mode
	modeList []string // their names in file order
	used     map[*syntax.Mode]bool
	at       map[*Order]token.Position
	typed    map[string][]*Order // by the name as typed, which may stand for several
}

// errorf records an error. One place gets one error: what follows from the first would only bury it, and a mode inlined
// in eight orders would say the same eight times.
func (c *checker) errorf(at token.Position, format string, args ...any) {
	if !c.told[at] && len(c.errs) < maxErrors {
		c.told[at] = true
		c.errs.Add(at, fmt.Sprintf(format, args...))
	}
}

// unknown complains of a name nobody declared, with the nearest one that somebody did.
func (c *checker) unknown(what string, n syntax.Name, known []string) {
	if len(c.errs) == maxErrors {
		return // it takes time to look for the nearest
	}
	near := list.Nearest(n.Text, known)
	switch {
	case len(known) == 0:
		c.errorf(n.At, "there is no %s %s, and none is declared", what, n.Text)
	case near == "" || len(n.Text) == 1 && !strings.EqualFold(near, n.Text): // any letter is near any other
		c.errorf(n.At, "there is no %s %s; known are %s", what, n.Text, few(known))
	default:
		c.errorf(n.At, "there is no %s %s; the nearest is %s", what, n.Text, near)
	}
}

// few lists words for a sentence, no more than eight.
func few(words []string) string {
	if len(words) > 8 {
		return strings.Join(words[:8], ", ") + " and more"
	}
	return strings.Join(words, ", ")
}

// declare notes a name of a kind; it complains and gives false where the kind has that name already.
func (c *checker) declare(kind string, n syntax.Name) bool {
	if first, twice := c.declared[kind+" "+n.Text]; twice {
		c.errorf(n.At, "%s %s is declared twice, first in line %d", kind, n.Text, first.Line)
		return false
	}
	c.declared[kind+" "+n.Text] = n.At
	if c.counts[kind]++; c.counts[kind] > maxDeclared {
		c.errorf(n.At, "%s %s is one too many: %d can be declared", kind, n.Text, maxDeclared)
		return false
	}
	return true
}

// every gives the statements of one type in file order.
func every[T syntax.Statement](c *checker) []T {
	var found []T
	for _, s := range c.file.Statements {
		if t, ok := s.(T); ok {
			found = append(found, t)
		}
	}
	return found
}

// namesOf gives the names of a list of things, for a hint.
func namesOf[T any](things []T, name func(T) string) []string {
	var names []string
	for _, t := range things {
		names = append(names, name(t))
	}
	return names
}
