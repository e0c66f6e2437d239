package debug

import (
	"fmt"

	"coldstart/debug/trail"
)

// mostWriters is how many writers of a word are told at most: each is found by going back to before the one after it.
const mostWriters = 100

// whence tells who wrote a word last, and who before that.
func (s *Session) whence(args []string) error {
	a, err := s.place(args[0])
	if err != nil {
		return err
	}
	n := int64(2)
	if len(args) > 1 {
		if n, err = count(args[1]); err != nil {
			return err
		}
		if n > mostWriters {
			return fmt.Errorf("%d writers are too many to look for at once: at most %d", n, mostWriters)
		}
	}
	s.lookAt(a)
	w, when := s.eye.record.Whence(a), ""
	if keyed, ok := s.keyed[a]; ok && keyed >= w.Number {
		s.say("  altered at the desk after order %d; `note` lists what was altered", keyed)
		when = before
		n--
	}
	if n > 0 {
		s.wrote(when, w)
	}
	if n < 2 || w.Number == 0 {
		return nil
	}
	return s.elsewhen(func() error {
		for ; n > 1 && w.Number > 0; n-- {
			if err := s.find(w.Number - 1); err != nil {
				return err
			}
			w = s.eye.record.Whence(a)
			s.wrote(before, w)
		}
		return nil
	})
}

// elsewhen goes back in time for as long as do lasts, and comes to now again.
func (s *Session) elsewhen(do func() error) error {
	now, past := s.moment(), s.past
	err := do()
	err = first(err, s.restore(now))
	s.past = past
	return err
}

// before begins what is told of an earlier write.
const before = "before that "

// wrote tells of one write of a word, as the machine stands behind it.
func (s *Session) wrote(when string, w trail.Write) {
	from := origin(s.code.Geometry.Style, w.Origin)
	switch {
	case w.Stolen:
		s.say("  %sput there by the device at %s itself, before order %d, at %s", when, s.channel(w.Channel), w.Number, s.time(w.At))
	case w.Number > 0:
		s.say("  %swritten by the order at %s, %s: order %d, at %s", when, s.addr(w.Place), s.reciteAt(w.Place), w.Number, s.time(w.At))
	case from != "":
		s.say("  %sthere since power-up, from %s", when, from)
	default:
		s.say("  %sno order has written it since power-up, and where it came from is not known", when)
	}
	if w.Number > 0 && from != "" {
		s.say("  the value came from %s", from)
	}
	if said := s.witness(w.Origin); said != "" {
		s.say("  by its lineage: %s", said)
	}
}
