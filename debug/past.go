package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// A note is something a person did or wrote between two orders.
type note struct {
	orders int64 // done before it
	at     cpu.Time
	text   string
}

// mostNotes keeps a pasted flood from filling the host.
const mostNotes = 10_000

// note writes a note into the trail, or lists all notes.
func (s *Session) note(args []string) error {
	if len(args) > 0 {
		s.noted("%s", strings.Join(args, " "))
		return nil
	}
	if len(s.notes) == 0 {
		s.say("no notes; `note TEXT` writes one, and what is altered by hand is noted by itself")
	}
	for _, n := range s.notes {
		s.say("%s, after %s: %s", s.time(n.at), counted(n.orders, "order"), n.text)
	}
	return nil
}

// noted writes a note, and prints it so that a person sees what was understood.
func (s *Session) noted(format string, args ...any) {
	if s.replaying {
		return
	}
	m := s.half.Machine
	n := note{m.Orders(), m.Now(), fmt.Sprintf(format, args...)}
	if len(s.notes) == mostNotes {
		s.notes = s.notes[1:]
	}
	s.notes = append(s.notes, n)
	s.say("noted: %s", n.text)
}

// trail lists the last orders done, and the notes between them.
func (s *Session) trail(args []string) error {
	if len(args) > 0 && (args[0] == "json" || args[0] == "vcd") {
		return s.trailFile(args)
	}
	if len(args) > 1 {
		return fmt.Errorf("%q is one word too many: write it as `trail %s`", args[1], args[0])
	}
	n := int64(20)
	if len(args) > 0 {
		var err error
		if n, err = count(args[0]); err != nil {
			return err
		}
	}
	if s.eye.record.Orders() == 0 {
		s.say("no order was done yet")
	}
	s.showLast(int(min(n, 1<<20)))
	return nil
}

// showLast prints the last n orders as the record has them, fewer where fewer are remembered.
func (s *Session) showLast(n int) {
	entries := s.eye.record.Last(n)
	notes := s.notes
	if len(entries) > 0 {
		for len(notes) > 0 && notes[0].orders < entries[0].Number-1 {
			notes = notes[1:]
		}
	}
	for i := range entries {
		e := &entries[i]
		for len(notes) > 0 && notes[0].orders < e.Number {
			s.say("  -- %s", notes[0].text)
			notes = notes[1:]
		}
		s.say("  %s", s.entryText(e))
	}
	for _, n := range notes {
		s.say("  -- %s", n.text)
	}
}

// entryText is one order as the record has it.
func (s *Session) entryText(e *trail.Entry) string {
	words := append([]memory.Word(nil), e.Words[:min(e.Length, len(e.Words))]...)
	for i := len(words); i < e.Length; i++ { // the record keeps the first words alone; the others stand in store
		words = append(words, s.half.Seen(e.Place+memory.Addr(i)))
	}
	text := "-"
	if len(words) > 0 {
		text, _ = s.code.Recite(e.Place, words)
	}
	said := ""
	switch {
	case e.Trap != nil:
		said = s.trapText(e.Trap)
	case e.Asked:
		said = s.exchange(e.Exchange)
	}
	line := fmt.Sprintf("%-14s %s  %-26s %s", s.time(e.At), s.addr(e.Place), text, said)
	return strings.TrimRight(line, " ")
}

// origin words where a value came from; "" where nobody knows.
func origin(style memory.Style, o memory.Origin) string {
	switch o.Kind {
	case memory.Tape:
		block := fmt.Sprintf("tape %s, block %03s", o.File, style.Number(uint64(o.Block)))
		if o.Word < 0 {
			return block + ", its header or sum"
		}
		return block + ", word " + style.Number(uint64(o.Word))
	case memory.Wired:
		return "wired words of " + o.File
	case memory.Typed:
		return "words typed in " + o.File
	}
	return ""
}
