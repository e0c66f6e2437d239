package loader

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"coldstart/loader/list"
)

// most is the number of remarks of a block that a table has room for.
const most = 4

// WriteText writes the survey as plain text for paper: a line a block, then overlaps, gaps and totals. Numbers in the
// table are in the style of the store; those of the last lines are decimal, and say so.
func (s *Survey) WriteText(w io.Writer) error {
	var b strings.Builder
	s.table(&b)
	s.lie(&b)
	s.totals(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// table writes a line a block.
func (s *Survey) table(w io.Writer) {
	fmt.Fprintf(w, "Numbers in this table are %s.\n", s.Map.Geometry.Style.Name())
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	heads := []string{"block", "loads", "words", "sum wanted", "found", "state", "first words"}
	if s.Used {
		heads = append(heads, "reached", "not reached", "table", "never read")
	}
	fmt.Fprintln(t, strings.Join(heads, "\t")+"\tremarks")
	for i := range s.Rows {
		fmt.Fprintln(t, strings.Join(s.cells(&s.Rows[i]), "\t"))
	}
	t.Flush() // into memory: nothing can fail
}

// cells gives the cells of one line.
func (s *Survey) cells(r *Row) []string {
	g := &s.Map.Geometry
	b := r.Load.Block
	loads, words, wanted, found, first := "-", "-", "-", "-", s.first(b)
	if !b.Missing() {
		words = g.Style.Number(uint64(b.Count))
	}
	if r.Load.Loaded() {
		loads = s.span(r.Load.Span)
	}
	if b.Summed {
		wanted, found = g.Style.Word(b.SumWanted, g.Width), g.Style.Word(b.SumFound, g.Width)
	}
	if first == "" {
		first = "-"
	}
	cells := []string{" " + b.Name, loads, words, wanted, found, r.State, first}
	if s.Used {
		for _, n := range r.Uses {
			cells = append(cells, g.Style.Number(uint64(n)))
		}
	}
	return append(cells, r.remarked())
}

// remarked puts the remarks of a block on one line.
func (r *Row) remarked() string {
	all := r.Remarks
	if len(all) == 0 {
		return "-"
	}
	more := ""
	if len(all) > most {
		all, more = all[:most], fmt.Sprintf("; and %d more", len(all)-most)
	}
	return list.Safe(strings.Join(all, "; ") + more)
}

// span writes a run of addresses.
func (s *Survey) span(x Span) string {
	g := &s.Map.Geometry
	return g.Style.Addr(x.First, g.AddrBits) + "-" + g.Style.Addr(x.Last, g.AddrBits)
}

// lie writes how the blocks lie in store: what is loaded over, and what is left out.
func (s *Survey) lie(w io.Writer) {
	style := s.Map.Geometry.Style
	for _, o := range s.Map.Overlaps {
		fmt.Fprintf(w, "overlap  %s  block %s over block %s: %s words, %s of them not alike; the later block stands\n", s.span(o.Span),
			o.Late.Name, o.Early.Name, style.Number(o.Span.Words()), style.Number(uint64(o.Differ)))
	}
	for _, gap := range s.Map.Gaps {
		fmt.Fprintf(w, "gap      %s  %s words that no block loads\n", s.span(gap), style.Number(gap.Words()))
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
	fmt.Fprintf(w, "Blocks %d: %s. Words loaded %d. (These counts are decimal.)\n", len(s.Rows), strings.Join(parts, ", "), s.Words())
	if s.Used {
		fmt.Fprintf(w, "Words by use in the run: program reached %d, program not reached %d, tables read %d, data never read %d. (Decimal.)\n",
			s.Uses[ProgramReached], s.Uses[ProgramNotReached], s.Uses[TableRead], s.Uses[DataNeverRead])
	}
}
