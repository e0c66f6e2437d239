package cli

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/loader/splice"
)

// A spliceReport says what several passes come to.
type spliceReport struct {
	heading
	Layout    string        `json:"layout"`
	Passes    []splicePass  `json:"passes"` // as they were named
	Blocks    []spliceBlock `json:"blocks"`
	Words     spliceTotals  `json:"words"` // of data
	Notes     []string      `json:"notes"`
	Decisions []string      `json:"decisions"`
	Written   []string      `json:"written,omitempty"`
}

// A splicePass is one pass, and how many of its blocks are in each state.
type splicePass struct {
	Label  string         `json:"label"` // p1, p2 and so on
	File   string         `json:"file"`
	Turned string         `json:"turned,omitempty"` // inverted, backwards
	States map[string]int `json:"states"`
}

// A spliceTotals counts words of data by what is known of them.
type spliceTotals struct {
	Settled  int `json:"settled"`
	Decided  int `json:"decided"` // against what is recorded
	Doubtful int `json:"doubtful"`
	Lost     int `json:"lost"` // as far as it is known how many a lost block has
}

// A spliceBlock is one block.
type spliceBlock struct {
	Number   int             `json:"number"`
	Name     string          `json:"name"`
	Verdict  string          `json:"verdict"`
	State    string          `json:"state"` // settled, decided (against what is recorded), doubtful, lost
	Rule     string          `json:"rule"`  // check, sum, mixture, decision; none where nothing settles it
	Copies   []spliceCopy    `json:"copies"`
	How      string          `json:"how"`
	Tried    int             `json:"mixtures_tried"`
	Chance   string          `json:"chance_of_an_accident,omitempty"`
	Mixtures []spliceMixture `json:"mixtures"`
	Doubts   []spliceDoubt   `json:"doubtful_words"`
	Disputed []spliceDoubt   `json:"disputed_words"` // settled by the only mixture that passes, its reading first
	Guesses  []string        `json:"inferences"`     // never taken
	LoadsAt  string          `json:"loads_at,omitempty"`

	plain bool     // nothing is to be said of it but that it is settled
	cells []string // the state of each copy
}

// A spliceCopy is what one pass has of a block.
type spliceCopy struct {
	Pass   string       `json:"pass"` // its label
	State  string       `json:"state"`
	Slips  []spliceSlip `json:"slips"`
	Differ int          `json:"words_that_differ"`
	Unread int          `json:"words_it_has_not"`
}

// A spliceSlip is a place where a copy lost or gained bits.
type spliceSlip struct {
	Word int `json:"word"` // of the data, from 0; below 0 in the header
	Bits int `json:"bits"` // gained; below 0, lost
}

// A spliceMixture is one way to put a block together.
type spliceMixture struct {
	Name      string `json:"name"`
	Digest    string `json:"digest"` // of its words; a decision carries it
	Passes    bool   `json:"passes"`
	Witnesses int    `json:"witnesses"`
}

// A spliceDoubt is one word that is not settled.
type spliceDoubt struct {
	Word     int             `json:"word"`
	At       string          `json:"at"` // in the layout's style
	Readings []spliceReading `json:"readings"`
}

// A spliceReading is one way a word was read.
type spliceReading struct {
	Word   string   `json:"word"`
	Passes []string `json:"passes"` // their labels
	In     []string `json:"in"`     // mixtures
}

// fill puts a merge into the report; words are the passes as they were named.
func (r *spliceReport) fill(m *splice.Merged, words []string) {
	t := &spliceTeller{m: m, labels: map[string]string{}}
	for i, path := range words {
		t.labels[path] = fmt.Sprintf("p%d", i+1)
		t.order = append(t.order, slices.IndexFunc(m.Passes, func(p splice.Pass) bool { return p.Name == path }))
	}
	r.Layout, r.Notes, r.Decisions = m.Layout.Name(), append([]string{}, m.Notes...), []string{}
	for i, path := range words {
		p := splicePass{t.labels[path], path, m.Passes[t.order[i]].Turned, map[string]int{}}
		for _, b := range m.Blocks {
			p.States[b.Copies[t.order[i]].State]++
		}
		r.Passes = append(r.Passes, p)
	}
	r.Blocks = []spliceBlock{}
	for _, b := range m.Blocks {
		r.Blocks = append(r.Blocks, t.block(b))
		r.Words.add(b)
	}
	for i := range m.Decisions {
		if d := &m.Decisions[i]; d.By != "" {
			said := fmt.Sprintf("block %s: %s, decided by %s", m.Layout.BlockName(d.Block), m.What(d), d)
			if d.Against != "" {
				said += "; AGAINST EVIDENCE: " + d.Against
			}
			r.Decisions = append(r.Decisions, said)
		}
	}
}

