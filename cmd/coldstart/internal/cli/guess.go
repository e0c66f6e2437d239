package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"coldstart/debug/campaign"
	"coldstart/debug/watch"
	"coldstart/loader/guess"
	"coldstart/loader/tape"
)

// guess finds out how the check code of the recordings named is made.
func (s *surveying) guess(ctx context.Context) error {
	if len(s.tapes) == 0 {
		return &unusable{where: "survey", what: "--guess looks at the blocks of a recording, and none is named", next: "add --tape FILE"}
	}
	if s.report.drawn || s.office.machine != "" {
		return &unusable{where: "survey", what: "--guess looks at the blocks alone, and --map and --machine say nothing of them", next: "leave those out, or --guess"}
	}
	layout, err := s.office.tapeLayout()
	if err != nil {
		return err
	}
	var blocks []*tape.Block
	for _, path := range s.tapes {
		rec, err := s.env.recording(layout, path)
		if err != nil {
			return err
		}
		blocks = append(blocks, rec.Blocks...)
	}
	search, err := guess.New(layout, blocks)
	if err != nil {
		return &unusable{where: "survey", what: fmt.Sprintf("layout %s: %v", layout.Name(), err), cause: err}
	}
	var tallies []guess.Tally
	err = campaign.Run(ctx, search.Trials(), 0, search.Trial, func(_ int, tally guess.Tally) error {
		tallies = append(tallies, tally)
		return nil
	})
	if err != nil {
		return faulty(err)
	}
	r := newGuessReport(layout, s.tapes, search, search.Judge(tallies))
	return s.env.show("survey", r)
}

// faulty gives the error of a campaign; a panic in a trial is a fault of this program, as one anywhere else.
func faulty(err error) error {
	var failed *campaign.Error
	if errors.As(err, &failed) && failed.Stack != nil {
		return &fault{value: failed, trace: failed.Stack}
	}
	return err
}

// A guessReport says how check codes may be made.
type guessReport struct {
	heading
	Files     []string   `json:"files"`
	Layout    string     `json:"layout"`
	Code      string     `json:"code_taken_from"`
	Tried     int        `json:"settings_tried"` // of each, every final value
	Blocks    int        `json:"blocks"`         // that say something
	Blank     int        `json:"blank"`
	Alike     int        `json:"alike"`
	Odd       int        `json:"of_unknown_length"`
	Lengths   []int      `json:"lengths"` // of blocks, in words
	OneLength bool       `json:"one_length"`
	Survivors []guessRow `json:"survivors"`
	Best      []guessRow `json:"best"` // where none survives
}

// A guessRow is one setting, and what it explains.
type guessRow struct {
	Poly      string   `json:"polynomial"`
	Start     string   `json:"start"`
	Final     string   `json:"final"`
	Reflected bool     `json:"reflected"`
	LowWord   bool     `json:"low_word_first"` // of the words that hold the code, if there are several
	Inverted  bool     `json:"inverted"`
	Over      []string `json:"over"`
	Forwards  string   `json:"polynomial_forwards,omitempty"` // where the one tried is for a track read backwards
	Explains  int      `json:"explains"`
	Accident  int      `json:"accident_one_in_ten_to"` // the power of ten: as many by accident at most 1 in so many
	Apart     []int    `json:"not_told_apart"`         // other survivors, counted from 1
	Type      []string `json:"type"`                   // lines of a layout

	missed []string // blocks it does not explain
	common bool     // its start and final value are likely ones
}

// lines are the lines of a layout that say a setting: the check record is too long for paper, and goes on in a second.
func lines(s *guess.Search, v guess.Survivor) []string {
	head, tail, _ := strings.Cut(v.Check(s.Words), " final ")
	final, rest, _ := strings.Cut(tail, " ")
	all := []string{head + " final " + final + ` \`, "      " + rest}
	if s.Data > 0 {
		all = append([]string{fmt.Sprintf("data %d words", s.Data)}, all...)
	}
	if v.Inverted {
		all = append([]string{"sense inverted    # and the mark, if there is one, complemented"}, all...)
	}
	return all
}

// newGuessReport puts a finding into a report, and judges it.
func newGuessReport(l *tape.Layout, files []string, s *guess.Search, f *guess.Finding) *guessReport {
	r := &guessReport{Files: files, Layout: l.Name(), Code: s.In, Tried: s.Trials(), Blocks: len(s.Blocks),
		Blank: s.Blank, Alike: s.Alike, Odd: s.Odd, Lengths: append([]int{}, f.Lengths...), Survivors: []guessRow{}, Best: []guessRow{}}
	for _, v := range f.Survivors {
		r.Survivors = append(r.Survivors, rowOf(l, s, v))
		r.OneLength = r.OneLength || s.OneLength(v)
	}
	for _, v := range f.Best {
		r.Best = append(r.Best, rowOf(l, s, v))
	}
	r.decide()
	return r
}

// rowOf puts one setting into a report.
func rowOf(l *tape.Layout, s *guess.Search, v guess.Survivor) guessRow {
	hex := func(n uint64) string { return fmt.Sprintf("%04X", n) }
	row := guessRow{Poly: hex(v.Poly), Start: hex(v.Start), Final: hex(v.Final), Reflected: v.Low, LowWord: v.LowWord, Inverted: v.Inverted, Over: v.Over,
		Explains: len(v.Blocks), Accident: v.TenTo(), Apart: []int{}, Type: lines(s, v), common: v.Common()}
	if poly, is := v.Backwards(); is {
		row.Forwards = hex(poly)
	}
	for _, twin := range v.Twins {
		row.Apart = append(row.Apart, twin+1)
	}
	for i, b := range s.Blocks {
		if _, explained := slices.BinarySearch(v.Blocks, i); !explained {
			row.missed = append(row.missed, fmt.Sprintf("%s: block %s", b.Block.File, b.Block.Name))
		}
	}
	return row
}

// decide gives the verdict: it is about the settings, not about the recording. Blocks of one length never settle a start and
// a final value, however few of the settings tried are left.
func (r *guessReport) decide() {
	r.judge(watch.Undecided)
	switch {
	case len(r.Survivors) == 0:
		r.ToSettle = append(r.ToSettle, "see with `coldstart survey` whether the layout frames the blocks as they are, and whether the code stands where it is taken from",
			"guess on a better reading, or on more blocks")
	case r.OneLength:
		r.missed()
		r.ToSettle = append(r.ToSettle, "guess with a block of another length as well: name a further recording with --tape")
	case len(r.Survivors) > 1:
		r.ToSettle = append(r.ToSettle, "guess on more blocks, with other headers: name a further recording with --tape")
	case len(r.Survivors[0].missed) == 0:
		r.judge(watch.Good)
	default:
		r.judge(watch.Trouble)
		r.missed()
		r.ToSettle = append(r.ToSettle, "type the lines above into the layout, and survey: where a single wrong bit would explain a block, it is named")
	}
}

// missed leads to the blocks that no survivor explains.
func (r *guessReport) missed() {
	for _, block := range r.Survivors[0].missed {
		if !slices.ContainsFunc(r.Survivors, func(row guessRow) bool { return !slices.Contains(row.missed, block) }) {
			r.LookAt = append(r.LookAt, block+": its code is another")
		}
	}
}
