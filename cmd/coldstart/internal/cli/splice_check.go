package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/loader/splice"
	"coldstart/loader/tape"
)

// hold makes the recording of a lineage again, from the files it names, and compares.
func (s *splicing) hold(c *cobra.Command) error {
	for _, name := range options(c) {
		if f := c.Flags().Lookup(strings.TrimPrefix(name, "--")); f.Changed && !slices.Contains([]string{"check", "json", "file-limit"}, f.Name) {
			return &unusable{where: "splice", what: fmt.Sprintf("--check goes by what the lineage says, and %s says otherwise", name), next: "leave out one of the two"}
		}
	}
	src, err := s.env.read(s.check)
	if err != nil {
		return err
	}
	old, err := splice.ReadLineage(s.check, src)
	if err != nil {
		return &unusable{what: err.Error(), next: "name a file that `coldstart splice --out` has written"}
	}
	r := &spliceHeldReport{File: s.check, Broken: []string{}}
	h := &heldLineage{s: s, r: r, old: old, folder: filepath.Dir(s.check)}
	image := h.input("the recording", old.Head.Image)
	merged, err := h.merge()
	switch {
	case err != nil:
		r.Broken = append(r.Broken, "it cannot be made again: "+list.Report(err))
	default:
		h.compare(merged, image, src)
		r.Doubtful, r.Lost, r.Against, r.LeftOut = len(old.Doubtful()), len(old.Lost()), old.Against(), old.LeftOut()
	}
	r.Holds = len(r.Broken) == 0
	r.judge(watch.Good)
	r.but = r.leaves()
	if !r.Holds {
		r.judge(watch.Trouble)
		r.LookAt = r.Broken
		r.ToSettle = []string{"bring back the files the recording was made from, or splice them anew"}
	}
	return s.env.show("splice", r)
}

// A heldLineage is a lineage on the way of being made again.
type heldLineage struct {
	s      *splicing
	r      *spliceHeldReport
	old    *splice.Lineage
	folder string
}

// input reads a file that the lineage names, and says where it is not the one meant; nil where it cannot be read.
func (h *heldLineage) input(part string, in splice.Input) []byte {
	path := in.Path
	if !filepath.IsAbs(path) {
		path = filepath.Join(h.folder, filepath.FromSlash(path))
	}
	src, err := h.s.env.read(path)
	if err != nil {
		h.r.Broken = append(h.r.Broken, list.Report(err))
		return nil
	}
	if now := digest(src); now != in.SHA256 {
		h.r.Broken = append(h.r.Broken, fmt.Sprintf("%s: this is not %s that the lineage names: its SHA-256 begins %.8s, and that one's %.8s", path, part, now, in.SHA256))
	}
	return src
}

// merge does the merge again.
func (h *heldLineage) merge() (*splice.Merged, error) {
	s, head := h.s, &h.old.Head
	src := h.input("the layout", head.Layout)
	if src == nil {
		return nil, fmt.Errorf("the layout is missing")
	}
	var err error
	if s.layout, err = tape.ReadLayout(head.Layout.Path, src); err != nil {
		return nil, err
	}
	for _, in := range head.Passes {
		src := h.input("the pass", in)
		if src == nil {
			return nil, fmt.Errorf("a pass is missing")
		}
		rec, err := tape.Read(s.layout, in.Name, bytes.NewReader(src))
		if err != nil {
			return nil, err
		}
		s.files = append(s.files, passFile{in.Name, digest(src), in.Of, rec})
	}
	s.takes = head.Takes
	decisions, err := s.decide()
	if err != nil {
		return nil, err
	}
	if in := head.Decisions; in != nil {
		src := h.input("the decisions list", *in)
		if src == nil {
			return nil, fmt.Errorf("the decisions list is missing")
		}
		more, err := splice.ReadDecisions(s.layout, in.Name, src)
		if err != nil {
			return nil, err
		}
		decisions = append(more, decisions...)
	}
	return splice.Merge(s.layout, s.passes(), decisions, splice.Bounds{Mixtures: head.Mixtures, Slip: head.Slip})
}

// compare holds what came out against the recording and the lineage.
func (h *heldLineage) compare(m *splice.Merged, image, lineage []byte) {
	made := m.Image()
	if image != nil && !bytes.Equal(made, image) {
		h.r.Broken = append(h.r.Broken, fmt.Sprintf("%s: made again it is otherwise, from byte %d on: block %s", h.old.Head.Image.Path, different(made, image), h.blockAt(m, different(made, image))))
	}
	head := h.old.Head
	head.Image.SHA256 = digest(made)
	if again := m.Lineage(head); !bytes.Equal(again, lineage) {
		line := 1 + bytes.Count(lineage[:different(again, lineage)], []byte("\n"))
		h.r.Broken = append(h.r.Broken, fmt.Sprintf("%s:%d: made again, it says other things", h.s.check, line))
	}
}

// blockAt names the block that byte at of the recording belongs to.
func (h *heldLineage) blockAt(m *splice.Merged, at int) string {
	n := 0
	for _, b := range m.Blocks {
		if b.Raw == nil {
			continue
		}
		if n += len(m.Layout.AppendRaw(nil, b.Raw)); at < n {
			return b.Name
		}
	}
	return "behind the last"
}

// different gives the first place where two texts are not alike.
func different(a, b []byte) int {
	n := min(len(a), len(b))
	for i := range n {
		if a[i] != b[i] {
			return i
		}
	}
	return n
}

// A spliceHeldReport says what of a lineage no longer holds.
type spliceHeldReport struct {
	heading
	File     string   `json:"lineage"`
	Holds    bool     `json:"holds"`
	Broken   []string `json:"broken"`
	Doubtful int      `json:"doubtful_words"`
	Lost     int      `json:"lost_blocks"`
	LeftOut  int      `json:"blocks_left_out"`
	Against  int      `json:"decisions_against_the_evidence"`
}

// leaves says what a lineage leaves open though it holds; "" for nothing.
func (r *spliceHeldReport) leaves() string {
	var open []string
	add := func(n int, thing, more string) {
		if n > 0 {
			open = append(open, amount(n, thing)+more)
		}
	}
	add(r.Doubtful, "doubtful word", "")
	add(r.Lost, "lost block", "")
	add(r.LeftOut, "block", " left out")
	add(r.Against, "decision", " against the evidence")
	if !r.Holds || len(open) == 0 {
		return ""
	}
	return "the lineage holds, but what it is of has " + strings.Join(open, ", ")
}

func (r *spliceHeldReport) print(w io.Writer) {
	if !r.Holds {
		fmt.Fprintln(w, "What no longer holds:")
		for _, b := range r.Broken {
			fold(w, "  ", b)
		}
		return
	}
	fold(w, "", fmt.Sprintf("The lineage holds: made again from the files it names, %s and the recording come out byte for byte.", r.File))
	fold(w, "", fmt.Sprintf("It leaves doubtful words: %d; lost blocks: %d; decisions against the evidence: %d.", r.Doubtful, r.Lost, r.Against))
}
