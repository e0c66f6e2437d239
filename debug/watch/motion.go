package watch

import (
	"fmt"
	"slices"

	"coldstart/cpu"
)

// A move is one window followed at once by another.
type move struct {
	from, to beat
	left     int // how many windows further left
}

// moves are the moves of some beats.
func moves(beats []beat) []move {
	var all []move
	for i := 1; i < len(beats); i++ {
		if a, b := beats[i-1], beats[i]; a.window >= 0 && b.window >= 0 {
			all = append(all, move{a, b, b.window - a.window})
		}
	}
	return all
}

// wrongWay finds that the lamps mostly move another way than they should, or turn where they should not.
func wrongWay(c *Chase, beats []beat) string {
	top := len(c.windows) - 1
	lefts, rights, restarts := 0, 0, 0
	turns := make([]int, len(c.windows)) // how often the way changed at a window that is no end
	all := moves(beats)
	for i, m := range all {
		switch m.left {
		case 1:
			lefts++
		case -1:
			rights++
		case top, -top:
			restarts++
		}
		if i > 0 && all[i-1].to == m.from && all[i-1].left == -m.left && m.from.window > 0 && m.from.window < top {
			turns[m.from.window]++
		}
	}
	if c.Way != ThereAndBack {
		return wrongOneWay(c.Way, lefts, rights)
	}
	switch {
	case restarts > 0 && lefts == 0:
		return "right only, where there and back is wanted"
	case restarts > 0 && rights == 0:
		return "left only, where there and back is wanted"
	}
	for w, n := range turns {
		if n > 0 {
			return fmt.Sprintf("turns back at %s, where only the ends turn", c.place(c.windows[w]))
		}
	}
	return ""
}

// wrongOneWay judges single steps left and right where one way is wanted.
func wrongOneWay(way Way, lefts, rights int) string {
	right, wrong, other := lefts, rights, Right
	if way == Right {
		right, wrong, other = rights, lefts, Left
	}
	switch {
	case wrong == 0:
		return ""
	case right == 0 || wrong > 4*right:
		return fmt.Sprintf("the other way: %v where %v is wanted", other, way)
	case right > 4*wrong:
		return fmt.Sprintf("steps back %s among %s", times(wrong), count(right, "step"))
	}
	return fmt.Sprintf("there and back where %v only is wanted", way)
}

// leaps finds moves over more than one step of the path.
func leaps(c *Chase, beats []beat) string {
	type leap struct {
		from, to int
	}
	var kinds []leap
	all, n, sizes := moves(beats), 0, map[int]int{}
	for _, m := range all {
		k, _ := c.steps(m.from.window, m.to.window)
		if k == 1 {
			continue
		}
		n++
		sizes[m.left]++
		if l := (leap{m.from.window, m.to.window}); !slices.Contains(kinds, l) {
			kinds = append(kinds, l)
		}
	}
	if n == 0 {
		return ""
	}
	if size := commonest(sizes); 2*sizes[size] > len(all) {
		return fmt.Sprintf("%d places at a time where 1 is wanted", max(size, -size))
	}
	from, to := c.windows[kinds[0].from], c.windows[kinds[0].to]
	text := fmt.Sprintf("skips from %s to %s", c.place(from), c.place(to))
	if over := c.between(kinds[0].from, kinds[0].to) &^ from &^ to; over != 0 {
		text = fmt.Sprintf("skips %s, going from %s to %s", c.place(over), c.place(from), c.place(to))
	}
	if len(kinds) > 1 {
		text += fmt.Sprintf(", and in %s elsewhere", count(len(kinds)-1, "place"))
	}
	return fmt.Sprintf("%s (%s of late)", text, times(n))
}

// A period is how long a window lasted, until the next step of the path.
type period struct {
	window int
	time   cpu.Time
}

// periods are those of the steps, but for the first: what went before a chase may have shown that window already.
func periods(c *Chase, beats []beat) []period {
	var all []period
	for i, m := range moves(beats) {
		if k, _ := c.steps(m.from.window, m.to.window); k == 1 && (i > 0 || m.from.at != beats[0].at) {
			all = append(all, period{m.from.window, m.to.at - m.from.at})
		}
	}
	return all
}

// middle is the median of some periods.
func middle(all []period) cpu.Time {
	times := make([]cpu.Time, len(all))
	for i, p := range all {
		times[i] = p.time
	}
	slices.Sort(times)
	return times[len(times)/2]
}

// pace finds that places are held for another time than they should be.
func pace(c *Chase, beats []beat) string {
	all := periods(c, beats)
	var off []period
	for _, p := range all {
		if d := p.time - c.Dwell; max(d, -d) > c.Tolerance {
			off = append(off, p)
		}
	}
	if len(off) == 0 {
		return ""
	}
	least, most := span64(all)
	switch usual := middle(all); {
	case most-least <= 2*c.Tolerance:
		return fmt.Sprintf("each place holds %v where %v are wanted", brief(usual), c.Dwell)
	case 2*len(off) > len(all):
		return fmt.Sprintf("places hold %v to %v where %v are wanted", brief(least), brief(most), c.Dwell)
	case !slices.ContainsFunc(off, func(p period) bool { return p.window != off[0].window }):
		return fmt.Sprintf("%s holds %v where %v are wanted", c.place(c.windows[off[0].window]), brief(middle(off)), c.Dwell)
	}
	least, most = span64(off)
	return fmt.Sprintf("%d of the last %d places held between %v and %v where %v are wanted", len(off), len(all),
		brief(least), brief(most), c.Dwell)
}

// span64 is the shortest and the longest of some periods.
func span64(all []period) (least, most cpu.Time) {
	least, most = all[0].time, all[0].time
	for _, p := range all {
		least, most = min(least, p.time), max(most, p.time)
	}
	return least, most
}

// brief is a measured time without more digits than a person reads: to a thousandth of a second, a tenth of anything
// smaller.
func brief(t cpu.Time) cpu.Time {
	for _, u := range []struct{ from, digit cpu.Time }{
		{cpu.Second, cpu.Millisecond}, {cpu.Millisecond, cpu.Millisecond / 10}, {cpu.Microsecond, cpu.Microsecond / 10},
	} {
		if t >= u.from {
			return (t + u.digit/2) / u.digit * u.digit
		}
	}
	return t
}

// times words how often.
func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// count words how many.
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
