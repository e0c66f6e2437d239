package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"go/token"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/loader/splice"
	"coldstart/loader/tape"
)

// newSplice makes the command that makes one recording of several passes.
func newSplice(e *env) *cobra.Command {
	s := &splicing{env: e}
	c := &cobra.Command{
		Use:     "splice PASS PASS...",
		Short:   "make one recording of several passes of a worn tape",
		GroupID: before,
		Long: `Two to nine passes of one tape are aligned, block by block, and then compared: a
pass that lost or gained bits is moved back before it counts. A block is settled
when a whole copy passes its block check or its sum, or when of all mixtures of
the copies one alone passes, and so few were tried that no accident is likely.
That passes agree proves nothing, and a right sum can be wrong: errors that make
up for each other pass it. What is left in doubt is kept in every reading
that passes, as 031.a, 031.b and so on; a block in no pass is lost, and nothing
is invented to fill it.

With --out the merged recording is written, and beside it its lineage: for each
word the pass it came from, what speaks for it, and who decided. Passes may be
named in any order: no byte of either comes out otherwise.

Of each copy the report says that it is good (or blank: it passes, but all of it
is 0), that it slipped, is short, or lost, or what is wrong with it: check, sum,
mark, count, or stray, its parity; other says that it holds something else. A * says that the pass holds it more than
once: the last good one counts.

The verdict is GOOD when every block is settled, UNDECIDED when some are
doubtful, TROUBLE when some are lost.

A decisions list settles what is doubtful, one record for each decision:
  decide block 031 take 031.b 3f2a by "NAME" on 2026-11-25 because "REASON"
  decide block 031 word 112 is 123456 by "NAME" on 2026-11-25 because "REASON"
3f2a is the digest of the words of that reading, as the report shows it: a, b and so
on may be other readings once a pass is added, and the digest goes with the words.`,
		Example: "  coldstart splice pass1.tape pass2.tape pass3.tape\n" +
			"  coldstart splice pass1.tape pass2.tape pass3.tape --out merged.tape\n" +
			"  coldstart splice pass1.tape pass2.tape --decode pass2.tape=slow.tape\n" +
			"  coldstart splice --check merged.tape.lineage   make it again, and compare",
		Args: func(c *cobra.Command, words []string) error {
			if s.check != "" {
				return takes(0, 0, "--check FILE, or passes, not both")(c, words)
			}
			return takes(2, 9, "two to nine passes of one tape")(c, words)
		},
		RunE: func(c *cobra.Command, words []string) error {
			if s.check != "" {
				return s.hold(c)
			}
			if err := lasting(c, words); s.out != "" && err != nil {
				return err
			}
			return s.run(words, typedFor(c, "take", "out", "replace")("splice"))
		},
	}
	s.office = e.takesOffice(c, decides)
	c.Flags().StringVar(&s.office.layout, "layout", "", "the `FILE` with the layout of the tape (default: the office's)")
	c.Flags().StringArrayVar(&s.decodes, "decode", nil, "`PASS=FILE` says that FILE is another decode of that pass, and no witness of its own")
	c.Flags().StringVar(&s.decisions, "decisions", "", "settle doubts by this decisions list, a `FILE`")
	c.Flags().StringArrayVar(&s.takes, "take", nil, "put this `MIXTURE`, such as 031.b, into the result; it settles nothing")
	c.Flags().StringArrayVar(&s.short, "short", nil, "take this `PASS` though it ends within a block")
	c.Flags().IntVar(&s.bounds.Mixtures, "mixtures", 4096, "try at most `N` mixtures of one block, 1 to 1048576")
	c.Flags().StringVar(&s.out, "out", "", "write the merged recording to this new `FILE`, and FILE.lineage")
	c.Flags().BoolVar(&s.replace, "replace", false, "let the files written take the place of older ones")
	c.Flags().StringVar(&s.check, "check", "", "make the recording of this lineage, a `FILE`, again, and compare")
	return c
}

// A splicing is one run of splice.
type splicing struct {
	env                   *env
	office                *officeOption
	decodes, takes, short []string
	decisions, out, check string
	replace               bool
	bounds                splice.Bounds

	layout *tape.Layout
	files  []passFile
	head   splice.Head
}

// A passFile is one recording given, a pass or a decode of one.
type passFile struct {
	path, sha256 string
	of           string // path of its pass; "" for a pass itself
	rec          *tape.Recording
}

