package cli

import (
	"errors"
	"fmt"
	"go/scanner"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"coldstart/cpu/assemble/template"
	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/memory"
	"coldstart/memory/march"
)

// A marchOrders says what a test became as order text.
type marchOrders struct {
	heading
	Machine  string          `json:"machine"`
	Test     marchTest       `json:"test"`
	Span     surveySpan      `json:"span"`
	Words    int             `json:"words"` // of the text
	Stands   string          `json:"stands"`
	Blocks   int             `json:"blocks"`
	Findings []marchFinding  `json:"findings"`
	Numbers  []marchNumbered `json:"operations"`
	Wrote    string          `json:"wrote"`
	Next     []string        `json:"next"` // commands that try it here
}

// A marchFinding is a store place where the text leaves something.
type marchFinding struct {
	Label string        `json:"label"`
	Place addressReport `json:"place"`
	Says  string        `json:"says"`
}

// A marchNumbered is an operation of the test, and the number that the text knows it by.
type marchNumbered struct {
	Number  int    `json:"number"`
	Shown   string `json:"shown"`
	Element string `json:"element"`
	Op      string `json:"op"`
}

// write writes the test as order text by the template of the machine.
func (m *marching) write(code *order.Code, test march.Test, s march.Span, typed func(string) string) error {
	src, name, err := m.start.office.file(m.template, "march", func(names *loader.Office) string { return names.March.Text })
	if err != nil {
		return err
	}
	t, err := template.Read(name, src)
	if err != nil {
		return err
	}
	to := loader.Span{First: s.First, Last: s.Last}
	routine, err := t.Fill(code, template.Job{Test: test, First: to.First, Last: to.Last, Backgrounds: s.Backgrounds})
	var errs scanner.ErrorList
	switch {
	case errors.As(err, &errs):
		return err
	case err != nil:
		return &unusable{where: name, what: err.Error(), next: "name the store to be tested with --area, or look at the template"}
	}
	if err := m.env.save(m.replace, output{path: m.orders, data: routine.Text}); err != nil {
		return err
	}
	r := newMarchOrders(code, test, to, routine, m.orders)
	r.Next = m.next(code, routine, typed)
	return m.env.show("march", r)
}

// machineOf is the machine file that an office names.
func machineOf(names *loader.Office) string { return names.Machine.Text }

// next is how the text is assembled and run here: from a tape of its own, or where there is none as an image from its first word
// on. It is done when a finding named done says so.
func (m *marching) next(code *order.Code, routine *template.Routine, typed func(string) string) []string {
	g := &code.Geometry
	stem := strings.TrimSuffix(m.orders, filepath.Ext(m.orders))
	made := shellWord(stem + ".tape")
	assemble, run := typed("assemble")+" "+shellWord(m.orders), typed("bringup")
	if m.start.office.machine == "" && len(routine.Program.Blocks) > 0 {
		assemble += " --tape " + made
		run += " --tape " + made
	} else {
		made = shellWord(stem + ".words")
		assemble += " -o " + made
		if m.start.office.machine == "" { // an image takes one beside it
			if _, machine, err := m.start.office.file("", "machine", machineOf); err == nil {
				run += " --machine " + shellWord(machine)
			}
		}
		run += " --image " + made + " --start " + g.Style.Addr(routine.Program.Words[0].Addr, g.AddrBits)
	}
	at := slices.IndexFunc(routine.Findings, func(f template.Finding) bool { return f.Label == "done" })
	if at < 0 {
		return []string{assemble, run}
	}
	return []string{assemble, run + fmt.Sprintf(" --until 'store %s = 1'", g.Style.Addr(routine.Findings[at].Addr, g.AddrBits))}
}

func newMarchOrders(code *order.Code, t march.Test, to loader.Span, routine *template.Routine, path string) *marchOrders {
	g := &code.Geometry
	r := &marchOrders{Machine: code.Name, Test: testOf(t), Span: spanOf(g, to), Words: len(routine.Program.Words),
		Blocks: len(routine.Program.Blocks), Wrote: path, Findings: []marchFinding{}}
	image := memory.NewImage(*g)
	for a, w := range routine.Program.All() {
		image.Set(a, w, memory.Origin{}) // it has room: the program was assembled for this store
	}
	r.Stands = runs(g, wordRuns(image))
	for _, f := range routine.Findings {
		r.Findings = append(r.Findings, marchFinding{f.Label, addressReport{uint64(f.Addr), g.Style.Addr(f.Addr, g.AddrBits)}, f.Says})
	}
	for i, e := range t.Elements {
		for _, op := range e.Ops {
			n := len(r.Numbers) + 1
			r.Numbers = append(r.Numbers, marchNumbered{n, g.Style.Number(uint64(n)), fmt.Sprintf("element %d %s", i+1, e), op.String()})
		}
	}
	return r
}

func (r *marchOrders) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("wrote %s: %s on %s of %s, %s at %s", r.Wrote, r.Test.Notation, r.Span.At, r.Machine, amount(r.Words, "word"), r.Stands))
	fmt.Fprintln(w, "\nWhat it leaves in store:")
	for _, f := range r.Findings {
		fold(w, "  ", fmt.Sprintf("%s  %-13s %s", f.Place.Text, f.Label, f.Says))
	}
	fmt.Fprintln(w, "\nIts numbers of the operations:")
	last := ""
	for _, n := range r.Numbers {
		if n.Element != last {
			fold(w, "  ", n.Element)
			last = n.Element
		}
		fmt.Fprintf(w, "    %3s  %s\n", n.Shown, n.Op)
	}
	fmt.Fprintln(w, "\nTo try it here:")
	for _, line := range r.Next {
		fmt.Fprintln(w, foldCommand(" ", list.Safe(line)))
	}
}
