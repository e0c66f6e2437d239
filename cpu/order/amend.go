package order

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/order/syntax"
	"coldstart/loader/list"
)

// A Replaced is a statement in whose place another stands, typed from an addendum. Nothing of it counts.
type Replaced struct {
	What   string // such as "order load"
	Line   int    // of the machine file
	Page   string // of the handbook, with its issue
	By     int    // the line of the one that replaces it
	ByPage string
}

// mostSheets is how often one name may be typed, which bounds the time to sort out what replaces what.
const mostSheets = 50

// mostNear is how many errors are told with the nearest name.
const mostNear = 100

// An amendment is the statements of a file of one keyword and name, where some of them replace others.
type amendment struct {
	c    *checker
	what string
	all  []syntax.Statement
	by   map[syntax.Statement]syntax.Statement // what replaces each, shared by all
}

// amend leaves out of the file what an addendum replaces.
func (c *checker) amend() {
	if !slices.ContainsFunc(c.file.Statements, func(s syntax.Statement) bool { return s.Head().Replaces != nil }) {
		return
	}
	byName, by := map[string]*amendment{}, map[syntax.Statement]syntax.Statement{}
	var inTurn []*amendment
	for _, s := range c.file.Statements {
		what := called(s)
		a := byName[what]
		if a == nil {
			a = &amendment{c: c, what: what, by: by}
			byName[what] = a
			inTurn = append(inTurn, a)
		}
		a.all = append(a.all, s)
	}
	gone := map[syntax.Statement]bool{}
	for _, a := range inTurn {
		for _, s := range a.all {
			if s.Head().Replaces != nil && !a.replace(s, inTurn) && len(a.all) > 1 {
				gone[s] = true // or it would be complained of as a second one of its name
			}
		}
		for _, s := range a.all {
			if by := a.by[s]; by != nil {
				gone[s] = true
				c.code.Replaced = append(c.code.Replaced, Replaced{
					What: a.what, Line: s.Start().Line, Page: s.Head().Reference(), By: by.Start().Line, ByPage: by.Head().Reference(),
				})
			}
		}
	}
	if len(gone) == 0 {
		return
	}
	slices.SortFunc(c.code.Replaced, func(a, b Replaced) int { return a.Line - b.Line })
	file := *c.file
	file.Statements = nil
	for _, s := range c.file.Statements {
		if !gone[s] {
			file.Statements = append(file.Statements, s)
		}
	}
	c.file = &file
}

// replace finds the statement that s replaces; false where there is none, or another replaces it already.
func (a *amendment) replace(s syntax.Statement, every []*amendment) bool {
	from := s.Head().Replaces
	if len(a.all) > mostSheets {
		a.c.errorf(a.all[mostSheets].Start(), "%s stands here for the %dth time: nothing has so many addenda", a.what, mostSheets+1)
		return false
	}
	switch s.(type) {
	case *syntax.Order, *syntax.Group, *syntax.Choice, *syntax.Mode:
	default:
		a.c.errorf(from.At, "orders, groups, choices and modes can replace others of their name, and this is none: change the line itself")
		return false
	}
	found := a.of(from, s)
	switch {
	case len(found) == 0:
		a.c.errorf(from.At, "%s of %s is not in this file; %s", a.what, from, a.nearest(s, every))
		return false
	case len(found) > 1:
		a.c.errorf(from.At, "%s of %s stands in line %d and in line %d: say the issue too, as in `%s issue 1`",
			a.what, from, found[0].Start().Line, found[1].Start().Line, from)
		return false
	case a.by[found[0]] != nil:
		a.c.errorf(from.At, "%s of %s, in line %d, is replaced in line %d already: replace that one, or strike out one of the two",
			a.what, from, found[0].Start().Line, a.by[found[0]].Start().Line)
		return false
	case a.round(s, found[0]):
		a.c.errorf(from.At, "%s of %s, in line %d, replaces this one: strike out `replaces` in the older of the two",
			a.what, from, found[0].Start().Line)
		return false
	}
	a.by[found[0]] = s
	return true
}

// of gives the statements of a page, s itself left out. A page without an issue is the one typed without an issue, if there
// is one.
func (a *amendment) of(from *syntax.Sheet, s syntax.Statement) []syntax.Statement {
	var found, plain []syntax.Statement
	for _, other := range a.all {
		h := other.Head()
		if other == s || h.Page != from.Page || from.Issue != "" && h.Issue != from.Issue {
			continue
		}
		found = append(found, other)
		if h.Issue == "" {
			plain = append(plain, other)
		}
	}
	if len(found) > 1 && len(plain) > 0 {
		return plain
	}
	return found
}

// round tells whether s is replaced by last, or by what last is replaced by.
func (a *amendment) round(s, last syntax.Statement) bool {
	for s != nil && s != last {
		s = a.by[s]
	}
	return s != nil
}

// nearest says what s may have meant to replace: another of its name, or else the nearest name from that page.
func (a *amendment) nearest(s syntax.Statement, every []*amendment) string {
	var pages []string
	at := map[string]syntax.Statement{}
	for _, other := range a.all {
		if other != s && other.Head().Page != "" {
			pages = append(pages, other.Head().Reference())
			at[other.Head().Reference()] = other
		}
	}
	if len(pages) > 0 {
		near := list.Nearest(s.Head().Replaces.Reference(), pages)
		if near == "" {
			near = pages[0]
		}
		return fmt.Sprintf("the nearest is that of page %s, in line %d", near, at[near].Start().Line)
	}
	keyword, name, _ := strings.Cut(a.what, " ")
	near := ""
	if len(a.c.errs) <= mostNear { // it takes time to look for the nearest
		near = list.Nearest(a.what, a.others(keyword, every))
	}
	if near == "" {
		return fmt.Sprintf("there is no other %s %s", keyword, name)
	}
	line := 0
	for _, other := range every {
		if other.what == near {
			line = other.all[0].Start().Line
		}
	}
	return fmt.Sprintf("the nearest is %s, in line %d", near, line)
}

// others gives what the other statements of a keyword are called, so many at most as can be declared.
func (a *amendment) others(keyword string, every []*amendment) []string {
	names := make([]string, 0, min(len(every), maxDeclared))
	for _, other := range every {
		if len(names) == maxDeclared {
			break
		}
		if other != a && strings.HasPrefix(other.what, keyword+" ") {
			names = append(names, other.what)
		}
	}
	return names
}
