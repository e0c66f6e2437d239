package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/memory"
)

// Of more orders than shownWhole only the last shownLast are shown.
const (
	shownWhole = 20
	shownLast  = 5
)

// take does orders and shows what each did.
func (s *Session) take(args []string) error {
	n := int64(1)
	if len(args) == 1 {
		var err error
		if n, err = count(args[0]); err != nil {
			return err
		}
	}
	m, e := s.half.Machine, s.eye
	if m.Halted() {
		return s.errStands()
	}
	e.until, e.goal = nil, goal{}
	before := m.Orders()
	if n > shownWhole {
		why := s.advance(limit{cpu.Never, n - shownLast})
		if done := m.Orders() - before; done < n-shownLast {
			s.showLast(shownLast)
			s.say("Stopped after %s: %s.", counted(done, "order"), why)
			return nil
		}
		s.say("%s done, not shown", counted(n-shownLast, "order"))
	}
	e.shown = true
	why := s.advance(limit{cpu.Never, n - (m.Orders() - before)})
	e.shown = false
	if done := m.Orders() - before; done < n || m.Halted() || e.why != "" {
		s.say("Stopped after %s: %s.", counted(done, "order"), why)
	}
	return nil
}

// showStep prints one order done: its place, its text, and what changed.
func (s *Session) showStep(step *cpu.Step) {
	text := "-" // the trap says why there is none
	if len(step.Words) > 0 {
		text, _ = s.code.Recite(step.Place, step.Words)
	}
	s.say("  %s  %-26s %s", s.addr(step.Place), text, strings.Join(s.changes(step), "; "))
}

// changes words what an order changed: registers, store, channels, and what came of it.
func (s *Session) changes(step *cpu.Step) []string {
	var all []string
	style := s.code.Geometry.Style
	for i, c := range step.Changes {
		if later(step.Changes[i+1:], c) || c.Register.FlipFlop && c.Old == c.New {
			continue
		}
		all = append(all, c.Register.Name+" "+s.value(c.Register, c.New))
	}
	for i, w := range step.Writes {
		text := fmt.Sprintf("store %s %s", s.addr(w.Addr), style.Word(w.Word, s.width(w.Addr)))
		if i < len(step.Stolen) {
			text = fmt.Sprintf("%s puts %s into store %s", s.channel(step.Stolen[i].Code), style.Word(w.Word, s.width(w.Addr)), s.addr(w.Addr))
		}
		if w.Status != 0 {
			text += " (" + w.Status.String() + ")"
		}
		all = append(all, text)
	}
	for _, x := range step.Exchanges {
		all = append(all, s.exchange(x))
	}
	switch {
	case step.Trap != nil:
		all = append(all, s.trapText(step.Trap))
	case step.Waiting:
		all = append(all, "waits")
	case step.Halted:
		all = append(all, "halts")
	}
	return all
}

// later tells whether a register is changed again.
func later(rest []cpu.Change, c cpu.Change) bool {
	for _, other := range rest {
		if other.Register == c.Register {
			return true
		}
	}
	return false
}

// exchange words what passed over a channel.
func (s *Session) exchange(x cpu.Exchange) string {
	style, width := s.code.Geometry.Style, s.code.Geometry.Width
	for _, ch := range s.code.Channels {
		if ch.Code == x.Action.Code {
			width = ch.Width
		}
	}
	name := s.channel(x.Action.Code)
	switch {
	case x.Reply.None:
		return "nobody answers at channel " + name
	case x.Action.Verb == cpu.Receive:
		return fmt.Sprintf("%s gives %s", name, style.Word(x.Reply.Word, width))
	case x.Action.Verb == cpu.Sign:
		return fmt.Sprintf("%s sign %s is %d", name, style.Number(uint64(x.Action.Sign)), x.Reply.Word)
	case x.Action.Verb == cpu.Command:
		return fmt.Sprintf("%s command %s", name, style.Number(uint64(x.Action.Word)))
	}
	return fmt.Sprintf("%s takes %s", name, style.Word(x.Action.Word, width))
}

// channel is the name of a channel code, or the code where it has none.
func (s *Session) channel(code int) string {
	for _, ch := range s.code.Channels {
		if ch.Code == code {
			return ch.Name
		}
	}
	return "code " + s.code.Geometry.Style.Number(uint64(code))
}

// trapText words a trap.
func (s *Session) trapText(t *cpu.Trap) string {
	text := "trap " + t.Kind.Name
	if t.Kind.Text != "" {
		text += ", " + t.Kind.Text
	}
	text += ", at " + s.addr(t.Place)
	switch {
	case t.Code >= 0:
		text += ", channel " + s.channel(t.Code)
	case t.Addr != t.Place && (t.Kind.Name == "parity" || t.Kind.Name == "no-reply" || t.Kind.Name == "protected" || t.Kind.Name == "corrected"):
		text += ", store " + s.addr(t.Addr)
	}
	return text
}

// showNext prints the order to be done next.
func (s *Session) showNext() {
	at := s.half.Machine.Place()
	s.say("  %s  %s", s.addr(at), s.reciteAt(at))
}

// reciteAt is the order text of what stands at an address, as the machine sees it.
func (s *Session) reciteAt(at memory.Addr) string {
	words := s.seen(at)
	if len(words) == 0 {
		return "nothing answers here"
	}
	if _, _, st := s.half.Store.Peek(at); st&memory.NeverWritten != 0 {
		return "nothing written there yet"
	}
	text, _ := s.code.Recite(at, words)
	return text
}

// seen is the words at an address, as many as the longest order has, or up to where nothing answers.
func (s *Session) seen(at memory.Addr) []memory.Word {
	var words []memory.Word
	for i := range s.longest {
		_, w, st := s.half.Store.Peek(at + memory.Addr(i))
		if st&memory.NoReply != 0 {
			break
		}
		words = append(words, w)
	}
	return words
}
