package debug

import (
	"maps"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// A moment is all there is at one time: machines, store, devices, faults, and what the desk has seen of them. Store pages and
// pages of the record that have not changed are shared between moments.
type moment struct {
	point
	alone duplex.State
	pair  duplex.PairState
	sides []side // by half
	acts  []act
	past  []*moment
	stops []stop
	seen  *moment // nil: the desk has seen all up to here; else the last moment that it had
}

// A side is what the desk has of one half.
type side struct {
	orders  int64
	record  *trail.Record
	watcher *watch.Watcher
	papers  []paper
	sent    []line
	reached int
	jams    []jam.Jam
	keyed   map[memory.Addr]int64
}

// A point is where a machine has come to: orders done, of both halves of a pair, and how much of what is planned for a pair has
// happened, since time can pass in it without an order.
type point struct{ at, passed int64 }

// before tells whether a machine that has come to q may have come through p.
func (p point) before(q point) bool { return p.at < q.at || p.at == q.at && p.passed <= q.passed }

// An act is something done by hand that alters what comes after: a desk line, at which half, and when.
type act struct {
	point
	half string
	line string
}

// A stop is where the machine stood between two words, and the orders of each half.
type stop struct {
	point
	orders [2]int64
}

// How many moments are kept on the way, and how many orders apart at least: going back a little replays little, and going back
// far replays some of what lies between two moments that are further apart the older they are.
const (
	mostMoments = 48
	apart       = 1 << 18
	mostStops   = 10_000

	// So many things done by hand are remembered. Beyond that a person has pasted a flood, and it can be gone back only as far as
	// that has been: what was kept before is let go.
	mostActs = 20_000
)

// did notes that a word altered what comes after, so that it is done again when the machine comes that way once more.
func (s *Session) did(line ...string) {
	if s.replaying {
		return
	}
	s.acts = append(s.acts, act{s.here().point, s.half.Name, strings.Join(line, " ")})
	if len(s.acts) > mostActs {
		s.acts, s.forgot = nil, true
		s.past, s.stops = []*moment{s.moment()}, []stop{s.here()}
	}
}

// position is how many orders were done, of both halves of a pair.
func (s *Session) position() int64 { return s.here().at }

// here is where the machine stands.
func (s *Session) here() stop {
	if s.pair == nil {
		n := s.half.Machine.Orders()
		return stop{point{at: n}, [2]int64{n}}
	}
	a, b := s.pair.Half(0).Machine.Orders(), s.pair.Half(1).Machine.Orders()
	return stop{point{a + b, s.pair.Passed()}, [2]int64{a, b}}
}

// number is which half one is.
func number(h *duplex.Half) int { return int(h.Name[0] - 'A') }

// each calls f with each half, what watches it, its jams and what was altered in it.
func (s *Session) each(f func(n int, e *eye, jams *[]jam.Jam, keyed *map[memory.Addr]int64)) {
	if s.other == nil {
		f(0, s.eye, &s.jams, &s.keyed)
		return
	}
	for n := range 2 {
		if number(s.half) == n {
			f(n, s.eye, &s.jams, &s.keyed)
		} else {
			f(n, s.other.eye, &s.other.jams, &s.other.keyed)
		}
	}
}

// moment keeps how all is now.
func (s *Session) moment() *moment {
	m := &moment{point: s.here().point, seen: s.lastSeen, acts: slices.Clip(s.acts), past: slices.Clip(s.past), stops: slices.Clip(s.stops)}
	if s.pair != nil {
		m.pair = s.pair.Keep()
	} else {
		m.alone = s.half.Keep()
	}
	s.each(func(_ int, e *eye, jams *[]jam.Jam, keyed *map[memory.Addr]int64) {
		record, watcher := e.record, e.watcher
		if s.lastSeen == nil { // else they stay as they are
			record, watcher = record.Clone(), watcher.Clone()
		}
		m.sides = append(m.sides, side{
			orders: e.half.Machine.Orders(), record: record, watcher: watcher, papers: slices.Clone(e.papers), sent: slices.Clone(e.sent),
			reached: e.reached, jams: slices.Clone(*jams), keyed: maps.Clone(*keyed),
		})
	})
	return m
}

// restore brings all back to how it was at a moment, which may be restored again. The faults that were in then are put in
// first: what they remember is part of the state.
func (s *Session) restore(m *moment) error {
	var wrong error
	s.each(func(n int, e *eye, jams *[]jam.Jam, keyed *map[memory.Addr]int64) {
		then := &m.sides[n]
		for _, j := range *jams {
			if !holds(then.jams, j) {
				wrong = first(wrong, j.Lift(e.half))
			}
		}
		for _, j := range then.jams {
			if !holds(*jams, j) {
				wrong = first(wrong, j.Put(e.half))
			}
		}
		*jams, *keyed = slices.Clone(then.jams), maps.Clone(then.keyed)
		e.record, e.papers, e.sent, e.reached = then.record.Clone(), slices.Clone(then.papers), slices.Clone(then.sent), then.reached
		e.watcher = then.watcher.Clone()
		e.watcher.Whence(func(a memory.Addr) memory.Origin { return e.record.Whence(a).Origin })
		e.until, e.goal, e.why = nil, goal{}, ""
	})
	if s.pair != nil {
		wrong = first(wrong, s.pair.Recall(m.pair))
	} else {
		wrong = first(wrong, s.half.Recall(m.alone))
	}
	s.acts, s.past, s.stops = slices.Clip(m.acts), append(slices.Clip(m.past), m), slices.Clip(m.stops)
	s.lastSeen = m.seen
	s.attach()
	s.heedNetwork()
	return wrong
}

// first is the first of two errors that is one.
func first(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// holds tells whether a jam is among some.
func holds(jams []jam.Jam, j jam.Jam) bool {
	return slices.ContainsFunc(jams, func(o jam.Jam) bool { return o.String() == j.String() })
}

// keepOnTheWay keeps a moment where the last one kept is far enough behind. Where there are too many the one goes that leaves
// the smallest gap for how long ago it was.
func (s *Session) keepOnTheWay() {
	if !s.replaying {
		s.keepHere()
	}
}

// keepHere is that, also while what was done is done again.
func (s *Session) keepHere() {
	now := s.position()
	if n := len(s.past); n == 0 || now-s.past[n-1].at < apart {
		return
	}
	s.past = append(slices.Clip(s.past), s.moment())
	if len(s.past) <= mostMoments {
		return
	}
	least, at := 0.0, 0
	for i := 1; i < len(s.past)-1; i++ {
		if gap := float64(s.past[i+1].at-s.past[i-1].at) / float64(now-s.past[i].at+apart); at == 0 || gap < least {
			least, at = gap, i
		}
	}
	s.past = slices.Delete(slices.Clone(s.past), at, at+1)
}

// replay does again what was done from a moment on, silently, until left gives 0: how many orders are still to be done at
// most before it is asked again. Acts are those of the history that may come up; those done stay in it.
func (s *Session) replay(m *moment, acts []act, left func() int64) error {
	if err := s.restore(m); err != nil {
		return err
	}
	return s.forward(acts, left)
}

// replayTo is replay up to a point.
func (s *Session) replayTo(p point, m *moment, acts []act) error {
	err := s.replay(m, acts, func() int64 { return p.at - s.position() })
	s.pass(p)
	return err
}

// pass lets what is planned for a pair happen, up to a point to which no order is left.
func (s *Session) pass(p point) {
	if s.pair == nil || s.pair.Passed() >= p.passed {
		return
	}
	was := s.replaying
	s.replaying = true
	s.pair.Pass(p.passed)
	s.replaying = was
}

// forward goes on as replay does, from where the machine stands.
func (s *Session) forward(acts []act, left func() int64) error {
	s.replaying = true
	defer func() { s.replaying = false }()
	at := s.half.Name
	next := len(s.acts)
	var wrong error
	for {
		pos := s.position()
		for next < len(acts) && acts[next].at <= pos {
			s.pass(acts[next].point)
			wrong = first(wrong, s.again(acts[next]))
			s.goTo(at) // an act of the other half has led there, and orders are counted here
			next++
		}
		n := left()
		if n <= 0 {
			break
		}
		if next < len(acts) {
			n = min(n, acts[next].at-pos)
		}
		if s.goOn(min(n, slice)) == 0 {
			break
		}
	}
	s.goTo(at)
	s.acts = slices.Clone(acts[:next])
	return wrong
}

// goOn takes orders of whatever runs, and nothing stops it; it gives the number taken.
func (s *Session) goOn(n int64) int64 {
	if s.pair != nil {
		return s.pair.Run(n, cpu.Never)
	}
	return s.half.Machine.Run(n, cpu.Never)
}

// again does an act once more.
func (s *Session) again(a act) error {
	s.goTo(a.half)
	if a.line == resumeKey {
		s.half.Machine.Resume()
		return nil
	}
	return s.Do(a.line)
}

// goTo goes to a half, silently.
func (s *Session) goTo(half string) {
	if s.half.Name == half {
		return
	}
	here := seat{s.half, s.eye, s.jams, s.keyed}
	s.half, s.eye, s.jams, s.keyed = s.other.half, s.other.eye, s.other.jams, s.other.keyed
	*s.other = here
}
