package watch

import "coldstart/cpu"

// A track follows one view of a chase: what the program asked for, what the store shows, or the lamps. It recognises the
// chase as it happens, and keeps the last beats so that what is wrong can be told when there is no chase.
type track struct {
	chase   *Chase
	fed     bool
	first   cpu.Time // when it was shown something first
	shown   set
	since   cpu.Time
	pending bool   // shown is no window, and has not lasted long enough to count
	beats   []beat // the last ones
	run     chain
	latest  chain // the last one that had a step
	good    chain // the one the chase was seen by, as far as it went; no steps: not seen
	seen    cpu.Time
}

// A beat is a set of places that was reached and lasted: a window as soon as it is reached, anything else only if it
// lasts longer than the tolerance.
type beat struct {
	at     cpu.Time
	shown  set
	window int // -1: none
}

// A chain is steps of the path that followed one another in time.
type chain struct {
	pos         int // on the path
	steps       int
	began, last cpu.Time
}

// laps is how many whole laps a chain has made.
func (k chain) laps(c *Chase) int { return k.steps / len(c.path) }

// keep is how many beats of the last ones are judged: a bit more than two laps.
func (t *track) keep() int { return 2*len(t.chase.path) + 8 }

// show tells the track what is shown from now on.
func (t *track) show(at cpu.Time, shown set) {
	if t.fed && shown == t.shown {
		return
	}
	t.settle(at)
	if !t.fed {
		t.first = at
	}
	t.fed, t.shown, t.since = true, shown, at
	w := t.chase.window(shown)
	if t.pending = w < 0; !t.pending {
		t.beat(beat{at, shown, w})
	}
}

// settle counts what is shown as a beat, if it has come to last.
func (t *track) settle(at cpu.Time) {
	if t.pending && at-t.since > t.chase.Tolerance {
		t.pending = false
		t.beat(beat{t.since, t.shown, -1})
	}
}

// beat takes the next beat; the same window once more after a flicker is none.
func (t *track) beat(b beat) {
	if n := len(t.beats); n > 0 {
		last := t.beats[n-1]
		if b.window >= 0 && b.window == last.window {
			return
		}
		t.link(last, b)
	}
	if len(t.beats) == 2*t.keep() {
		// Seldom, so that a beat costs no more for the beats behind it.
		t.beats = t.beats[:copy(t.beats, t.beats[t.keep():])]
	}
	t.beats = append(t.beats, b)
}

// link carries the chain on from the last beat to the next, or begins it anew.
func (t *track) link(last, next beat) {
	c := t.chase
	off := next.at - last.at - c.Dwell
	if last.window < 0 || next.window < 0 || max(off, -off) > c.Tolerance {
		t.run = chain{}
		return
	}
	pos := (t.run.pos + 1) % len(c.path)
	if t.run.steps == 0 || c.path[pos] != next.window {
		t.run = chain{began: last.at}
		if pos = c.after(last.window, next.window, 1); pos < 0 {
			return
		}
	}
	t.run.pos, t.run.last = pos, next.at
	t.run.steps++
	t.latest = t.run
	switch {
	case t.good.steps == 0 && t.run.laps(c) >= c.Laps:
		t.good, t.seen = t.run, next.at
	case t.good.steps > 0 && t.good.began == t.run.began:
		t.good = t.run
	}
}

// recent are the beats to judge, up to now.
func (t *track) recent(now cpu.Time) []beat {
	all := t.beats[max(0, len(t.beats)-t.keep()):]
	if t.pending && now-t.since > t.chase.Tolerance {
		all = append(all[:len(all):len(all)], beat{t.since, t.shown, -1})
	}
	return all
}
