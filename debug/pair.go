package debug

import (
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/memory"
)

// A seat is what a session has of a half that it is not at.
type seat struct {
	half  *duplex.Half
	eye   *eye
	jams  []jam.Jam
	keyed map[memory.Addr]int64
}

// couple lets the session watch the other half of a pair too, where there is one, and say at once what the line comes to.
func (s *Session) couple(setup Setup) {
	if s.pair = setup.Pair; s.pair == nil {
		return
	}
	h := s.pair.Half(1)
	s.other = &seat{half: h, keyed: map[memory.Addr]int64{}, jams: of(h, setup.Jams)}
	s.other.eye = s.newEye(h, setup.Image)
	eyes := [2]*eye{s.eye, s.other.eye}
	s.pair.HeedWrites(func(n int, a memory.Addr, w memory.Word) { s.entered(eyes[n], a, w, s.pair.Time(n)) })
	s.pair.Heed(func(e duplex.Event) {
		s.say("%s  %s, %s", s.time(e.At), s.pair.Tell(e), s.pair.Why(e.Cause))
		if e.Kind == duplex.Both {
			s.eye.end("both halves are on-line")
		}
	})
}

// entered takes note of a word that one half wrote into the store of the other, if the desk looks on.
func (s *Session) entered(e *eye, a memory.Addr, w memory.Word, at cpu.Time) {
	if s.lastSeen == nil {
		e.record.Enter(a, w, at)
	}
}

// of are the jams of a half.
func of(h *duplex.Half, jams []jam.Jam) []jam.Jam {
	return slices.DeleteFunc(slices.Clone(jams), func(j jam.Jam) bool { return j.In() != h.Name })
}

// alone says that there is no other half, where there is none.
func (s *Session) alone() bool {
	if s.pair == nil {
		s.say("This half stands alone: `coldstart sit --pair` begins with two, if the machine file has a duplex line.")
	}
	return s.pair == nil
}

// mate goes to the other half.
func (s *Session) mate([]string) error {
	if s.alone() {
		return nil
	}
	here := seat{s.half, s.eye, s.jams, s.keyed}
	s.half, s.eye, s.jams, s.keyed = s.other.half, s.other.eye, s.other.jams, s.other.keyed
	*s.other = here
	s.say("At half %s, %s.", s.half.Name, s.state())
	s.showNext()
	return nil
}

// changeover presses the changeover key.
func (s *Session) changeover([]string) error {
	if s.alone() {
		return nil
	}
	s.pair.Key(s.pair.Now())
	s.did("changeover")
	s.noted("changeover key pressed")
	return nil
}

// showPair shows the halves side by side.
func (s *Session) showPair([]string) error {
	if s.alone() {
		return nil
	}
	for _, row := range s.pair.Rows(s.time) {
		s.say("  %-20s  %-20s  %s", row[0], row[1], row[2])
	}
	for _, e := range s.pair.Events() {
		s.say("%s  %s, %s", s.time(e.At), s.pair.Tell(e), s.pair.Why(e.Cause))
	}
	return nil
}

// stands tells whether nothing runs.
func (s *Session) stands() bool {
	return s.half.Machine.Halted() && (s.pair == nil || s.other.half.Machine.Halted() && s.pair.Due() == cpu.Never)
}

// now is the time that the half, or the pair, has come to.
func (s *Session) now() cpu.Time {
	if s.pair != nil {
		return s.pair.Now()
	}
	return s.half.Machine.Now()
}

// pause lets the run end after the order acting.
func (s *Session) pause() {
	if s.pair != nil {
		s.pair.Pause()
	} else {
		s.half.Machine.Pause()
	}
}

// forgetWhy begins a run that nothing ends yet.
func (s *Session) forgetWhy() {
	s.eye.why = ""
	if s.other != nil {
		s.other.eye.why, s.other.eye.until, s.other.eye.goal, s.other.eye.shown = "", nil, goal{}, false
	}
}

// why is what ends the run, "" where nothing does.
func (s *Session) why() string {
	if s.eye.why == "" && s.other != nil && s.other.eye.why != "" {
		return s.whose(s.other.eye) + s.other.eye.why
	}
	return s.eye.why
}

// step lets the half take orders, n at most, and the other one as many as its time allows. Of a half that stands still, what the
// other does is counted.
func (s *Session) step(n int64, until cpu.Time) int64 {
	m := s.half.Machine
	if s.pair == nil {
		return m.Run(n, until)
	}
	if m.Halted() {
		return s.pair.Run(n, until)
	}
	before := m.Orders()
	for {
		done := m.Orders() - before
		if done >= n || m.Halted() || s.why() != "" || s.pair.Run(n-done, until) == 0 {
			return m.Orders() - before
		}
	}
}

// whose is whose eye it is, where that is not the half that a person is at.
func (s *Session) whose(e *eye) string {
	if e == s.eye {
		return ""
	}
	return "half " + e.half.Name + ": "
}
