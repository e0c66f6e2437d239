package debug

import "fmt"

// resume presses the resume key.
func (s *Session) resume([]string) error {
	m := s.half.Machine
	switch {
	case !m.Halted():
		s.say("the machine is not halted, so the resume key does nothing: `take` or `roll` lets it run")
		return nil
	case !m.Resumes():
		return s.errStands()
	}
	s.press()
	s.showNext()
	return nil
}

// resumeKey is how the resume key stands among what was done by hand, whoever pressed it.
const resumeKey = "resume"

// press sets a machine going that a halt stopped.
func (s *Session) press() {
	s.noted("resume key pressed, %s", s.haltText())
	s.half.Machine.Resume()
	s.did(resumeKey)
}

// errStands is what is said to whoever wants a machine that stands still to go on.
func (s *Session) errStands() error {
	m := s.half.Machine
	what, resume := "the machine is halted", ""
	last := s.eye.record.Last(1)
	trapped := len(last) == 1 && last[0].Trap != nil
	switch {
	case m.Waiting():
		what = "the machine stands in an order that waits for what nothing will bring"
	case m.Resumes():
		resume = "`resume` presses its resume key, "
	case !trapped:
		what += " for good"
	}
	if trapped {
		what += " after trap " + last[0].Trap.Kind.Name
	}
	return fmt.Errorf("%s: %s`panel` shows how it stands, and `key %s ADDRESS` lets it run from an address", what, resume, s.code.Counter.Name)
}
