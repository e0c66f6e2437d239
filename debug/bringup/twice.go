package bringup

import (
	"context"
	"fmt"
	"slices"

	"coldstart/cpu/duplex"
	"coldstart/debug/watch"
)

// BringUp runs an office, and a run that comes out GOOD once more with unwritten store holding what the other fill makes:
// what depends on words that nothing wrote must not pass for good.
func (o *Office) BringUp(ctx context.Context, s Start, otherFill uint64) (*Report, error) {
	first, err := o.Run(ctx, s)
	if err != nil {
		return nil, err
	}
	first.Fills = []uint64{s.Fill}
	if first.Verdict != watch.Good {
		return first, nil
	}
	s.Fill, s.brief = otherFill, true
	second, err := o.Run(ctx, s)
	if err != nil {
		return nil, err
	}
	first.Fills = append(first.Fills, otherFill)
	first.Agreed = fmt.Sprintf("The same with fills %d and %d of unwritten store.", first.Fills[0], first.Fills[1])
	if where := difference(first, second); where != "" {
		first.Verdict = watch.Undecided
		first.Agreed = fmt.Sprintf("Not the same with fills %d and %d of unwritten store: %s.", first.Fills[0], first.Fills[1], where)
		first.LookAt = append(first.LookAt, first.Unwritten...)
		if len(first.LookAt) == 0 {
			first.LookAt, first.bare = append(first.LookAt, "the condition itself: it holds for what nothing wrote"), true
		}
		first.ToSettle = append(first.ToSettle, first.SettleUnwritten()...)
	}
	first.help()
	return first, nil
}

// help takes the GOOD from a run that was helped past a halt while something is wrong on a tape: it may well have gone on
// without a block.
func (p *Report) help() {
	if p.Verdict != watch.Good || len(p.Resumed) == 0 || len(p.wrong) == 0 {
		return
	}
	p.Verdict = watch.Undecided
	p.LookAt = append(p.LookAt, p.wrong[:min(few, len(p.wrong))]...)
	p.ToSettle = append(p.ToSettle, "read the tape in another pass, or another copy: this run was helped past a halt")
}

// difference names the first thing in which two runs are not alike; "" where there is none.
func difference(a, b *Report) string {
	when := a.office.Time
	switch {
	case a.Ending != b.Ending || a.Verdict != b.Verdict:
		return fmt.Sprintf("%v, %v; with the other %v, %v", a.Ending, a.Verdict, b.Ending, b.Verdict)
	case a.At != b.At || a.Orders != b.Orders || a.Place != b.Place:
		return fmt.Sprintf("%d orders done by %s; with the other %d by %s", a.Orders, when(a.At), b.Orders, when(b.At))
	}
	for i := range min(len(a.Milestones), len(b.Milestones)) {
		if x, y := a.Milestones[i], b.Milestones[i]; x.Name != y.Name || x.At != y.At {
			return fmt.Sprintf("%s at %s; with the other %s at %s", x.Sentence, when(x.At), y.Sentence, when(y.At))
		}
	}
	if !slices.EqualFunc(a.Lines, b.Lines, func(x, y PrintedLine) bool { return x.At == y.At && x.Text() == y.Text() }) {
		return "other lines printed"
	}
	if a.Pair != nil && !slices.EqualFunc(a.Pair.Events(), b.Pair.Events(), func(x, y duplex.Event) bool {
		return x.Kind == y.Kind && x.At == y.At && x.Until == y.Until && x.To == y.To
	}) {
		return "other changeovers"
	}
	return ""
}
