package debug

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// A holdKind is what a hold waits for.
type holdKind uint8

const (
	atPlace  holdKind = iota // the next order stands there
	onRead                   // an order has read there as data
	onWrite                  // an order has written there
	whenHeld                 // a condition has come to hold
)

// A hold stops the machine before the order at a place, or after one that did something.
type hold struct {
	number      int // as a person names it; never used again
	kind        holdKind
	first, last memory.Addr
	when        *watch.Condition // of whenHeld
	held        bool             // it held after the order before
	met         int              // how often it stopped the machine
}

// says is what a hold waits for, as a person writes it.
func (s *Session) says(h *hold) string {
	where := s.addr(h.first)
	if h.last != h.first {
		where += "-" + s.addr(h.last)
	}
	switch h.kind {
	case onRead:
		return "on read " + where
	case onWrite:
		return "on write " + where
	case whenHeld:
		return "when " + h.when.String()
	}
	return "at " + where
}

// comes tells whether a hold stops the machine after a step.
func (h *hold) comes(half *duplex.Half, step *cpu.Step) bool {
	within := func(a memory.Addr) bool { return a >= h.first && a <= h.last }
	switch h.kind {
	case onRead:
		return slices.ContainsFunc(step.Reads, func(a cpu.Access) bool { return within(a.Addr) })
	case onWrite:
		return slices.ContainsFunc(step.Writes, func(a cpu.Access) bool { return within(a.Addr) })
	case whenHeld:
		before := h.held
		h.held = h.when.Holds(half)
		return h.held && !before
	}
	return within(half.Machine.Place())
}

// mostHolds keeps the look at each order short.
const mostHolds = 100

// hold sets a hold.
func (s *Session) hold(args []string) error {
	h, err := s.parseHold(args)
	if err != nil {
		return err
	}
	for i := range s.holds {
		if s.says(&s.holds[i]) == s.says(&h) {
			s.say("hold %d is %s already", s.holds[i].number, s.says(&h))
			return nil
		}
	}
	if len(s.holds) == mostHolds {
		return fmt.Errorf("there are %d holds, the most there can be: lift some", mostHolds)
	}
	s.lastNo++
	h.number = s.lastNo
	s.holds = append(s.holds, h)
	what := ""
	if h.kind == atPlace {
		what = "  " + s.reciteAt(h.first)
	}
	s.say("hold %d %s%s", h.number, s.says(&h), what)
	return nil
}

// parseHold reads what a hold waits for.
func (s *Session) parseHold(args []string) (h hold, err error) {
	switch {
	case args[0] == "at" && len(args) == 2:
		h.first, err = s.place(args[1])
		h.last = h.first
	case args[0] == "on" && len(args) == 3 && (args[1] == "read" || args[1] == "write"):
		h.kind = onRead
		if args[1] == "write" {
			h.kind = onWrite
		}
		from, to, both := strings.Cut(args[2], "-")
		if h.first, err = s.place(from); err != nil {
			return h, err
		}
		if h.last = h.first; both {
			h.last, err = s.place(to)
		}
		if err == nil && h.last < h.first {
			err = fmt.Errorf("%s ends before it begins: write the lower address first", args[2])
		}
	case args[0] == "when":
		h.kind = whenHeld
		if h.when, err = watch.ParseCondition(s.code, strings.Join(args[1:], " ")); err == nil {
			h.held = h.when.Holds(s.half)
		}
	default:
		err = fmt.Errorf("after hold belongs at, on read, on write or when: `%s`", s.fill("hold at {here}"))
	}
	return h, err
}

// listHolds lists the holds.
func (s *Session) listHolds([]string) error {
	if len(s.holds) == 0 {
		s.say("no holds; `hold at ADDRESS` sets one")
	}
	for i := range s.holds {
		h := &s.holds[i]
		s.say("hold %d %s, met %s", h.number, s.says(h), counted(int64(h.met), "time"))
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
	s.say("hold %d %s lifted", n, s.says(&s.holds[i]))
	s.holds = slices.Delete(s.holds, i, i+1)
	return nil
}

// holdText words that a hold stopped the machine.
func (s *Session) holdText(h *hold) string {
	if h.number == 0 {
		return "behind the order, " + s.says(h)
	}
	return fmt.Sprintf("hold %d %s", h.number, s.says(h))
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
