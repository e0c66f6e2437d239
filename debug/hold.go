package debug

import (
	"fmt"
	"slices"

	"coldstart/memory"
)

// A hold stops the machine before the order at a place.
type hold struct {
	number int // as a person names it; never used again
	at     memory.Addr
	met    int // how often it stopped the machine
}

// mostHolds keeps the look at each order short.
const mostHolds = 100

// hold sets a hold.
func (s *Session) hold(args []string) error {
	if args[0] != "at" {
		return fmt.Errorf("after hold belongs at: `hold at %s`", args[1])
	}
	a, err := s.place(args[1])
	if err != nil {
		return err
	}
	for _, h := range s.holds {
		if h.at == a {
			s.say("hold %d is at %s already", h.number, s.addr(a))
			return nil
		}
	}
	if len(s.holds) == mostHolds {
		return fmt.Errorf("there are %d holds, the most there can be: lift some", mostHolds)
	}
	s.lastNo++
	s.holds = append(s.holds, hold{number: s.lastNo, at: a})
	s.say("hold %d at %s  %s", s.lastNo, s.addr(a), s.reciteAt(a))
	return nil
}

// listHolds lists the holds.
func (s *Session) listHolds([]string) error {
	if len(s.holds) == 0 {
		s.say("no holds; `hold at ADDRESS` sets one")
	}
	for _, h := range s.holds {
		s.say("hold %d at %s, met %s", h.number, s.addr(h.at), counted(int64(h.met), "time"))
	}
	return nil
}

// lift takes one hold away, or all.
func (s *Session) lift(args []string) error {
	if args[0] == "all" {
		s.say("%s lifted", counted(int64(len(s.holds)), "hold"))
		s.holds = nil
		return nil
	}
	n, err := count(args[0])
	if err != nil {
		return fmt.Errorf("%w; or lift all", err)
	}
	i := slices.IndexFunc(s.holds, func(h hold) bool { return int64(h.number) == n })
	if i < 0 {
		return fmt.Errorf("there is no hold %d: `holds` lists them", n)
	}
	s.say("hold %d at %s lifted", n, s.addr(s.holds[i].at))
	s.holds = slices.Delete(s.holds, i, i+1)
	return nil
}

// holdText words that a hold stopped the machine.
func (s *Session) holdText(h *hold) string {
	return fmt.Sprintf("hold %d at %s", h.number, s.addr(h.at))
}

// place reads an address where something answers.
func (s *Session) place(text string) (memory.Addr, error) {
	a, err := s.address(text)
	if err == nil && s.code.Geometry.Area(a) == nil {
		err = fmt.Errorf("nothing answers at %s: store is %s", s.addr(a), s.ranges())
	}
	return a, err
}

// ranges names where store answers: the first areas, if there are many.
func (s *Session) ranges() string {
	areas := s.code.Geometry.Areas
	if len(areas) == 0 {
		return "not fitted"
	}
	text := ""
	for i, a := range areas {
		if i == 8 {
			return text + " and more"
		}
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%s %s-%s", a.Name, s.addr(a.First), s.addr(a.Last))
	}
	return text
}

// addr writes an address in the machine's own style.
func (s *Session) addr(a memory.Addr) string {
	g := &s.code.Geometry
	return g.Style.Addr(a, g.AddrBits)
}

// word writes the word at an address in the machine's own style.
func (s *Session) word(a memory.Addr, w memory.Word) string {
	return s.code.Geometry.Style.Word(w, s.width(a))
}

// width is how many data bits the word at an address has.
func (s *Session) width(a memory.Addr) int {
	if area := s.code.Geometry.Area(a); area != nil {
		return area.Width
	}
	return s.code.Geometry.Width
}

// writable is the first words of the first store that can be written.
func (s *Session) writable() (first, last memory.Addr) {
	for _, area := range s.code.Geometry.Areas {
		if !area.Wired {
			return area.First, min(area.First+3, area.Last)
		}
	}
	return 0, 0
}
