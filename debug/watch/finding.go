package watch

import (
	"fmt"
	"slices"

	"coldstart/cpu"
)

// A finding is what one view of a chase comes to.
type finding struct {
	state state
	text  string
}

// A state is how near a view comes to its chase.
type state uint8

const (
	unseen    state = iota // nothing was shown yet
	fulfilled              // the chase was seen as described
	moving                 // right so far, and going on
	near                   // something moved, but not as described
	still                  // something moved, and stopped
	idle                   // nothing ever moved
)

// find judges what the track was shown up to now: the first of the questions that has an answer decides. What is missing
// or too much is asked before how it moves, because it spoils that; how it moves before how fast.
func (t *track) find(now cpu.Time) finding {
	switch {
	case !t.fed:
		return finding{unseen, "nothing was shown"}
	case t.good.steps > 0:
		return finding{fulfilled, "was seen"}
	}
	beats := t.recent(now)
	if len(beats) < 2 {
		return finding{idle, "never moved: " + t.standing(t.shown) + " throughout"}
	}
	halt := t.stopped(beats, now)
	for _, ask := range []func(*Chase, []beat) string{stays, shape, misses, gaps, wrongWay, leaps, pace} {
		text := ask(t.chase, beats)
		switch {
		case text != "" && halt != "":
			return finding{still, "moves, but " + text + "; " + halt}
		case text != "":
			return finding{near, "moves, but " + text}
		}
	}
	if halt != "" {
		return finding{still, halt}
	}
	return finding{moving, fmt.Sprintf("moves as it should, %d of %d full laps so far", t.latest.laps(t.chase), t.chase.Laps)}
}

// standing words what is shown without moving.
func (t *track) standing(shown set) string {
	return t.chase.place(shown) + t.chase.say(" lit", " dark")
}

// stopped words where a chase came to stand, if no beat has come for more than twice the time that one should last, or
// that the ones before it lasted.
func (t *track) stopped(beats []beat, now cpu.Time) string {
	c, last := t.chase, beats[len(beats)-1]
	usual := c.Dwell
	if all := periods(c, beats); len(all) > 0 {
		usual = max(usual, middle(all))
	}
	if now-last.at <= 2*usual+c.Tolerance {
		return ""
	}
	lap := "stopped in its first lap"
	if n := t.latest.laps(c); n > 0 {
		lap = fmt.Sprintf("stopped after lap %d", n)
	}
	return fmt.Sprintf("%s at %v: %s", lap, last.at, t.standing(last.shown))
}

// stays finds places that never change while the others move. The beat the view begins with is left out: it may be older
// than the chase.
func stays(c *Chase, beats []beat) string {
	always, kinds := ^set(0), []set{}
	for _, b := range beats[1:] {
		always &= b.shown
		if !slices.Contains(kinds, b.shown) {
			kinds = append(kinds, b.shown)
		}
	}
	// Lamps side by side overlap from one beat to the next; only after more than their width has passed does a place stand out.
	if always == 0 || len(kinds) < min(len(c.windows), c.Width+2) {
		return ""
	}
	return c.do(always, "stays lit", "stays dark")
}

// shape finds that mostly another number of lamps is moving, or that they are not side by side.
func shape(c *Chase, beats []beat) string {
	wrong, counts, spans := 0, map[int]int{}, map[int]int{}
	for _, b := range beats[1:] {
		if n := b.shown.count(); b.window < 0 && n >= c.Width && n > 0 {
			wrong++
			counts[n]++
			spans[span(b.shown)]++
		}
	}
	if 2*wrong <= len(beats)-1 {
		return ""
	}
	n, wide := commonest(counts), commonest(spans)
	lamps := fmt.Sprintf("%d lamps are %s", n, c.say("lit", "dark"))
	wanted := fmt.Sprintf("%d wanted", c.Width)
	if c.Width > 1 {
		wanted += " side by side"
	}
	switch {
	case wide == n-1:
		return fmt.Sprintf("%s side by side, %s", lamps, wanted)
	case n == 2:
		return fmt.Sprintf("two lamps far apart are %s: %d places from one to the other, %s", c.say("lit", "dark"), wide, wanted)
	}
	return fmt.Sprintf("%s, spread over %d places, %s", lamps, wide+1, wanted)
}

// span is how many places lie from the rightmost to the leftmost of a set.
func span(s set) int {
	first, last := -1, -1
	for i := range 64 {
		if s>>i&1 == 1 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	return last - first
}

// commonest is the key counted most often, the smallest of several.
func commonest(counts map[int]int) int {
	best, most := 0, 0
	for key, n := range counts {
		if n > most || n == most && key < best {
			best, most = key, n
		}
	}
	return best
}

// misses finds places that should have had their turn between two windows, and had not: something else was shown for so
// long.
func misses(c *Chase, beats []beat) string {
	var missing, ever set
	turns := 0
	for _, b := range beats {
		ever |= b.shown
	}
	for _, g := range stretches(beats) {
		wanted, shown := c.between(g.from.window, g.to.window), set(0)
		for _, b := range g.odd {
			shown |= b.shown
		}
		if lack := wanted &^ shown &^ (c.windows[g.from.window] & c.windows[g.to.window]); lack != 0 {
			missing |= lack
			turns++
		}
	}
	switch {
	case missing == 0:
		return ""
	case missing&ever == 0:
		return c.do(missing, "never lights", "never goes dark")
	}
	return fmt.Sprintf("%s: missed %s of late", c.do(missing, "does not always light", "does not always go dark"),
		count(turns, "turn"))
}

// A stretch is the odd beats between two windows.
type stretch struct {
	from, to beat
	odd      []beat // none of them a window
}

// stretches are those that some beats have.
func stretches(beats []beat) []stretch {
	var all []stretch
	for i := 0; i < len(beats); i++ {
		if beats[i].window < 0 {
			continue
		}
		j := i + 1
		for j < len(beats) && beats[j].window < 0 {
			j++
		}
		if j < len(beats) && j > i+1 {
			all = append(all, stretch{beats[i], beats[j], beats[i+1 : j]})
		}
	}
	return all
}

// gaps finds that something else is shown between one place and the next for longer than is looked over.
func gaps(c *Chase, beats []beat) string {
	longest, n := cpu.Time(0), 0
	for _, g := range stretches(beats) {
		longest, n = max(longest, g.to.at-g.odd[0].at), n+1
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("between places something else shows for as long as %v, where %v is let pass", brief(longest), c.Tolerance)
}
