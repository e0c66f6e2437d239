package cli

import (
	"fmt"
	"io"

	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A surveyReport says what recordings hold.
type surveyReport struct {
	heading
	Tapes []surveyTape `json:"tapes"`
	Run   *surveyRun   `json:"run,omitempty"` // what the uses of words rest on; absent where none was made
}

// A surveyRun is how a run ended: what it did not come to, it did not reach.
type surveyRun struct {
	Ending  string  `json:"ending"`
	Orders  int64   `json:"orders"`
	Seconds float64 `json:"seconds"` // of the machine
}

// A surveyTape is one recording.
type surveyTape struct {
	File     string          `json:"file"`
	Seat     string          `json:"seat,omitempty"` // label and channel
	Layout   string          `json:"layout"`
	Blocks   []surveyBlock   `json:"blocks"`
	Overlaps []surveyOverlap `json:"overlaps"`
	Gaps     []surveySpan    `json:"gaps"`
	Words    int             `json:"words"`          // loaded, one loaded over counted once
	Uses     *surveyUses     `json:"uses,omitempty"` // of all words, in a run; absent where none was made

	survey *loader.Survey
}

// firstWords is how many words of a block a report gives.
const firstWords = 3

// A surveySpan is a run of addresses.
type surveySpan struct {
	First uint64 `json:"first"`
	Last  uint64 `json:"last"`
	At    string `json:"at"` // both in the machine's style
}

// A surveyBlock is one block.
type surveyBlock struct {
	Number    int         `json:"number"`
	Name      string      `json:"name"`     // the number as the layout writes it
	Position  int         `json:"position"` // on the recording, from 0; -1 for a missing block
	State     string      `json:"state"`
	Loads     *surveySpan `json:"loads,omitempty"` // absent where it is not loaded
	Count     int         `json:"count"`
	SumWanted *uint64     `json:"sum_wanted,omitempty"`
	SumFound  *uint64     `json:"sum_found,omitempty"`
	Uses      *surveyUses `json:"uses,omitempty"`
	First     []string    `json:"first_words"` // of its data, in the machine's style
	Remarks   []string    `json:"remarks"`
}

// A surveyOverlap is a run of addresses that two blocks load.
type surveyOverlap struct {
	surveySpan
	Early  string `json:"early"` // names of the blocks
	Late   string `json:"late"`
	Differ int    `json:"differ"`
}

// A surveyUses counts words by what a run did with them.
type surveyUses struct {
	ProgramReached    int `json:"program_reached"`
	ProgramNotReached int `json:"program_not_reached"`
	TableRead         int `json:"table_read"`
	DataNeverRead     int `json:"data_never_read"`
}

// add puts the survey of one recording into the report.
func (r *surveyReport) add(s *loader.Survey, rec *tape.Recording, seat string) {
	g := &s.Map.Geometry
	t := surveyTape{
		Seat: seat, Layout: rec.Layout.Name(), Words: s.Words(), survey: s,
		Blocks: []surveyBlock{}, Overlaps: []surveyOverlap{}, Gaps: []surveySpan{},
	}
	if s.Used {
		t.Uses = usesOf(s.Uses)
	}
	for _, row := range s.Rows {
		t.File = row.Load.Block.File
		t.Blocks = append(t.Blocks, blockOf(g, row, s.Used))
	}
	for _, o := range s.Map.Overlaps {
		t.Overlaps = append(t.Overlaps, surveyOverlap{spanOf(g, o.Span), o.Early.Name, o.Late.Name, o.Differ})
	}
	for _, gap := range s.Map.Gaps {
		t.Gaps = append(t.Gaps, spanOf(g, gap))
	}
	r.Tapes = append(r.Tapes, t)
}

// blockOf puts one row into a report.
func blockOf(g *memory.Geometry, row loader.Row, used bool) surveyBlock {
	b := row.Load.Block
	out := surveyBlock{Number: b.Number, Name: b.Name, Position: b.Position, State: row.State, Count: b.Count, First: []string{}, Remarks: append([]string{}, row.Remarks...)}
	for _, w := range b.Words[:min(len(b.Words), firstWords)] {
		out.First = append(out.First, g.Style.Word(w, g.Width))
	}
	if row.Load.Loaded() {
		s := spanOf(g, row.Load.Span)
		out.Loads = &s
	}
	if b.Summed {
		wanted, found := uint64(b.SumWanted), uint64(b.SumFound)
		out.SumWanted, out.SumFound = &wanted, &found
	}
	if used {
		out.Uses = usesOf(row.Uses)
	}
	return out
}

// spanOf puts a run of addresses into a report.
func spanOf(g *memory.Geometry, s loader.Span) surveySpan {
	return surveySpan{uint64(s.First), uint64(s.Last), span(g, s)}
}

// usesOf puts counts by use into a report.
func usesOf(n [4]int) *surveyUses {
	return &surveyUses{n[loader.ProgramReached], n[loader.ProgramNotReached], n[loader.TableRead], n[loader.DataNeverRead]}
}

// blame turns the verdict where something is wrong with a recording, and names each block concerned.
func (r *surveyReport) blame(t surveyTape) {
	again := false
	for _, row := range t.survey.Rows {
		b := row.Load.Block
		for _, p := range b.Problems {
			r.LookAt = append(r.LookAt, p.Error())
			again = true
		}
		if row.Load.Err != nil && len(b.Problems) == 0 {
			r.LookAt = append(r.LookAt, row.Load.Err.Error())
		}
	}
	for _, o := range t.Overlaps {
		r.LookAt = append(r.LookAt, fmt.Sprintf("%s: blocks %s and %s both load %s, %s not alike", t.File, o.Early, o.Late, o.At, amount(o.Differ, "word")))
	}
	if len(r.LookAt) > 0 {
		r.judge(watch.Trouble)
	}
	if again {
		r.ToSettle = append(r.ToSettle, fmt.Sprintf("read the tape behind %s once more, and survey that reading: what is wrong in both is on the tape", t.File))
	}
}

func (r *surveyReport) print(w io.Writer) {
	for i, t := range r.Tapes {
		if i > 0 {
			fmt.Fprintln(w)
		}
		head := fmt.Sprintf("%s, layout %s", t.File, t.Layout)
		if t.Seat != "" {
			head = fmt.Sprintf("%s: %s, layout %s", t.Seat, t.File, t.Layout)
		}
		fmt.Fprintln(w, list.Safe(head))
		t.survey.WriteText(w)
	}
	if r.Run != nil {
		fmt.Fprintf(w, "The run: %s, after %.3f s of the machine's time and %d orders (decimal).\n", r.Run.Ending, r.Run.Seconds, r.Run.Orders)
	}
}

// asItIs says that the table has a row a block, for wide paper.
func (*surveyReport) asItIs() {}
