package vouch

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/debug/watch"
)

// judge gives the sheet its result. A run that came out GOOD is GOOD where nothing stands against it, or where a person
// says in writing why that may pass; a fault put in can never pass, nor a run that is not GOOD by itself. A run that ended
// badly says nothing certain if it came by what is missing or doubtful on the tape; else it is TROUBLE, and no writing
// changes that.
func (m maker) judge(override string) {
	s := m.Sheet
	s.Override = override
	blocks := m.bad()
	s.Against = append(s.Against, m.badly()...)
	for _, j := range s.Jams {
		s.Against = append(s.Against, "a fault was put in: "+j)
	}
	s.Against = append(s.Against, blocks...)
	s.Against = append(s.Against, m.doubtful()...)
	switch {
	case m.report.Verdict == watch.Good && len(s.Against) == 0:
		s.verdict = watch.Good
	case m.report.Verdict == watch.Good && override != "" && len(s.Jams) == 0:
		s.verdict, s.Passed = watch.Good, true
	case m.report.Verdict == watch.Trouble && !m.excused():
		s.verdict = watch.Trouble
	default:
		s.verdict = watch.Undecided
	}
	s.Result = s.verdict.String()
	s.Effect = s.effect()
	if s.verdict != watch.Good {
		m.leads(blocks)
	}
}

// effect says what the override did; "" where there is none.
func (s *Sheet) effect() string {
	switch good := watch.Good.String(); {
	case s.Override == "":
		return ""
	case s.Passed:
		return fmt.Sprintf("%s lets pass all that is listed here against it.", s.By)
	case len(s.Against) == 0:
		return "It changes nothing: nothing stood against this sheet, so there was nothing to let pass."
	case s.Run != good:
		return fmt.Sprintf("It changes nothing: the run by itself is %s, and only what stands against a run that is GOOD by itself can be let pass.", s.Run)
	}
	return "It changes nothing: a fault was put in, and that cannot be let pass."
}

// leads says where to look and how to settle it: what the run leads to first, then what stands against a run that was GOOD.
func (m maker) leads(blocks []string) {
	s := m.Sheet
	s.LookAt, s.ToSettle = slices.Clone(m.report.LookAt), slices.Clone(m.report.ToSettle)
	settle := func(look []string, how ...string) {
		if len(look) > 0 {
			s.LookAt = append(s.LookAt, look...)
			s.ToSettle = append(s.ToSettle, how...)
		}
	}
	settle(s.Jams, "make the sheet without the faults that were put in")
	if m.report.Verdict == watch.Good { // else the run has led to the tape already
		settle(blocks, "read the tape in another pass, or another copy")
	}
	var words []string
	for _, w := range s.Doubtful {
		if w.met() {
			words = append(words, fmt.Sprintf("doubtful word %s, for %s", w.Place, w.Address))
		}
	}
	settle(words, "read the tape in another pass, or run the other mixtures, and write the decision with its reason into a decisions list")
	settle(s.Use.Met, "look these lines up in the handbook, and strike out the marks of those that are right")
	settle(s.Use.Unknown, "try these orders on the machine itself, or find another issue of the handbook")
	if len(m.report.LookAt) == 0 {
		settle(s.Unwritten, m.report.SettleUnwritten()...)
	}
}

// badly says how a run that did not come out GOOD ended.
func (m maker) badly() []string {
	if m.report.Verdict == watch.Good {
		return nil
	}
	return []string{fmt.Sprintf("the run by itself is %s: %s", m.report.Verdict, m.ended())}
}

// ended is what the run says of its end, or of what it did not show.
func (m maker) ended() string {
	switch {
	case len(m.Stop) > 0:
		return m.Stop[0]
	case len(m.report.Fills) > 1 && m.report.Verdict == watch.Undecided:
		return m.Agreed
	case len(m.Missing) > 0:
		return "not reached: " + m.Missing[0]
	}
	return m.Ending + " at " + m.Clock
}

// bad lists the blocks that are missing or do not read whole.
func (m maker) bad() []string {
	var all []string
	for _, b := range m.Blocks {
		switch {
		case b.Class == classMissing:
			all = append(all, b.name()+" is missing")
		case !b.whole:
			all = append(all, fmt.Sprintf("%s does not read whole: %s", b.name(), b.Trouble))
		}
	}
	return all
}

// excused tells whether the run came by a block that is missing or does not read whole, or used a word that is doubtful:
// then its bad end may come from there.
func (m maker) excused() bool {
	return slices.ContainsFunc(m.Blocks, func(b Block) bool { return b.met && !b.whole }) || slices.ContainsFunc(m.Sheet.Doubtful, Word.met)
}

// doubtful lists what the run met that nobody is sure of.
func (m maker) doubtful() []string {
	var all []string
	for _, w := range m.Sheet.Doubtful {
		// In a run that ended badly, one that was only loaded is named as well: it may yet matter where the run goes on.
		if w.met() || w.Use == useIdle && m.report.Verdict != watch.Good {
			all = append(all, fmt.Sprintf("doubtful word %s, %s: %s", w.Place, w.Use, strings.Join(w.Readings, "; ")))
		}
	}
	for _, d := range m.Sheet.Use.Met {
		all = append(all, "doubt mark met, "+d)
	}
	for _, o := range m.Sheet.Use.Unknown {
		all = append(all, "the handbook is silent on bits of "+o+", which was run")
	}
	if n := m.Sheet.Use.Undefined; n > 0 {
		all = append(all, fmt.Sprintf("words taken as orders that no order of the handbook reads: %d", n))
	}
	for _, u := range m.Unwritten {
		all = append(all, "read before anything wrote it: "+u)
	}
	return all
}
