package loader

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/loader/list"
	"coldstart/loader/tape"
)

// most is the number of remarks of a block that a table has room for.
const most = 4

// fewRows is how many blocks are shown of a recording that hardly fits its layout.
const fewRows = 10

// WriteText writes the survey as plain text for paper: a line a block, its remarks below it, then overlaps, gaps and
// totals. Numbers in the table are in the style of the store; those of the last lines are decimal, and say so.
func (s *Survey) WriteText(w io.Writer) error {
	var b strings.Builder
	rows, more := s.Rows, 0
	if said := s.Misfit(); said != "" {
		fmt.Fprintln(&b, list.Fold(said, ""))
		rows = slices.DeleteFunc(slices.Clone(rows), func(r Row) bool { return r.Load.Block.Missing() })
		more = len(rows) - fewRows
		rows = rows[:min(len(rows), fewRows)]
	}
	for _, said := range s.shared() {
		fmt.Fprintln(&b, list.Fold(list.Safe(said), ""))
	}
	s.table(&b, rows)
	if more > 0 {
		fmt.Fprintf(&b, "and %d more. (Decimal.)\n", more)
	}
	s.lie(&b)
	s.totals(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// repeated gives what is wrong with more blocks than a person wants to read it of, and with how many.
func (s *Survey) repeated() map[string]int {
	count := map[string]int{}
	for i := range s.Rows {
		count[s.Rows[i].Load.Block.Reason()]++
	}
	for said, n := range count {
		if said == "" || n <= fewRows {
			delete(count, said)
		}
	}
	return count
}

// shared says once, in a sentence each and in the order of the blocks, what would else be said of block after block.
func (s *Survey) shared() []string {
	var all []string
	count := s.repeated()
	for i := range s.Rows {
		said := s.Rows[i].Load.Block.Reason()
		if n := count[said]; n == len(s.Rows) {
			all = append(all, fmt.Sprintf("All %d blocks (decimal), and not said again of each: %s.", n, said))
		} else if n > 0 {
			all = append(all, fmt.Sprintf("Of %d of %d blocks (decimal), and not said again of each: %s.", n, len(s.Rows), said))
		}
		delete(count, said)
	}
	return all
}

// Misfit says in a sentence that next to nothing of a recording reads as blocks of its layout; "" where enough does.
func (s *Survey) Misfit() string {
	whole, there := 0, 0
	for i := range s.Rows {
		b := s.Rows[i].Load.Block
		if b.Missing() || b.FileMark {
			continue
		}
		there++
		if b.Whole() && !b.Rubbish() {
			whole++
		}
	}
	switch {
	case whole == 0:
		return "No block on it reads whole: it may not be a recording in this layout, or none at all."
	case there > fewRows && whole*fewRows < there:
		return fmt.Sprintf("Only %d of %d blocks on it read whole (decimal): it may not be a recording in this layout.", whole, there)
	}
	return ""
}

// table writes a line for each of some blocks, and below it what there is to remark.
func (s *Survey) table(w io.Writer, rows []Row) {
	fmt.Fprintf(w, "Numbers in this table are %s.\n", s.Map.Geometry.Style.Name())
	heads := []string{"block", "loads", "words", "sum", "state"}
	if s.Used {
		heads = append(heads, "run", "not run", "read", "idle")
	}
	lines := [][]string{heads}
	for i := range rows {
		lines = append(lines, s.cells(&rows[i]))
	}
	widths := make([]int, len(heads))
	for _, cells := range lines {
		for i, c := range cells {
			widths[i] = max(widths[i], len(c))
		}
	}
	shown, repeated := s.firsts(widths), s.repeated()
	for i, cells := range lines {
		var line strings.Builder
		for k, c := range cells {
			fmt.Fprintf(&line, "%-*s  ", widths[k], c)
		}
		switch {
		case i > 0:
			line.WriteString(s.first(rows[i-1].Load.Block, shown))
		case shown > 1:
			line.WriteString("first words")
		case shown == 1:
			line.WriteString("first")
		}
		fmt.Fprintln(w, strings.TrimRight(line.String(), " "))
		if i > 0 {
			if said := s.remarked(&rows[i-1], repeated); said != "" {
				fmt.Fprintln(w, list.Fold(indent+said, indent))
			}
		}
	}
}

// indent stands before the remarks of a block.
const indent = "       "

// firsts gives how many first words of a block there is room for behind columns of these widths: three at most.
func (s *Survey) firsts(widths []int) int {
	room := list.Paper
	for _, w := range widths {
		room -= w + 2
	}
	g := &s.Map.Geometry
	return min(firstWords, (room+1)/(len(g.Style.Word(0, g.Width))+1))
}

// cells gives the cells of one line, but for the first words.
func (s *Survey) cells(r *Row) []string {
	g := &s.Map.Geometry
	b := r.Load.Block
	loads, words, sum := "-", "-", "-"
	if !b.Missing() && b.Name != "-" {
		words = g.Style.Number(uint64(b.Count))
	}
	if r.Load.Loaded() {
		loads = s.span(r.Load.Span)
	}
	if b.Summed {
		sum = s.Layout.SumName(b.SumWanted)
	}
	cells := []string{" " + b.Name, loads, words, sum, r.State}
	if s.Used {
		for _, n := range r.Uses {
			cells = append(cells, g.Style.Number(uint64(n)))
		}
	}
	return cells
}

// first gives the first words of a block as they are printed.
func (s *Survey) first(b *tape.Block, most int) string {
	g := &s.Map.Geometry
	var words []string
	for _, w := range b.Words[:min(len(b.Words), most)] {
		words = append(words, g.Style.Word(w, g.Width))
	}
	return strings.Join(words, " ")
}

// remarked puts the remarks of a block in one line, but for what is said of many blocks at once; "" where there are none.
func (s *Survey) remarked(r *Row, repeated map[string]int) string {
	all := slices.Clone(r.Remarks)
	if said := r.Load.Block.Reason(); repeated[said] > 0 && len(all) > 0 && all[0] == said {
		all = all[1:]
	}
	if said := s.doubted(r); said != "" {
		all = slices.Insert(all, 0, said)
	}
	if more := len(all) - most; more > 0 {
		all = append(all[:most], fmt.Sprintf("and %d more", more))
	}
	return list.Safe(strings.Join(all, "; "))
}

// span writes a run of addresses.
func (s *Survey) span(x Span) string {
	g := &s.Map.Geometry
	return g.Style.Addr(x.First, g.AddrBits) + "-" + g.Style.Addr(x.Last, g.AddrBits)
}

// wordsIn gives how many words stand at the addresses of x.
func (s *Survey) wordsIn(x Span) uint64 { return x.Words() / uint64(s.Map.Geometry.Step()) }

// lie writes how the blocks lie in store: what is loaded over, and what is left out.
func (s *Survey) lie(w io.Writer) {
	style := s.Map.Geometry.Style
	for _, o := range s.Map.Overlaps {
		fmt.Fprintln(w, list.Fold(fmt.Sprintf("overlap  %s  block %s over block %s: %s words, %s of them not alike; the later block stands", s.span(o.Span),
			o.Late.Name, o.Early.Name, style.Number(s.wordsIn(o.Span)), style.Number(uint64(o.Differ))), "         "))
	}
	for _, gap := range s.Map.Gaps {
		fmt.Fprintf(w, "gap      %s  %s words that no block loads\n", s.span(gap), style.Number(s.wordsIn(gap)))
	}
}

// totals writes the sums over all blocks.
func (s *Survey) totals(w io.Writer) {
	var parts []string
	for _, state := range states {
		if n := s.Count(state); n > 0 || state == good {
			parts = append(parts, fmt.Sprintf("%s %d", state, n))
		}
	}
	fmt.Fprintln(w, list.Fold(fmt.Sprintf("Blocks %d: %s. Words loaded %d. (These counts are decimal.)", len(s.Rows), strings.Join(parts, ", "), s.Words()), ""))
	if s.Used {
		fmt.Fprintln(w, list.Fold(fmt.Sprintf("Words by use in the run (decimal): program run %d, program not run %d, tables read %d, idle, which is data never read, %d.",
			s.Uses[ProgramReached], s.Uses[ProgramNotReached], s.Uses[TableRead], s.Uses[DataNeverRead]), ""))
	}
}
