package cli

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// newAssemble makes the command that turns order text into words.
func newAssemble(e *env) *cobra.Command {
	a := &assembly{env: e}
	c := &cobra.Command{
		Use:     "assemble FILE...",
		Short:   "turn order text into words, or into a recording",
		GroupID: before,
		Long: `Order text becomes words by the order code of a machine file. All files share
their labels. The words are printed as lines "address: words", or written to a
new file with -o: plain words, S-records or Intel HEX, as its name ends. With --tape, the blocks that the text asks for are recorded in
the layout of the office's tapes, and -o takes only the words of no block.
If anything in the text is wrong, all that is wrong is said, by file, line and
column, and no file is written.`,
		Example: "  coldstart assemble trial.order                  print the words\n" +
			"  coldstart assemble trial.order -o trial.words   write them to a file\n" +
			"  coldstart assemble trial.order -o trial.s19     the same as S-records\n" +
			"  coldstart assemble --listing trial.order        print them beside the text\n" +
			"  coldstart assemble names.order second.order --tape new.tape\n" +
			"                                                  record the blocks they ask for",
		Args: takes(1, 1000, "one or more files of order text"),
		RunE: func(_ *cobra.Command, words []string) error { return a.run(words) },
	}
	a.office = e.takesOffice(c, teaches)
	a.office.takesFiles(c)
	c.Flags().StringVarP(&a.wordsTo, "out", "o", "", "write the words to this new `FILE`, "+writtenForms)
	c.Flags().StringVar(&a.tapeTo, "tape", "", "record the blocks of the text to this new `FILE`")
	c.Flags().BoolVar(&a.listing, "listing", false, "print the words beside the lines they come from")
	c.Flags().BoolVar(&a.replace, "replace", false, "let a file written take the place of an older one")
	return c
}

// An assembly is one run of assemble: what was asked for, then what it came to.
type assembly struct {
	env             *env
	office          *officeOption
	wordsTo, tapeTo string
	listing         bool
	replace         bool

	code    *order.Code
	sources []assemble.Source
	program *assemble.Program
	report  assembleReport
}

// run assembles the files, and writes what is to be written only when all of it has been made.
func (a *assembly) run(files []string) (err error) {
	if a.code, err = a.office.code(); err != nil {
		return err
	}
	for _, name := range files {
		src, err := a.env.read(name)
		if err != nil {
			return err
		}
		a.sources = append(a.sources, assemble.Source{Name: name, Text: src})
	}
	if a.program, err = assemble.Assemble(a.code, a.sources...); err != nil {
		return err
	}
	if len(a.program.Words) == 0 {
		return &unusable{where: files[len(files)-1], what: "no word comes of the text", next: "say `at ADDRESS`, and put orders or `words` below it"}
	}
	a.report.fill(a.code, a.program)
	outputs, err := a.outputs()
	if err != nil {
		return err
	}
	if err := a.env.save(a.replace, outputs...); err != nil {
		return err
	}
	return a.env.show("assemble", &a.report)
}

// outputs makes the files to be written, and the text to be printed.
func (a *assembly) outputs() ([]output, error) {
	var all []output
	loose, err := a.loose()
	if err != nil {
		return nil, err
	}
	var plain bytes.Buffer
	if err := loader.WriteWords(&plain, loose, a.code.Geometry); err != nil {
		return nil, err
	}
	if a.tapeTo != "" {
		data, err := a.record()
		if err != nil {
			return nil, err
		}
		all = append(all, output{path: a.tapeTo, data: data})
	}
	switch n := loose.Len(); {
	case a.wordsTo != "" && n == 0:
		return nil, &unusable{where: a.wordsTo, what: "there is no word to be written to it", next: "look whether the text makes words, and whether all of them stand in blocks"}
	case a.wordsTo != "":
		file, said, err := imageFile(a.wordsTo, loose, a.code.Geometry)
		if err != nil {
			return nil, err
		}
		all = append(all, file)
		a.report.wrote(a.wordsTo, said)
	case a.tapeTo != "" && n > 0:
		a.report.Notes = append(a.report.Notes, amount(n, "word")+" in no block, and so not on the recording; -o FILE writes what is left over")
	}
	switch {
	case a.listing:
		a.report.text = a.list()
	case len(all) == 0:
		a.report.text = plain.String()
	}
	return all, nil
}

// loose gives the words that go to no recording: all, or where one is made those that stand in no block.
func (a *assembly) loose() (*memory.Image, error) {
	all, err := a.program.Image(a.code.Geometry)
	if err != nil || a.tapeTo == "" {
		return all, err
	}
	loose := memory.NewImage(a.code.Geometry)
	for at, e := range all.All() {
		inside := func(b assemble.Block) bool { return b.First <= at && at-b.First < memory.Addr(b.Count) }
		if slices.ContainsFunc(a.program.Blocks, inside) {
			continue
		}
		if err := loose.Set(at, e.Word, e.Origin); err != nil {
			return nil, err
		}
	}
	return loose, nil
}

// record makes the recording of the blocks, reads it again, and keeps what there is to say about it.
func (a *assembly) record() ([]byte, error) {
	layout, err := a.office.tapeLayout()
	if err != nil {
		return nil, err
	}
	if len(a.program.Blocks) == 0 {
		return nil, &unusable{where: a.sources[0].Name, what: "nothing here asks for a tape block, so there is nothing to record",
			next: "begin each block with a line `block NUMBER, ADDRESS, COUNT`, or leave --tape out"}
	}
	var data []byte
	for _, b := range a.program.Blocks {
		var words []memory.Word
		for _, w := range a.program.Block(b) {
			words = append(words, w)
		}
		if data, err = layout.Append(data, b.Number, b.First, words); err != nil {
			return nil, &unusable{where: b.At.String(), what: err.Error(), next: "change the block, or the layout"}
		}
	}
	rec, err := tape.Read(layout, a.tapeTo, bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	a.report.wrote(a.tapeTo, fmt.Sprintf("%s in layout %s", amount(rec.Len(), "block"), layout.Name()))
	for _, b := range slices.Concat(rec.Blocks, rec.Missing) {
		for _, p := range b.Problems {
			a.report.Notes = append(a.report.Notes, p.Error())
		}
	}
	return data, nil
}

// list puts the words beside the lines they come from.
func (a *assembly) list() string {
	g := &a.code.Geometry
	type place struct {
		file string
		line int
	}
	words := map[place][]assemble.Word{}
	for _, w := range a.program.Words {
		at := place{w.At.Filename, w.At.Line}
		words[at] = append(words[at], w)
	}
	blank := strings.Repeat(" ", len(g.Style.Addr(0, g.AddrBits))+1+len(g.Style.Word(0, g.Width)))
	var b strings.Builder
	for _, s := range a.sources {
		if len(a.sources) > 1 {
			fmt.Fprintf(&b, "%s:\n", list.Safe(s.Name))
		}
		number := 0
		for line := range strings.Lines(string(s.Text)) {
			number++
			text := list.Safe(strings.ReplaceAll(strings.TrimRight(line, "\r\n"), "\t", "        "))
			mine := words[place{s.Name, number}]
			if len(mine) == 0 {
				fmt.Fprintln(&b, strings.TrimRight(blank+"  "+text, " "))
			}
			for i, w := range mine {
				if i > 0 {
					text = "" // further words of a line stand below the first
				}
				fmt.Fprintln(&b, strings.TrimRight(g.Style.Addr(w.Addr, g.AddrBits)+" "+g.Style.Word(w.Word, g.Width)+"  "+text, " "))
			}
		}
	}
	return b.String()
}
