package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/cpu/order"
	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/memory"
	"coldstart/memory/march"
)

// A marchReport is what a march test found in a store.
type marchReport struct {
	heading
	Machine     string         `json:"machine"`
	Test        marchTest      `json:"test"`
	Span        surveySpan     `json:"span"`
	Words       int            `json:"words"` // tested
	Backgrounds []string       `json:"backgrounds"`
	Fills       []uint64       `json:"fills"`      // what the store held at first, of each run
	Operations  int64          `json:"operations"` // of the last run
	Failed      int64          `json:"failed"`
	Places      int            `json:"places"` // words with a failure
	By          []marchCount   `json:"by_operation"`
	Failures    []marchFailure `json:"failures"` // the first
	Groups      []marchGroup   `json:"groups"`
	Untold      int            `json:"words_no_group_tells"`
	Fits        []marchKind    `json:"fits"`
	Never       []marchKind    `json:"never_seen"`
	Partly      []marchKind    `json:"seen_in_part"`
	Jams        []jamReport    `json:"jams"`

	jams  []jam.Jam
	found march.Report
}

// mostFailures is how many failures a report lists, and prints groups.
const mostFailures = 10

// A marchTest is a test.
type marchTest struct {
	Name     string `json:"name,omitempty"`
	Notation string `json:"notation"`
	Length   int    `json:"length"` // operations on each word
	Source   string `json:"source,omitempty"`
}

// A marchKind is a kind of fault.
type marchKind struct {
	Symbol string `json:"symbol"`
	Name   string `json:"name"`
}

// A marchCount is how often an operation of the test failed.
type marchCount struct {
	Element   int    `json:"element"` // from 1
	Text      string `json:"text"`
	Operation int    `json:"operation"` // of the element, from 1
	Op        string `json:"op"`
	Failed    int64  `json:"failed"`
}

// A marchFailure is one operation that failed.
type marchFailure struct {
	Background string        `json:"background"`
	Element    int           `json:"element"`
	Operation  int           `json:"operation"`
	Place      addressReport `json:"place"`
	Wanted     string        `json:"wanted"`
	Got        string        `json:"got"`
	Remark     string        `json:"remark,omitempty"`
	Where      string        `json:"where,omitempty"` // what it leads to

	op string
}

// A marchGroup is cells that failed alike.
type marchGroup struct {
	Where string      `json:"where"`
	Bit   string      `json:"bit"`
	Cells int         `json:"cells"`
	First string      `json:"first"`
	Reads int         `json:"reads"` // in which each was wrong
	Kinds []marchKind `json:"kinds"`
}

// take takes over what a run found.
func (r *marchReport) take(half *duplex.Half, fill uint64, found march.Report) {
	r.found = found
	r.Fills = append(r.Fills, fill)
	r.Jams = []jamReport{}
	for _, j := range r.jams {
		r.Jams = append(r.Jams, jamReport{j.String(), j.Effect(half)})
	}
}

// fill says what the last run found, as the machine's handbook would.
func (r *marchReport) fill(code *order.Code, t march.Test, s march.Span) {
	g, f := &code.Geometry, &r.found
	r.Machine, r.Test = code.Name, testOf(t)
	r.Span = spanOf(g, loader.Span{First: s.First, Last: s.Last})
	r.Words, r.Operations, r.Failed, r.Places, r.Untold = f.Words, f.Operations, f.Failed, f.Places, f.More
	r.Backgrounds, r.By, r.Failures, r.Groups = []string{}, []marchCount{}, []marchFailure{}, []marchGroup{}
	for _, w := range f.Backgrounds {
		r.Backgrounds = append(r.Backgrounds, g.Style.Word(w, g.Width))
	}
	number := 0
	for i, e := range t.Elements {
		for j, op := range e.Ops {
			r.By = append(r.By, marchCount{i + 1, e.String(), j + 1, op.String(), f.Counts[number]})
			number++
		}
	}
	for _, failure := range f.Failures {
		r.Failures = append(r.Failures, r.failure(g, t, failure))
	}
	for _, group := range f.Groups {
		r.Groups = append(r.Groups, marchGroup{groupAt(g, group, &r.found, s), g.Style.Bit(group.Bit, g.Width), group.Cells,
			g.Style.Addr(group.First, g.AddrBits), group.Reads, kindsOf(group.Kinds)})
	}
	never, partly := march.Blind(march.Cover(t, coverCells))
	r.Fits, r.Never, r.Partly = kindsOf(f.Fits), kindsOf(never), kindsOf(partly)
	r.verdict(g)
}

// verdict judges the run, and says where to look.
func (r *marchReport) verdict(g *memory.Geometry) {
	if r.Failed == 0 {
		r.judge(watch.Good)
		return
	}
	r.judge(watch.Trouble)
	look, settle := r.leads(g)
	for _, where := range look {
		if !slices.Contains(r.LookAt, where) && len(r.LookAt) < mostLooks {
			r.LookAt = append(r.LookAt, where)
		}
	}
	r.ToSettle = settle
}

