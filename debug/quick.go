package debug

import (
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/debug/trail"
)

// Who only rolls on does not need a record of every order: the machine can run as fast as it does by itself, and the desk sees
// what was done when somebody asks, by playing it again from the last moment it has seen all of. While that is due, lastSeen is
// that moment; a moment kept meanwhile knows of it.

// asksNothing tells whether a word of the desk needs nothing of what was done.
func asksNothing(word string) bool {
	return slices.Contains([]string{"roll", "back", "look", "recite", "holds", "note", "help", "leave"}, word)
}

// stretch is how many orders are taken unseen at a time. It is far below a second, so that Ctrl-C is heard.
const stretch = 1 << 20

// long is how many orders take a person's time to look through: half a second and more.
const long = 1 << 22

// quick takes orders unseen, if nobody waits for anything but the end of them; it gives the number taken. Where something
// happened in them that the desk has to tell of, it was as if they were not taken: they are to be taken again, and seen.
func (s *Session) quick(left int64, until cpu.Time) int64 {
	if s.live || !s.unwatched() || s.position() < s.watchTo || s.lastSeen == nil && left < s.stretch {
		s.see()
		return 0
	}
	if s.lastSeen == nil {
		s.lastSeen = s.moment()
		s.attach()
	}
	begun, past, was := s.moment(), s.past, s.told()
	s.quiet, s.spoken = true, false
	taken := s.step(min(left, s.stretch), until)
	if s.quiet = false; !s.spoken && s.told() == was {
		return taken
	}
	s.putBack(begun)
	s.past = past
	s.see()
	s.watchTo = s.position() + s.stretch
	return 0
}

// unwatched tells whether nothing has to be looked for at each order.
func (s *Session) unwatched() bool {
	if len(s.holds)+len(s.pegs) > 0 || s.replaying {
		return false
	}
	un := func(e *eye) bool {
		return e.until == nil && e.goal.milestone == nil && e.goal.chases == nil && !e.shown && e.shows == nil && len(e.sent) == 0 && len(e.watcher.Missing()) == 0
	}
	return un(s.eye) && (s.other == nil || un(s.other.eye))
}

// A telling is what the desk tells of as it happens, as far as the machines show it afterwards.
type telling struct {
	traps  [2]*cpu.Trap
	halted [2]bool
	lines  int
	events int
}

// told is how that stands now.
func (s *Session) told() (t telling) {
	of := func(n int, h *duplex.Half) {
		t.traps[n], t.halted[n] = h.Machine.LastTrap(), h.Machine.Halted()
		for _, ch := range s.code.Channels {
			if tty, ok := h.Rack.Device(ch.Code).(*channel.Teletypewriter); ok {
				t.lines += 2 * tty.Len()
				if n := tty.Len(); n > 0 && tty.Line(n-1).Ended {
					t.lines++
				}
			}
		}
	}
	of(0, s.half)
	if s.pair != nil {
		of(1, s.other.half)
		t.events = len(s.pair.Events())
	}
	return t
}

// attach lets the desk watch its halves, or look away while what they do is to be seen later.
func (s *Session) attach() {
	to := func(h *duplex.Half, e *eye) {
		if s.lastSeen == nil {
			h.Machine.Observe(e)
		} else {
			h.Machine.Observe(nil)
		}
	}
	to(s.half, s.eye)
	if s.other != nil {
		to(s.other.half, s.other.eye)
	}
}

// see lets the desk see all that was done up to now.
func (s *Session) see() {
	if s.lastSeen == nil {
		return
	}
	target, acts, stops := s.here().point, s.acts, s.stops
	if due := target.at - s.lastSeen.at; due > long {
		s.busy("looking through the last " + counted(due, "order"))
	}
	s.putBack(s.lastSeen)
	s.replaying = true
	for s.position() < target.at && s.goOn(min(apart, target.at-s.position())) > 0 {
		s.keepHere()
	}
	s.pass(target)
	s.replaying = false
	s.acts, s.stops = acts, stops
}

// lately is the loop that the half has turned in, for a roll whose last orders nobody has seen.
func (s *Session) lately() (trail.Loop, bool) {
	if s.lastSeen == nil {
		return s.eye.record.Loop()
	}
	const orders = 2048
	now, past, target := s.moment(), s.past, s.position()
	from := s.lastSeen
	for _, m := range past {
		if m.at <= target-orders {
			from = m
		}
	}
	s.putBack(from)
	s.replaying = true
	s.goOn(target - orders - s.position())
	last := trail.New(s.code, nil)
	s.half.Machine.Observe(last)
	s.goOn(target - s.position())
	s.replaying = false
	s.putBack(now)
	s.past = past
	return last.Loop()
}

// putBack restores a moment of this very session, which cannot fail: the same halves, and jams that were in.
func (s *Session) putBack(m *moment) {
	if err := s.restore(m); err != nil {
		panic(err)
	}
}
