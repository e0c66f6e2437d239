package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/loader/tape"
)

// manyAlike is above how many blocks one trouble is led to at once, with as many of them named.
const manyAlike = 10

// A troubles says which kinds of trouble there are on a recording: each is settled in its own way.
type troubles struct{ again, inverted, backwards, doubtful bool }

// places leads to what is wrong on a recording, says how bad that is, and of what kinds.
func (t surveyTape) places() (all []string, verdict watch.Verdict, kinds troubles) {
	verdict = watch.Good
	alike := t.alike()
	for _, row := range t.survey.Rows {
		b := row.Load.Block
		for _, p := range b.Problems {
			verdict = worse(verdict, kinds.of(p))
			switch names, many := alike[p.Err.Error()]; {
			case many && names[0] == b.Name:
				all = append(all, fmt.Sprintf("%s: %d of %d blocks (decimal): %v; the first: %s", t.File, len(names), len(t.survey.Rows), p.Err, strings.Join(names[:manyAlike], ", ")))
			case many: // said with the first of them
			case b.Superseded != nil && b.Superseded.Whole():
				all = append(all, fmt.Sprintf("%v; the one at position %s reads whole, and stands", p, t.survey.Layout.Number(b.Superseded.Position)))
			default:
				all = append(all, p.Error())
			}
		}
		if row.Load.Err != nil && len(b.Problems) == 0 {
			all, verdict = append(all, row.Load.Err.Error()), watch.Trouble
		}
	}
	for _, row := range t.survey.Rows {
		if n := len(row.Doubtful); n > 0 {
			all = append(all, fmt.Sprintf("%s: %s: %s left doubtful, as %s%s says", t.File, row.Load.Block.Where(), amount(n, "word"), t.File, bringup.LineageSuffix))
			verdict, kinds.doubtful = worse(verdict, watch.Undecided), true
		}
	}
	for _, o := range t.Overlaps {
		all, verdict = append(all, fmt.Sprintf("%s: blocks %s and %s both load %s, %s not alike", t.File, o.Early, o.Late, o.At, amount(o.Differ, "word"))), watch.Trouble
	}
	return all, verdict, kinds
}

// alike gives the names of the blocks that have one trouble, of troubles that many have.
func (t surveyTape) alike() map[string][]string {
	all := map[string][]string{}
	for _, row := range t.survey.Rows {
		for _, p := range row.Load.Block.Problems {
			if said := p.Err.Error(); !slices.Contains(all[said], row.Load.Block.Name) {
				all[said] = append(all[said], row.Load.Block.Name)
			}
		}
	}
	for said, names := range all {
		if len(names) <= manyAlike {
			delete(all, said)
		}
	}
	return all
}

// of notes of what kind a trouble is, and says how bad.
func (k *troubles) of(err error) watch.Verdict {
	switch {
	case errors.Is(err, tape.ErrBlank):
		return watch.Undecided
	case errors.Is(err, tape.ErrPolarity):
		k.inverted = true
	case errors.Is(err, tape.ErrBackwards):
		k.backwards = true
	default:
		k.again = true
	}
	return watch.Trouble
}

// settle says how troubles of these kinds are settled. What is only turned is all there, and another reading shows the
// same; what a merged recording lacks is to be had from its passes.
func (t surveyTape) settle(k troubles) []string {
	var all []string
	if k.inverted {
		all = append(all, fmt.Sprintf("where all blocks are inverted, type the line `sense inverted` into layout %s, or take it out there if it stands in it", t.Layout))
	}
	if k.backwards {
		all = append(all, "what is recorded backwards is all there: read the tape in the other direction")
	}
	switch {
	case t.merged && (k.again || k.doubtful):
		all = append(all, fmt.Sprintf("splice the passes that %s%s names again, with a further pass, or with what a person decides in a decisions list", t.File, bringup.LineageSuffix))
	case k.again:
		all = append(all, fmt.Sprintf("read the tape behind %s once more, and survey that reading: what is wrong in both is on the tape", t.File))
	}
	return all
}
