package debug

import (
	"fmt"
	"slices"

	"coldstart/memory"
)

// A peg counts how often the machine comes to a place.
type peg struct {
	at    memory.Addr
	count int64
}

// mostPegs keeps the look at each order short.
const mostPegs = 100

// peg counts an order that is about to be done at a place with a peg.
func (e *eye) peg() {
	next := e.half.Machine.Place()
	for i := range e.session.pegs {
		if p := &e.session.pegs[i]; p.at == next {
			p.count++
		}
	}
}

// pegAt begins to count visits to a place, or ends it.
func (s *Session) pegAt(args []string) error {
	if args[0] == "off" {
		if len(args) == 1 {
			s.say("%s taken away", counted(int64(len(s.pegs)), "peg"))
			s.pegs = nil
			return nil
		}
		args = args[1:]
		a, err := s.place(args[0])
		if err == nil {
			s.pegs = slices.DeleteFunc(s.pegs, func(p peg) bool { return p.at == a })
		}
		return err
	}
	a, err := s.place(args[0])
	switch {
	case err != nil:
		return err
	case slices.ContainsFunc(s.pegs, func(p peg) bool { return p.at == a }):
		s.say("there is a peg at %s already", s.addr(a))
		return nil
	case len(s.pegs) == mostPegs:
		return fmt.Errorf("there are %d pegs, the most there can be: take some away with `peg off ADDRESS`", mostPegs)
	}
	s.pegs = append(s.pegs, peg{at: a})
	s.say("peg at %s  %s", s.addr(a), s.reciteAt(a))
	return nil
}

// listPegs lists the pegs. Orders done again, after going back, count once more only where they are done again by a person.
func (s *Session) listPegs([]string) error {
	if len(s.pegs) == 0 {
		s.say("no pegs; `peg ADDRESS` counts how often the machine comes there")
	}
	for _, p := range s.pegs {
		s.say("%s  %s  %s", s.addr(p.at), counted(p.count, "time"), s.reciteAt(p.at))
	}
	return nil
}
