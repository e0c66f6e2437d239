package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/cpu/order/ruler"
	"coldstart/cpu/panel"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// tellWhy explains the order that is about to be done, the one just done, or a lamp.
func (s *Session) tellWhy(args []string) error {
	switch {
	case len(args) == 0:
		return s.explain(s.half.Machine.Orders())
	case args[0] == "last" && len(args) == 1:
		if s.half.Machine.Orders() == 0 {
			return fmt.Errorf("no order was done yet: `why` alone explains the next one")
		}
		return s.explain(s.half.Machine.Orders() - 1)
	case (args[0] == "dark" || args[0] == "lit") && len(args) == 2:
		return s.whyLamp(args[1], args[0] == "lit")
	}
	return fmt.Errorf("write `why`, `why last`, or `why dark LAMP`, where a lamp is a bit of the first row, or ROW.BIT")
}

// explain lets the machine do the order after so many once more, says all that it did, and brings everything back.
func (s *Session) explain(orders int64) error {
	now := s.moment()
	if orders < s.half.Machine.Orders() {
		if err := s.find(orders); err != nil {
			return err
		}
	}
	if s.half.Machine.Halted() {
		return first(s.restore(now), s.errStands())
	}
	var said []string
	s.eye.shows = func(step *cpu.Step) { said = s.reasons(step) }
	err := s.forward(s.acts, func() int64 { return 1 - int64(len(said)) })
	s.eye.shows = nil
	err = first(err, s.restore(now))
	s.past = now.past // the moment made for this alone is not kept
	for _, line := range said {
		s.say("%s", line)
	}
	return err
}

// reasons says what an order is, by which line of the handbook, and what it read, wrote and decided.
func (s *Session) reasons(step *cpu.Step) []string {
	text := "-"
	if len(step.Words) > 0 {
		text, _ = s.code.Recite(step.Place, step.Words)
	}
	all := []string{fmt.Sprintf("%s  %s, order %d, at %s", s.addr(step.Place), text, step.Number, s.time(step.At))}
	if from := s.from(step.Place); from != "" {
		all = append(all, "  its word came from "+from)
	}
	if o := step.Order; o != nil {
		all = append(all, s.handbook(o, step)...)
	}
	all = append(all, s.went(step)...)
	if did := s.changes(step); len(did) > 0 {
		all = append(all, "  so      "+strings.Join(did, "; "))
	}
	if step.Trap == nil && !step.Halted && !step.Waiting {
		all = append(all, fmt.Sprintf("  took    %s; next is %s", s.time(step.Done-step.At), s.addr(s.half.Machine.Place())))
	}
	return all
}

// from is where the word at an address came from, as far as the record knows.
func (s *Session) from(a memory.Addr) string {
	return origin(s.code.Geometry.Style, s.eye.record.Whence(a).Origin)
}

// handbook is the line of the machine file that an order goes by, with its page, and the fields as they are here.
func (s *Session) handbook(o *order.Order, step *cpu.Step) []string {
	where := fmt.Sprintf("line %d of the machine file", o.Line)
	if o.Page != "" {
		where = "page " + o.Page + ", " + where
	}
	all := []string{"  " + where + ":"}
	for _, line := range lines(s.handbookText, o.Line) {
		all = append(all, "    "+line)
	}
	if o.Doubt {
		all = append(all, "  A doubt mark stands on that line: nobody is sure of what it says.")
	}
	var fields []string
	for i, f := range o.Fields {
		if i < len(step.Fields) {
			fields = append(fields, f.Name+" "+s.code.Geometry.Style.Word(step.Fields[i], f.Width))
		}
	}
	for i, w := range ruler.Words(s.code, o) {
		all = append(all, "  drawn   "+w.Drawn)
		if i < len(step.Words) {
			all = append(all, "  word    "+bits(step.Words[i], w.Drawn))
		}
	}
	if len(fields) > 0 {
		all = append(all, "  fields  "+strings.Join(fields, ", "))
	}
	return all
}

