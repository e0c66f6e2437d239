package cli

import (
	"fmt"
	"io"
	"strings"

	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A surveyReport says what recordings hold.
type surveyReport struct {
	heading
	Alike []string     `json:"alike"` // recordings that are byte for byte the same, a sentence each
	Tapes []surveyTape `json:"tapes"`
	Run   *surveyRun   `json:"run,omitempty"` // what the uses of words rest on; absent where none was made

	verdict watch.Verdict
	drawn   bool // a map is wanted
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
	Remark   string          `json:"remark,omitempty"` // what is odd about the recording as a whole
	Blocks   []surveyBlock   `json:"blocks"`
	Overlaps []surveyOverlap `json:"overlaps"`
	Gaps     []surveySpan    `json:"gaps"`
	Map      []surveyMapped  `json:"map,omitempty"`  // what is drawn, exactly
	Words    int             `json:"words"`          // loaded, one loaded over counted once
	Uses     *surveyUses     `json:"uses,omitempty"` // of all words, in a run; absent where none was made

	survey *loader.Survey
	merged bool // of passes, by its lineage
}

// firstWords is how many words of a block a report gives.
const firstWords = 3

// A surveySpan is a run of addresses.
type surveySpan struct {
	First uint64 `json:"first"`
	Last  uint64 `json:"last"`
	At    string `json:"at"` // both in the machine's style
}

// A surveyMapped is a run of addresses of which the same is to be said.
type surveyMapped struct {
	surveySpan
	Kind string `json:"kind"`
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
	First     []string    `json:"first_words"`        // of its data, in the machine's style
	Doubtful  []int       `json:"doubtful,omitempty"` // words of its data, from 0; below 0 of its header
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

// add puts the survey of one recording into the report; merged says that a lineage lies beside it.
func (r *surveyReport) add(s *loader.Survey, rec *tape.Recording, merged bool, seat string) {
	g := &s.Map.Geometry
	t := surveyTape{
		Seat: seat, Layout: rec.Layout.Name(), Remark: sentence(rec.Remark()), Words: s.Words(), survey: s, merged: merged,
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
	if r.drawn {
		for _, run := range s.Runs() {
			t.Map = append(t.Map, surveyMapped{spanOf(g, run.Span), run.Kind})
		}
	}
	r.Tapes = append(r.Tapes, t)
}

// sentence makes a sentence of a remark, if there is one.
func sentence(said string) string {
	if said == "" {
		return ""
	}
	return strings.ToUpper(said[:1]) + said[1:] + ". (Decimal.)"
}

// blockOf puts one row into a report.
func blockOf(g *memory.Geometry, row loader.Row, used bool) surveyBlock {
	b := row.Load.Block
	out := surveyBlock{Number: b.Number, Name: b.Name, Position: b.Position, State: row.State, Count: b.Count, Doubtful: row.Doubtful, First: []string{}, Remarks: append([]string{}, row.Remarks...)}
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

// worse gives the worse of two verdicts about recordings.
func worse(a, b watch.Verdict) watch.Verdict {
	if a == watch.Trouble || b == watch.Good {
		return a
	}
	return b
}

// worse takes a verdict into that of the whole report.
func (r *surveyReport) worse(v watch.Verdict) {
	r.verdict = worse(r.verdict, v)
	r.judge(r.verdict)
}

// mostBlamed is how many places of one recording a report leads to; the table names them all.
const mostBlamed = 12

// blame turns the verdict where something is wrong with a recording, and names each block concerned. A block that reads
// well but may only do so because it is blank leaves it undecided.
func (r *surveyReport) blame(t surveyTape) {
	if said := t.survey.Misfit(); said != "" {
		r.worse(watch.Trouble)
		r.LookAt = append(r.LookAt, fmt.Sprintf("%s: %s", t.File, said))
		r.ToSettle = append(r.ToSettle, fmt.Sprintf("look whether %s is the recording meant, and whether layout %s is how it was recorded; --layout FILE names another", t.File, t.Layout))
		return
	}
	places, verdict, troubles := t.places()
	if more := len(places) - mostBlamed; more > 1 {
		places = append(places[:mostBlamed], fmt.Sprintf("%s: and %d more places; the table names the blocks", t.File, more))
	}
	r.LookAt = append(r.LookAt, places...)
	r.worse(verdict)
	r.ToSettle = append(r.ToSettle, t.settle(troubles)...)
}

// witnesses says which recordings are no more than one witness: those that are byte for byte the same.
func (r *surveyReport) witnesses(inputs []input) {
	r.Alike = []string{}
	for i, later := range r.Tapes {
		for _, early := range r.Tapes[:i] {
			if digest := digestOf(inputs, later.File); digest == "" || digest != digestOf(inputs, early.File) {
				continue
			}
			said := fmt.Sprintf("%s and %s are byte for byte the same: one witness, not two", early.File, later.File)
			if early.File == later.File {
				said = fmt.Sprintf("%s is named twice: one witness, not two", later.File)
			}
			r.Alike = append(r.Alike, said)
			break
		}
	}
}

// digestOf gives the digest of an input by its name, "" where there is none.
func digestOf(inputs []input, path string) string {
	for _, in := range inputs {
		if in.Path == path {
			return in.SHA256
		}
	}
	return ""
}

func (r *surveyReport) print(w io.Writer) {
	for _, said := range r.Alike {
		fmt.Fprintln(w, list.Fold(list.Safe(said), ""))
	}
	for i, t := range r.Tapes {
		if i > 0 {
			fmt.Fprintln(w)
		}
		head := fmt.Sprintf("%s, layout %s", t.File, t.Layout)
		if t.Seat != "" {
			head = fmt.Sprintf("%s: %s, layout %s", t.Seat, t.File, t.Layout)
		}
		fmt.Fprintln(w, list.Safe(head))
		if r.drawn {
			t.survey.WriteMap(w)
		} else {
			t.survey.WriteText(w)
		}
		fold(w, "", t.Remark)
	}
	if r.Run != nil {
		fmt.Fprintf(w, "The run: %s, after %.3f s of the machine's time and %d orders (decimal).\n", r.Run.Ending, r.Run.Seconds, r.Run.Orders)
	}
}