// add counts the words of a block.
func (n *spliceTotals) add(b *splice.Block) {
	if b.Raw == nil {
		n.Lost += b.Count
		return
	}
	if b.State == splice.Decided {
		n.Decided += b.Count
		return
	}
	doubtful := 0
	for _, d := range b.Doubts {
		if d.Word >= 0 && d.Word < b.Count {
			doubtful++
		}
	}
	n.Doubtful += doubtful
	n.Settled += b.Count - doubtful
}

// settle judges, and says where to look and what to do next; again gives the command with other options, and
// written is where the result is.
func (r *spliceReport) settle(m *splice.Merged, again func(options ...string) string, written string) {
	r.judge(watch.Good)
	var open []string
	doubtful, decided, lost := false, false, false
	for i, b := range m.Blocks {
		if b.State == splice.Settled {
			continue
		}
		doubtful, lost = doubtful || b.State == splice.Doubtful, lost || b.State == splice.Lost
		decided = decided || b.State == splice.Decided
		open = append(open, b.Name)
		if len(open) <= mostOpen {
			r.LookAt = append(r.LookAt, fmt.Sprintf("block %s: %s", b.Name, r.Blocks[i].How))
		}
		for k, x := range b.Mixtures {
			inImage := x.Name == b.Taken || b.Taken == "" && k == 0
			if x.Passes && !inImage && len(r.ToSettle) == 0 {
				r.ToSettle = append(r.ToSettle, again("--take", x.Name, "--out", x.Name+".tape"), "bring up each reading: one that meets an order nobody knows is not the right one")
			}
		}
	}
	if more := len(open) - mostOpen; more > 0 {
		r.LookAt = append(r.LookAt, fmt.Sprintf("and %s more, as listed above", amount(more, "block")))
	}
	r.LookAt = append(r.LookAt, m.Notes...)
	switch {
	case lost:
		r.judge(watch.Trouble)
	case doubtful, decided, len(m.LeftOut) > 0:
		r.judge(watch.Undecided)
	}
	if written != "" {
		r.ToSettle = append(r.ToSettle, "coldstart bringup --tape "+shellWord(written))
	}
	if len(open) > 0 {
		r.ToSettle = append(r.ToSettle, fmt.Sprintf("read the tape once more where it holds %s, and add that pass", strings.Join(short(open), ", ")))
	}
	if doubtful {
		r.ToSettle = append(r.ToSettle, "compare doubtful words with a listing; write what you decide, and why, into a list for --decisions")
	}
	if written == "" {
		r.ToSettle = append(r.ToSettle, "add --out FILE to write the merged recording and its lineage")
	}
}

// mostOpen is how many blocks that are not settled are named one by one below the verdict.
const mostOpen = 12

// short gives block names, no more than some.
func short(names []string) []string {
	const most = 8
	if len(names) <= most {
		return names
	}
	return append(slices.Clone(names[:most]), fmt.Sprintf("and %d more", len(names)-most))
}

// asItIs keeps the table from being folded a second time.
func (*spliceReport) asItIs() {}

func (r *spliceReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%d passes spliced, layout %s", len(r.Passes), r.Layout))
	fmt.Fprintln(w)
	for _, p := range r.Passes {
		var states []string
		if p.Turned != "" {
			states = append(states, "read "+p.Turned+", and turned")
		}
		for _, s := range slices.Sorted(maps.Keys(p.States)) {
			states = append(states, fmt.Sprintf("%s %d", s, p.States[s]))
		}
		fmt.Fprintln(w, list.Fold(fmt.Sprintf("%-4s%s: %s", p.Label, list.Safe(p.File), strings.Join(states, ", ")), "      "))
	}
	fmt.Fprintln(w)
	r.table(w)
	r.doubts(w)
	for _, b := range r.Blocks {
		for _, g := range b.Guesses {
			fold(w, "", fmt.Sprintf("Inference, not taken: block %s: %s", b.Name, g))
		}
	}
	for _, n := range r.Notes {
		fold(w, "", "Of the passes: "+n)
	}
	for _, d := range r.Decisions {
		fold(w, "", "Decided: "+d)
	}
	fold(w, "", r.totals())
	for _, path := range r.Written {
		fold(w, "", "Written: "+path)
	}
}