// run merges the passes, writes what is to be written, and reports; typed is the command, without what is to be written.
func (s *splicing) run(words []string, typed string) error {
	if s.bounds.Mixtures < 1 || s.bounds.Mixtures > 1<<20 {
		return &unusable{where: "splice", what: fmt.Sprintf("--mixtures cannot be %d", s.bounds.Mixtures), next: fmt.Sprintf("say a number from 1 to %d", 1<<20)}
	}
	if s.out == "" && s.replace {
		return &unusable{where: "splice", what: "--replace says that a file may be replaced, and none is written", next: "add --out FILE"}
	}
	merged, err := s.merge(words)
	if err != nil {
		return err
	}
	r := &spliceReport{}
	r.fill(merged, words)
	if s.out != "" {
		image := merged.Image()
		if len(image) == 0 {
			return &unusable{where: s.out, what: "not one block is left to be written", next: "leave out --out and look at the report"}
		}
		head, err := s.named(image)
		if err != nil {
			return err
		}
		lineage := s.out + lineageSuffix
		if err := s.env.save(s.replace, output{s.out, image}, output{lineage, merged.Lineage(head)}); err != nil {
			return err
		}
		r.Written = []string{s.out, lineage}
	}
	again := func(options ...string) string {
		line := []string{typed}
		for _, w := range append(slices.Clone(words), options...) {
			line = append(line, shellWord(w))
		}
		return strings.Join(line, " ")
	}
	r.settle(merged, again, s.out)
	return s.env.show("splice", r)
}

// lineageSuffix is what the lineage of a recording is called behind the recording's own name.
const lineageSuffix = ".lineage"

// merge reads all that is named, and merges it.
func (s *splicing) merge(words []string) (*splice.Merged, error) {
	var err error
	if s.layout, err = s.office.tapeLayout(); err != nil {
		return nil, err
	}
	s.head.Layout = s.last("")
	given, err := s.given(words)
	if err != nil {
		return nil, err
	}
	for _, f := range given {
		if err := s.read(f.path, f.of); err != nil {
			return nil, err
		}
	}
	decisions, err := s.decide()
	if err != nil {
		return nil, err
	}
	merged, err := splice.Merge(s.layout, s.passes(), decisions, s.bounds)
	if err != nil {
		return nil, s.refused(err)
	}
	return merged, nil
}

// given lists the files named, the passes first, before any is read.
func (s *splicing) given(words []string) ([]passFile, error) {
	var all []passFile
	for _, path := range words {
		all = append(all, passFile{path: path})
	}
	for _, text := range s.decodes {
		pass, file, both := strings.Cut(text, "=")
		if !both || pass == "" || file == "" {
			return nil, &unusable{where: "splice", what: fmt.Sprintf("--decode cannot be %q", text), next: "write it like --decode PASS=FILE, where PASS is one of the passes named"}
		}
		if !slices.Contains(words, pass) {
			return nil, &unusable{where: "splice", what: fmt.Sprintf("--decode says that %s is a decode of %s, and no such pass is named", file, pass), next: "name the pass as it is named among the passes"}
		}
		all = append(all, passFile{path: file, of: pass})
	}
	for _, name := range s.short {
		if !slices.ContainsFunc(all, func(f passFile) bool { return f.path == name }) {
			return nil, &unusable{where: "splice", what: fmt.Sprintf("--short %s is none of the files named", name), next: "name it as it is named among them"}
		}
	}
	return all, nil
}

// last is the input read last, as a lineage names it.
func (s *splicing) last(of string) splice.Input {
	in := s.env.inputs[len(s.env.inputs)-1]
	return splice.Input{Name: in.Path, Path: in.Path, SHA256: in.SHA256, Of: of}
}

// read reads one recording, and refuses one that no pass can be.
func (s *splicing) read(path, of string) error {
	if path == "-" {
		return &unusable{where: "splice", what: "a pass cannot come from standard input: the result has to name it", next: "save it to a file"}
	}
	src, err := s.env.read(path)
	if err != nil {
		return err
	}
	in := s.last(of)
	for _, f := range s.files {
		if f.sha256 == in.SHA256 {
			return s.same(f.path, path)
		}
	}
	rec, err := tape.Read(s.layout, path, bytes.NewReader(src))
	if err != nil {
		return err
	}
	if err := s.fits(path, rec); err != nil {
		return err
	}
	s.files = append(s.files, passFile{path, in.SHA256, of, rec})
	return nil
}

// same refuses two files that hold the same bytes.
func (s *splicing) same(a, b string) error {
	u := &unusable{where: b, next: "leave one out: a reading counts once"}
	if u.what = fmt.Sprintf("this holds the same bytes as %s", a); a == b {
		u.what = fmt.Sprintf("%s is named twice", a)
	}
	return u
}

