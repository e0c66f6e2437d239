package debug

import (
	"fmt"

	"coldstart/cpu"

	"coldstart/memory"
)

// through does the next order, and what it goes away to, up to where it comes back to: the order behind it. An order that does
// not come back within a second, or a million orders, stops there.
func (s *Session) through([]string) error {
	m := s.half.Machine
	if s.stands() {
		return s.errStands()
	}
	place := m.Place()
	words := s.seen(place)
	if len(words) == 0 {
		return fmt.Errorf("nothing answers at %s", s.addr(place))
	}
	_, used := s.code.Recite(place, words)
	behind := place
	for range max(1, used) {
		behind = s.code.After(behind, nil)
	}
	return s.rollTo(behind)
}

// rollTo runs on to a place, and says why it stopped.
func (s *Session) rollTo(a memory.Addr) error {
	s.eye.until, s.eye.goal = nil, goal{}
	s.holds = append(s.holds, hold{kind: atPlace, first: a, last: a})
	defer func() { s.holds = s.holds[:len(s.holds)-1] }()
	return s.run(limit{cpu.Second, 1_000_000})
}