// totals says how much of the tape is known.
func (r *spliceReport) totals() string {
	n := map[string]int{}
	for _, b := range r.Blocks {
		n[b.State]++
	}
	counted := func(settled, decided, doubtful, lost int) string {
		s := fmt.Sprintf("settled %d, ", settled)
		if n["decided"] > 0 {
			s += fmt.Sprintf("decided against the evidence %d, ", decided)
		}
		return s + fmt.Sprintf("doubtful %d, lost %d.", doubtful, lost)
	}
	return fmt.Sprintf("Blocks %d: %s Words of data: %s", len(r.Blocks), counted(n["settled"], n["decided"], n["doubtful"], n["lost"]),
		counted(r.Words.Settled, r.Words.Decided, r.Words.Doubtful, r.Words.Lost))
}

// table prints a line for each block that there is something to say of; the others are summed up in rows.
func (r *spliceReport) table(w io.Writer) {
	name, cell := 9, 7
	if len(r.Blocks) > 0 {
		name = max(name, 2*len(r.Blocks[len(r.Blocks)-1].Name)+2)
	}
	if len(r.Passes) > 5 {
		cell = 6
	}
	row := func(block string, cells []string, merged string) string {
		line := fmt.Sprintf("%-*s", name, block)
		for _, c := range cells {
			line += fmt.Sprintf("%-*s", cell, c)
		}
		return line + fmt.Sprintf("%-10s", merged)
	}
	var labels []string
	for _, p := range r.Passes {
		labels = append(labels, p.Label)
	}
	fold(w, "", "Blocks, words and addresses are in the numbers of the layout, counts in decimal. A right sum can be wrong: errors that make up for each other pass it.")
	fmt.Fprintln(w)
	fmt.Fprintln(w, list.Fold(row("block", labels, "merged")+" how", ""))
	for i := 0; i < len(r.Blocks); {
		b := &r.Blocks[i]
		end := i + 1
		for end < len(r.Blocks) && b.alike(&r.Blocks[end]) {
			end++
		}
		block := b.Name
		if end > i+1 {
			block += "-" + r.Blocks[end-1].Name
		}
		line := row(block, b.cells, b.Verdict) + " "
		hang := len(line)
		if hang > 48 { // little room is left beside it
			fmt.Fprintln(w, strings.TrimRight(line, " "))
			line, hang = strings.Repeat(" ", name), name
		}
		fmt.Fprintln(w, list.Fold(line+list.Safe(b.How), strings.Repeat(" ", hang)))
		i = end
	}
	fmt.Fprintln(w)
}

// alike says whether there is the same to say of two blocks.
func (b *spliceBlock) alike(c *spliceBlock) bool {
	return b.plain && c.plain || b.Verdict == c.Verdict && b.How == c.How && slices.Equal(b.cells, c.cells)
}

// mostDoubts is how many doubtful words of a block are printed; all are in the lineage, and in JSON.
const mostDoubts = 8

// doubts prints the doubtful words that were read in more than one way.
func (r *spliceReport) doubts(w io.Writer) {
	head := false
	for _, b := range r.Blocks {
		shown, more := 0, 0
		for _, d := range b.Doubts {
			if len(d.Readings) < 2 {
				continue
			}
			if shown == mostDoubts {
				more++
				continue
			}
			if !head {
				fmt.Fprintln(w, "Doubtful words that were read in more than one way:")
				head = true
			}
			shown++
			var said []string
			for _, x := range d.Readings {
				said = append(said, x.String())
			}
			fmt.Fprintln(w, list.Fold(fmt.Sprintf("  %s word %s: %s", b.Name, d.At, strings.Join(said, "; ")), "      "))
		}
		if more > 0 {
			fmt.Fprintf(w, "  %s: and %d more, which --json lists\n", b.Name, more)
		}
	}
	if head {
		fmt.Fprintln(w)
	}
}

// String says who read the word so.
func (x spliceReading) String() string {
	s := x.Word
	if len(x.Passes) > 0 {
		s += " in " + strings.Join(x.Passes, ", ")
	}
	if len(x.In) > 0 {
		s += " (" + strings.Join(x.In, ", ") + ")"
	}
	return s
}