// bits writes a word bit for bit below a drawing, with a blank where the drawing has one.
func bits(w memory.Word, drawn string) string {
	n := len(strings.ReplaceAll(drawn, " ", ""))
	var out strings.Builder
	for _, c := range drawn {
		if c == ' ' {
			out.WriteByte(' ')
			continue
		}
		n--
		out.WriteByte('0' + byte(w>>n&1))
	}
	return out.String()
}

// lines are the lines of a text from one on, up to the next that begins at the margin, or is empty.
func lines(text string, from int) []string {
	all := strings.Split(text, "\n")
	if from < 1 || from > len(all) || text == "" {
		return nil
	}
	out := []string{all[from-1]}
	for _, l := range all[from:] {
		if l == "" || !strings.HasPrefix(l, " ") {
			break
		}
		if word := strings.Fields(l); len(word) > 0 && word[0] != "check" {
			out = append(out, l)
		}
	}
	return out
}

// went is what an order went by: registers and words read, and what stood where it wrote.
func (s *Session) went(step *cpu.Step) []string {
	var all []string
	seen := map[string]bool{}
	say := func(format string, args ...any) {
		if line := fmt.Sprintf(format, args...); !seen[line] {
			seen[line] = true
			all = append(all, "  reads   "+line)
		}
	}
	for i := range step.Uses {
		u := &step.Uses[i]
		if trail.Made(step, u) {
			continue
		}
		unset := ""
		if u.Unknown {
			unset = ", which nothing has set since power-up"
		}
		say("%s %s%s", u.Register.Name, s.value(u.Register, u.Value), unset)
	}
	for _, a := range step.Reads {
		line := fmt.Sprintf("store %s %s", s.addr(a.Addr), s.word(a.Addr, a.Word))
		if from := s.from(a.Addr); from != "" {
			line += ", from " + from
		}
		if a.Status != 0 {
			line += " (" + a.Status.String() + ")"
		}
		say("%s", line)
	}
	return all
}

// whyLamp walks from a lamp back to the word that lights it, the order that wrote that, and where its value came from.
func (s *Session) whyLamp(name string, lit bool) error {
	rows := s.half.Panel.Rows()
	if len(rows) == 0 {
		return fmt.Errorf("this machine file has no lamps")
	}
	if !strings.Contains(name, ".") {
		name = rows[0].Name + "." + name
	}
	l, err := s.half.Panel.Lamp(name)
	if err != nil {
		return err
	}
	if l.Row.Register != nil {
		s.say("%s shows register %s, which holds %s.", s.half.Panel.Name(l), l.Row.Name, s.value(l.Row.Register, s.half.Machine.Value(l.Row.Register)))
		return nil
	}
	s.lampWord(l, lit)
	w := s.eye.record.Whence(l.Row.Addr)
	if w.Number == 0 {
		s.say("  no order has written that word since power-up")
		return nil
	}
	s.say("  written by the order at %s, %s: order %d, at %s, as %s", s.addr(w.Place), s.reciteAt(w.Place), w.Number, s.time(w.At), s.word(l.Row.Addr, w.Word))
	if from := s.from(w.Place); from != "" {
		s.say("  that order came from %s", from)
	}
	if from := origin(s.code.Geometry.Style, w.Origin); from != "" {
		s.say("  the value came from %s", from)
	}
	return nil
}

// lampWord says what lights a lamp, or does not: the word in store, or the driver.
func (s *Session) lampWord(l panel.Lamp, asked bool) {
	seen := s.half.Seen(l.Row.Addr)
	should, is := l.Row.Lights(seen)>>l.Bit&1 == 1, s.half.Lit(l.Row.Addr)>>l.Bit&1 == 1
	state := map[bool]string{true: "lit", false: "dark"}
	s.say("Lamp %s is %s. Store %s holds %s: by that it should be %s.", s.half.Panel.Name(l), state[is], l.Row.Name, s.word(l.Row.Addr, seen), state[should])
	switch {
	case should != is:
		s.say("  its driver, %s, does not do what the word says: look at the lamp and the driver, not at the program", l.Row.PlugIn)
	case is != asked:
		s.say("  it is not %s", state[asked])
	}
	if written := s.eye.record.Whence(l.Row.Addr); written.Number > 0 && written.Word != seen {
		s.say("  %s was written there: the store gives back something else", s.word(l.Row.Addr, written.Word))
	}
}
