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
	if f.size > mostText {
		return nil, fmt.Errorf("filled in, the template comes to more than %d characters: choose a shorter test, or let the text have routines", mostText)
	}
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

// mostText is how long a template and a text may be, in characters: far more than any store of the time would hold.
const mostText = 1_000_000

// A filling is a template on its way to order text.
type filling struct {
	template *Template
	code     *order.Code
	job      Job
	lines    []line
	size     int // of the lines, in characters
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
		if f.size > mostText {
			return
		}
		text := brace.ReplaceAllStringFunc(l.text, func(b string) string { return with[strings.Trim(b, "{}")] })
		f.lines = append(f.lines, line{text, l.from})
		f.size += len(text) + 1
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
	blocks, padded := f.template.pieces["blocks"].lines, false
	if pad, there := f.template.pieces["pad"]; there {
		if err := f.padTo(program, pad); err != nil {
			return nil, err
		}
		padded = true
	}
	if !padded && len(blocks) == 0 {
		return program, nil
	}
	f.lines = slices.Concat(blocks, f.lines)
	return f.assemble()
}

// padTo writes what a pad holds as often as words are missing up to its address. There is an end to it: the address lies in the
// same area as the text does.
func (f *filling) padTo(program *assemble.Program, pad piece) error {
	g := &f.code.Geometry
	wrong := func(format string, args ...any) error {
		return scanner.ErrorList{{Pos: pad.at, Msg: fmt.Sprintf(format, args...)}}
	}
	end, err := g.Style.Parse(pad.arg)
	if err != nil {
		return wrong("%v", err)
	}
	to, step := memory.Addr(end), memory.Addr(g.Step())
	last, any := lastUpTo(program, to)
	if !any || g.Area(to) == nil || g.Area(to) != g.Area(last) || (to-last)/step > mostPad {
		return wrong("there is no order text in the same area below %s, or more than %d words are missing up to it", pad.arg, mostPad)
	}
	if next, beyond := program.Word(to + step); beyond {
		return fmt.Errorf("the order text goes on beyond %s, to which %s:%d pads it, with a word at %s: choose a shorter test",
			g.Style.Addr(to, g.AddrBits), f.template.name, pad.at.Line, g.Style.Addr(next.Addr, g.AddrBits))
	}
	f.lines = append(f.lines, line{"at " + f.address(last+step), pad.at.Line})
	for a := last + step; a <= to; a += step {
		f.lines = append(f.lines, pad.lines...)
	}
	return nil
}

// mostPad is how many words a pad may come to.
const mostPad = 1 << 16

// lastUpTo is the last word of the program that is not above an address, if there is one.
func lastUpTo(program *assemble.Program, to memory.Addr) (last memory.Addr, any bool) {
	for _, w := range program.Words {
		if w.Addr <= to {
			last, any = w.Addr, true
		}
	}
	return last, any
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