// fits refuses a file that is no recording in this layout, and one that ends within a block, unless that was allowed.
func (s *splicing) fits(path string, rec *tape.Recording) error {
	marked := 0
	var last *tape.Block
	for _, b := range rec.Blocks {
		if p := b.Proof(); p.Mark == tape.Right || p.Mark == tape.Absent && !b.Rubbish() {
			marked++
		}
		last = b
	}
	if marked == 0 {
		return &unusable{where: path, what: fmt.Sprintf("not one block in layout %s is in it", s.layout.Name()),
			next: "look whether it is a recording of this tape, and whether --layout is the layout of it"}
	}
	cut := last != nil && slices.ContainsFunc(last.Problems, func(p *tape.BlockError) bool { return errors.Is(p, tape.ErrShort) })
	if !cut || slices.Contains(s.short, path) {
		return nil
	}
	what := fmt.Sprintf("it ends within block %s", last.Name)
	if n, vary := s.layout.Data(); !vary {
		what += fmt.Sprintf(", %s short of it", amount(s.layout.Length(n)-len(last.Raw), "word"))
	}
	return &unusable{where: path, what: what, next: fmt.Sprintf("copy it again; if the pass itself ended there, add --short %s", shellWord(path))}
}

// passes puts each pass and its decodes together. Decodes are taken in the order of their digests, like passes.
func (s *splicing) passes() []splice.Pass {
	var all []splice.Pass
	for _, f := range s.files {
		if f.of == "" {
			all = append(all, splice.Pass{Name: f.path, SHA256: f.sha256, Decodes: []*tape.Recording{f.rec}, Files: []string{f.path}})
		}
	}
	for _, f := range s.ordered() {
		for i := range all {
			if f.of == all[i].Name {
				all[i].Decodes = append(all[i].Decodes, f.rec)
				all[i].Files = append(all[i].Files, f.path)
			}
		}
	}
	return all
}

// ordered gives the files by their digests.
func (s *splicing) ordered() []passFile {
	return slices.SortedFunc(slices.Values(s.files), func(a, b passFile) int {
		return cmp.Or(cmp.Compare(a.sha256, b.sha256), cmp.Compare(a.path, b.path))
	})
}

// decide reads the decisions, and adds the mixtures that are only to be tried.
func (s *splicing) decide() (splice.Decisions, error) {
	var all splice.Decisions
	if s.decisions != "" {
		src, err := s.env.read(s.decisions)
		if err != nil {
			return nil, err
		}
		in := s.last("")
		s.head.Decisions = &in
		if all, err = splice.ReadDecisions(s.layout, s.decisions, src); err != nil {
			return nil, err
		}
	}
	for _, text := range s.takes {
		name, words, _ := strings.Cut(text, " ")
		block, _, _ := strings.Cut(name, ".")
		n, err := s.layout.Style().Parse(block)
		if err != nil || n > 1<<30 || !strings.Contains(name, ".") {
			return nil, &unusable{where: "splice", what: fmt.Sprintf("--take cannot be %q", name), next: "name a mixture as the report does, such as 031.b"}
		}
		if slices.ContainsFunc(all, func(d splice.Decision) bool { return d.Block == int(n) }) {
			return nil, &unusable{where: "splice", what: fmt.Sprintf("--take %s is about block %s, and something else is said of that already", name, s.layout.BlockName(int(n))), next: "leave out one of the two"}
		}
		all = append(all, splice.Decision{Pos: token.Position{Filename: "--take " + name}, Block: int(n), Mixture: name, Digest: words})
	}
	return all, nil
}

// refused puts an error of the merge into a sentence that says what next; lists of errors have their places already.
func (s *splicing) refused(err error) error {
	if strings.Contains(err.Error(), "no block numbers") {
		return &unusable{what: err.Error(), next: "leave out the pass that lost or gained a block"}
	}
	return err
}

// named gives the head of the lineage: all files by their paths from the folder that the result goes to.
func (s *splicing) named(image []byte) (splice.Head, error) {
	h := s.head
	folder := filepath.Dir(s.out)
	from := func(in splice.Input) (splice.Input, error) {
		path, err := relative(folder, in.Path)
		in.Path = path
		return in, err
	}
	var err error
	if h.Layout, err = from(h.Layout); err != nil {
		return h, err
	}
	if h.Decisions != nil {
		in, err := from(*h.Decisions)
		if err != nil {
			return h, err
		}
		h.Decisions = &in
	}
	for _, f := range s.ordered() {
		in, err := from(splice.Input{Name: f.path, Path: f.path, SHA256: f.sha256, Of: f.of})
		if err != nil {
			return h, err
		}
		h.Passes = append(h.Passes, in)
	}
	h.Image = splice.Input{Name: filepath.Base(s.out), Path: filepath.Base(s.out), SHA256: digest(image)}
	return h, nil
}

// relative gives the way to a file from a folder, so that both can be moved together.
func relative(folder, path string) (string, error) {
	if filepath.IsAbs(folder) != filepath.IsAbs(path) {
		var err error
		if folder, err = filepath.Abs(folder); err == nil {
			path, err = filepath.Abs(path)
		}
		if err != nil {
			return "", unreadable(path, err)
		}
	}
	way, err := filepath.Rel(folder, path)
	if err != nil {
		return "", unreadable(path, err)
	}
	return filepath.ToSlash(way), nil
}
