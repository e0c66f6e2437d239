// Package proof says what is wrong or doubtful in a machine file, alone or against an image.
//
// Alone, it gathers all that the file itself can show: what does not fit together, words that no order reads, lines that
// nothing can reach, counts that differ from those of the handbook, worked examples that do not come out, pages not named
// and marks of doubt. Against an image it follows the program from its entry places under the typed order code: a right
// order code makes a real program read sensibly, and a wrong one leads astray, which is counted order by order.
//
// Worked examples are carried out by a machine of their own, so this room stands above cpu.
package proof

import (
	"cmp"
	"fmt"
	"go/scanner"
	"slices"
	"sort"

	"coldstart/cpu/order"
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// A Kind says what sort of thing a Finding is.
type Kind uint8

// The kinds of findings. The first three are trouble; the others a person may know an answer to.
const (
	Wrong       Kind = iota // the file contradicts itself or cannot be understood there
	Failed                  // a worked example does not come out
	Miscounted              // there are more orders, or fewer, than the handbook says
	Doubted                 // marked with a `?`, or the page is unreadable
	Unreachable             // nothing can reach it
	Pageless                // no page of the handbook is named
	NotTried                // a worked example that cannot be carried out as it is written
	Replaced                // an addendum stands in place of it
)

// kinds are the words for the kinds, as a report heads them.
var kinds = [...]string{
	Wrong: "wrong", Failed: "example does not come out", Miscounted: "count differs", Doubted: "in doubt",
	Unreachable: "nothing reaches it", Pageless: "no page named", NotTried: "example not tried", Replaced: "replaced",
}

// String is the kind as a report names it.
func (k Kind) String() string { return kinds[k] }

// Trouble tells whether a finding of this kind speaks against the file by itself.
func (k Kind) Trouble() bool { return k <= Miscounted }

// A Finding is one thing to look at in a machine file.
type Finding struct {
	Kind    Kind
	Line    int
	Column  int          // from 1; 0 where the whole line is meant
	Page    string       // of the handbook, where the statement names one
	Text    string       // a sentence without its place
	Example *memory.Word // a word it shows in; nil where none does
	Ruler   []string     // where a pattern is wrong: the bit numbers and the pattern below them; nil elsewhere
}

// A Report is what a machine file shows by itself.
type Report struct {
	Name     string      // of the machine; empty where the file gives none
	Code     *order.Code // nil where something is wrong with the file
	Typed    *order.Code // as far as the orders can be read; nil where not even their machine can
	Findings []Finding   // by line, then column
	Holes    []Hole      // by leading bits; found as far as the orders can be read
	Orders   int         // typed, one for each name
	Replaced int         // statements that addenda replace
	Checks   int         // worked examples that came out as the file says
	Width    int         // bits of an order's word
	Style    memory.Style
}

// Has tells whether there is a finding of a kind.
func (r *Report) Has(k Kind) bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == k })
}

// Trouble tells whether some finding speaks against the file by itself.
func (r *Report) Trouble() bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind.Trouble() })
}

// Read proves a machine file against itself; name stands in what it says. The error is a go/scanner.ErrorList, for a file
// that is not in the notation at all: what contradicts itself in one that is, is a finding.
func Read(name string, src []byte) (*Report, error) {
	file, err := syntax.Parse(name, src)
	if err != nil {
		return nil, err
	}
	p := &prover{file: file, report: &Report{}}
	for _, s := range file.Statements {
		if t, ok := s.(*syntax.Title); ok && t.Keyword == "machine" {
			p.report.Name = t.Text
		}
	}
	code, errs := salvage(name, src, file)
	whole := true
	for _, e := range errs {
		whole = p.wrong(e) == Miscounted && whole
	}
	if whole {
		p.report.Code = code
	}
	if code != nil {
		p.code = code
		p.study(whole)
	}
	slices.SortStableFunc(p.report.Findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Kind, b.Kind))
	})
	p.rulers()
	return p.report, nil
}

// A prover is one proof under way.
type prover struct {
	file   *syntax.File
	code   *order.Code
	report *Report

	standing []syntax.Statement // the statements that no other replaces

	tries int // values of fields tried out so far
}

// study looks at a file that can be read, perhaps only in part: then what might follow from the missing parts is left out.
func (p *prover) study(whole bool) {
	r, c := p.report, p.code
	r.Typed = c
	r.Orders, r.Replaced, r.Width, r.Style = len(c.Orders), len(c.Replaced), c.OrderWidth(), c.Geometry.Style
	r.Holes = Holes(c)
	p.stand()
	p.pages()
	p.doubts()
	if whole {
		p.declared()
		p.unreachable()
		p.checks()
	}
}

// stand lists what addenda replace, and leaves it out of all that follows.
func (p *prover) stand() {
	replaced := map[int]bool{}
	for _, r := range p.code.Replaced {
		replaced[r.Line] = true
		p.find(Replaced, r.Line, fmt.Sprintf("%s: the one of page %s, in line %d, stands in its place", r.What, r.ByPage, r.By))
	}
	for _, s := range p.file.Statements {
		if !replaced[s.Start().Line] {
			p.standing = append(p.standing, s)
		}
	}
}

// find notes a finding at a line.
func (p *prover) find(k Kind, line int, text string) {
	p.report.Findings = append(p.report.Findings, Finding{Kind: k, Line: line, Page: p.page(line), Text: text})
}

// wrong notes what reading the file complained of. A count is told apart: without it the file can be used.
func (p *prover) wrong(e *scanner.Error) Kind {
	k := Wrong
	if d, ok := p.statement(e.Pos.Line).(*syntax.Declares); ok && d.At.Line == e.Pos.Line {
		k = Miscounted
	}
	p.report.Findings = append(p.report.Findings, Finding{Kind: k, Line: e.Pos.Line, Column: e.Pos.Column, Page: p.page(e.Pos.Line), Text: e.Msg})
	return k
}

// statement gives the statement that a line belongs to: the last that begins no later; nil above the first.
func (p *prover) statement(line int) syntax.Statement {
	if i := lastBy(p.file, line); i >= 0 {
		return p.file.Statements[i]
	}
	return nil
}

// lastBy is the index of the last statement of a file that begins no later than at a line; -1 above the first.
func lastBy(file *syntax.File, line int) int {
	return sort.Search(len(file.Statements), func(i int) bool { return file.Statements[i].Start().Line > line }) - 1
}

// page gives the page of the handbook that the statement of a line names.
func (p *prover) page(line int) string {
	if s := p.statement(line); s != nil {
		return s.Head().Reference()
	}
	return ""
}
