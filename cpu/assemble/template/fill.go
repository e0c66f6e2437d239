package template

import (
	"errors"
	"fmt"
	"go/scanner"
	"slices"
	"strings"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
	"coldstart/memory/march"
)

// A Job is what a routine is to do: a test of all words from First to Last.
type Job struct {
	Test        march.Test
	First, Last memory.Addr
	Backgrounds []memory.Word // nil: those of march.Backgrounds
}

// A Routine is a template filled in for a job: order text, and what it comes to.
type Routine struct {
	Text     []byte
	Program  *assemble.Program
	Findings []Finding
}

// A Finding is a store place where a routine leaves something, and what.
type Finding struct {
	Label string
	Addr  memory.Addr
	Says  string
}

// Fill writes the order text of a job and assembles it. The error is a go/scanner.ErrorList of places in the template where
// the text does not assemble, or one sentence.
func (t *Template) Fill(c *order.Code, j Job) (*Routine, error) {
	if err := fits(&c.Geometry, j); err != nil {
		return nil, err
	}
	if j.Backgrounds == nil {
		j.Backgrounds = march.Backgrounds(c.Geometry.Width)
	}
	f := &filling{template: t, code: c, job: j}
	f.write()
	program, err := f.assemble()
	if err != nil {
		return nil, err
	}
	if program, err = f.pad(program); err != nil {
		return nil, err
	}
	r := &Routine{Text: f.text(), Program: program}
	if err := f.found(r); err != nil {
		return nil, err
	}
	return r, nil
}

// fits refuses a job that an order text cannot do: all that is tested must be store of full words that can be written.
func fits(g *memory.Geometry, j Job) error {
	for a := j.First; a <= j.Last; {
		area := g.Area(a)
		switch {
		case area == nil:
			return fmt.Errorf("nothing answers at %s, and a test by orders goes through all addresses from %s to %s",
				g.Style.Addr(a, g.AddrBits), g.Style.Addr(j.First, g.AddrBits), g.Style.Addr(j.Last, g.AddrBits))
		case area.Wired:
			return fmt.Errorf("%s is wired, and a test writes", area.Name)
		case area.Width != g.Width:
			return fmt.Errorf("%s holds words of %d bits, and the text compares whole words of %d", area.Name, area.Width, g.Width)
		case area.Last >= j.Last:
			return nil
		}
		a = area.Last + 1
	}
	return nil
}

// A filling is a template on its way to order text.
type filling struct {
	template *Template
	code     *order.Code
	job      Job
	lines    []line
}

// write puts the pieces down in their order, without the blocks and the pad.
func (f *filling) write() {
	job := f.job
	all := map[string]string{
		"test": job.Test.String(), "first": f.address(job.First), "last": f.address(job.Last),
		"backgrounds": f.number(uint64(len(job.Backgrounds))), "operations": f.number(uint64(job.Test.Length())),
	}
	f.piece("head", all)
	op := 0
	for i, e := range job.Test.Elements {
		way := "up"
		if e.Order == march.Down {
			way = "down"
		}
		all["element"] = f.number(uint64(i + 1))
		f.piece(way, all)
		for _, o := range e.Ops {
			op++
			all["op"] = f.number(uint64(op))
			f.piece(o.String(), all)
		}
		f.piece(way+"-end", all)
	}
	f.piece("tail", all)
	for _, w := range job.Backgrounds {
		all["background"] = digits(f.code.Geometry.Style.Word(w, f.code.Geometry.Width))
		f.piece("background", all)
	}
}

// piece puts one piece down, filled in.
func (f *filling) piece(name string, with map[string]string) {
	for _, l := range f.template.pieces[name].lines {
		text := brace.ReplaceAllStringFunc(l.text, func(b string) string { return with[strings.Trim(b, "{}")] })
		f.lines = append(f.lines, line{text, l.from})
	}
}

func (f *filling) number(n uint64) string { return digits(f.code.Geometry.Style.Number(n)) }

func (f *filling) address(a memory.Addr) string {
	return digits(f.code.Geometry.Style.Addr(a, f.code.Geometry.AddrBits))
}