// failure puts a failure into words.
func (r *marchReport) failure(g *memory.Geometry, t march.Test, f march.Failure) marchFailure {
	area := g.Area(f.Addr)
	m := marchFailure{
		Background: g.Style.Word(r.found.Backgrounds[f.Background]&memory.Mask(area.Width), area.Width),
		Element:    f.Element + 1, Operation: f.Op + 1,
		Place:  addressReport{uint64(f.Addr), g.Style.Addr(f.Addr, g.AddrBits)},
		Wanted: g.Style.Word(f.Want, area.Width), Got: g.Style.Word(f.Got, area.Width), Remark: f.Status.String(), Where: failureAt(g, f),
		op: t.Elements[f.Element].Ops[f.Op].String(),
	}
	return m
}

// testOf and kindsOf put tests and kinds into a report.
func testOf(t march.Test) marchTest { return marchTest{t.Name, t.String(), t.Length(), t.Source} }

func kindsOf(kinds []march.Kind) []marchKind {
	all := []marchKind{}
	for _, k := range kinds {
		all = append(all, marchKind{k.Symbol, k.Name})
	}
	return all
}

func (r *marchReport) print(w io.Writer) {
	name := "Your own test"
	if r.Test.Name != "" {
		name = "March " + r.Test.Name
	}
	fold(w, "", fmt.Sprintf("%s on the store of %s, %s: %s, %s on each, %s",
		name, r.Machine, r.Span.At, amount(r.Words, "word"), amount(r.Test.Length, "operation"), amount(len(r.Backgrounds), "background")))
	fold(w, "  ", r.Test.Notation)
	fmt.Fprintln(w)
	if r.Failed == 0 {
		fold(w, "", fmt.Sprintf("No operation of %d failed; and none with another content at first (fills %d and %d).", r.Operations, r.Fills[0], r.Fills[1]))
	} else {
		r.printFailed(w)
	}
	printKinds(w, "This test never sees, whatever they do:", r.Never)
	printKinds(w, "It sees only some of, or only with luck:", r.Partly)
	if r.Failed == 0 {
		fold(w, "", "Nor need it see what takes time to fade, what fails now and then, or faults that undo one another.")
	}
	var put []string
	for _, j := range r.Jams {
		put = append(put, j.Place+": "+j.Effect)
	}
	section(w, "faults put in", put)
	if len(put) > 0 {
		fmt.Fprintln(w)
	}
}

// printFailed says which operations failed, where, and what can alone have done it.
func (r *marchReport) printFailed(w io.Writer) {
	content := ""
	if len(r.Fills) > 1 {
		content = fmt.Sprintf(", with fill %d; none with fill %d", r.Fills[1], r.Fills[0])
	}
	fold(w, "", fmt.Sprintf("%d of %d operations failed, in %s%s:", r.Failed, r.Operations, amount(r.Places, "word"), content))
	for _, c := range r.By {
		if c.Failed > 0 {
			fold(w, "  ", fmt.Sprintf("element %d %s, operation %d %s: %d", c.Element, c.Text, c.Operation, c.Op, c.Failed))
		}
	}
	fmt.Fprintln(w, "\nThe first:")
	for _, f := range r.Failures {
		said := fmt.Sprintf("%s of element %d at %s, background %s: wanted %s, got %s", f.op, f.Element, f.Place.Text, f.Background, f.Wanted, f.Got)
		if f.Remark != "" {
			said += ", " + f.Remark
		}
		fold(w, "  ", said)
	}
	if len(r.Groups) > 0 {
		fmt.Fprintln(w, "\nCells that failed alike, and the kinds of fault that can alone do so:")
	}
	for _, g := range r.Groups[:min(len(r.Groups), mostFailures)] {
		kinds := "no single fault of the kinds known here"
		if len(g.Kinds) > 0 {
			kinds = symbols(g.Kinds)
		}
		fold(w, "  ", fmt.Sprintf("%s, wrong in %s: %s", g.Where, amount(g.Reads, "read"), kinds))
	}
	if more := len(r.Groups) - mostFailures; more > 0 {
		fmt.Fprintf(w, "  and %d more, which --json lists\n", more)
	}
	fmt.Fprintln(w)
	if len(r.Groups) > 1 {
		printKinds(w, "Fits all of them, a fault in each cell:", r.Fits)
	}
}

// printKinds prints kinds by their symbols after a label.
func printKinds(w io.Writer, label string, kinds []marchKind) {
	if len(kinds) == 0 {
		return
	}
	fold(w, "", label+" "+symbols(kinds))
}

// symbols is the symbols of kinds; linked kinds hold a blank, so commas part them.
func symbols(kinds []marchKind) string {
	var all []string
	for _, k := range kinds {
		all = append(all, k.Symbol)
	}
	return strings.Join(all, ", ")
}