// digits makes a number begin with a digit, as order text wants it.
func digits(text string) string {
	if text[0] >= 'A' {
		return "0" + text
	}
	return text
}

// text is the lines as one text.
func (f *filling) text() []byte {
	var b strings.Builder
	for _, l := range f.lines {
		b.WriteString(l.text + "\n")
	}
	return []byte(b.String())
}

// assemble assembles the text as it is so far. Errors are moved to the lines of the template, each told once.
func (f *filling) assemble() (*assemble.Program, error) {
	program, err := assemble.Assemble(f.code, assemble.Source{Name: f.template.name, Text: f.text()})
	var all scanner.ErrorList
	if !errors.As(err, &all) {
		return program, err
	}
	var there list.Errors
	told := map[int]bool{}
	for _, e := range all {
		from := f.lines[min(max(e.Pos.Line, 1), len(f.lines))-1]
		if told[from.from] {
			continue
		}
		told[from.from] = true
		pos := e.Pos
		pos.Line, pos.Offset = from.from, 0
		there.Add(pos, "%s; filled in, the line is `%s`", e.Msg, list.Safe(strings.TrimSpace(from.text)))
	}
	return nil, there.Err()
}

// pad fills the text up to the address of the pad, and puts the blocks before it.
func (f *filling) pad(program *assemble.Program) (*assemble.Program, error) {
	t, g := f.template, &f.code.Geometry
	pad, padded := t.pieces["pad"]
	blocks := t.pieces["blocks"]
	if padded {
		to, err := g.Style.Parse(pad.arg)
		if err != nil {
			return nil, scanner.ErrorList{{Pos: pad.at, Msg: err.Error()}}
		}
		last := lastUpTo(program, memory.Addr(to))
		step := memory.Addr(g.Step())
		if next, ok := program.Word(memory.Addr(to) + step); ok {
			return nil, fmt.Errorf("the order text goes on beyond %s, to which %s:%d pads it, with a word at %s: choose a shorter test",
				g.Style.Addr(memory.Addr(to), g.AddrBits), t.name, pad.at.Line, g.Style.Addr(next.Addr, g.AddrBits))
		}
		f.lines = append(f.lines, line{"at " + f.address(last+step), pad.at.Line})
		for a := last + step; a <= memory.Addr(to); a += step {
			f.lines = append(f.lines, pad.lines...)
		}
	}
	if !padded && len(blocks.lines) == 0 {
		return program, nil
	}
	f.lines = slices.Concat(blocks.lines, f.lines)
	return f.assemble()
}

// lastUpTo is the last word of the program that is not above an address.
func lastUpTo(program *assemble.Program, to memory.Addr) memory.Addr {
	var last memory.Addr
	for _, w := range program.Words {
		if w.Addr <= to {
			last = w.Addr
		}
	}
	return last
}

// found finds the places of the findings, and refuses a routine that would overwrite itself or what it found.
func (f *filling) found(r *Routine) error {
	g, inside := &f.code.Geometry, func(a memory.Addr) bool { return f.job.First <= a && a <= f.job.Last }
	style := func(a memory.Addr) string { return g.Style.Addr(a, g.AddrBits) }
	for _, w := range r.Program.Words {
		if inside(w.Addr) {
			return fmt.Errorf("the order text has a word at %s, within the store it is to test, %s to %s", style(w.Addr), style(f.job.First), style(f.job.Last))
		}
	}
	for _, rec := range f.template.findings {
		a, ok := r.Program.Label(rec.Words[0].Text)
		if !ok {
			return scanner.ErrorList{{Pos: rec.Pos, Msg: fmt.Sprintf("the order text has no label %s", list.Safe(rec.Words[0].Text))}}
		}
		if inside(a) {
			return fmt.Errorf("%s stands at %s, within the store to be tested, %s to %s", rec.Words[0].Text, style(a), style(f.job.First), style(f.job.Last))
		}
		r.Findings = append(r.Findings, Finding{rec.Words[0].Text, a, rec.Words[1].Text})
	}
	return nil
}
