package syntax

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// Columns of printed text.
const (
	bodyColumn = 10  // where what follows a keyword begins
	pageColumn = 52  // where page references stand, unless the line is longer
	listColumn = 100 // where a list that may be broken is broken
	deepest    = 20  // levels of a block that are set in; more would make lines that Parse finds too long
)

// Print gives the text of a machine file in one settled layout: Parse gives an equal tree for it but for the places, and
// printing that tree gives the same text again. Comments are not in the tree, so Print loses them.
func Print(f *File) []byte {
	var out bytes.Buffer
	tall := false // the statement before has clauses
	for i, s := range f.Statements {
		w := &printer{doubts: s.Head().Doubts}
		w.statement(s)
		if o, ok := s.(*Order); ok && o.Does == nil && o.Unknown.Text == "" && !w.doubted("does", 0) && i+1 < len(f.Statements) {
			if _, ok := f.Statements[i+1].(*Mode); ok {
				w.clause("does", "", 0) // else the mode would be taken for the order's
			}
		}
		was := tall
		tall = bytes.Count(w.Bytes(), []byte("\n")) > 1
		if i > 0 && (was || tall) {
			out.WriteByte('\n')
		}
		out.Write(w.Bytes())
	}
	return out.Bytes()
}

// A printer gathers the lines of one statement.
type printer struct {
	bytes.Buffer
	doubts []Doubt
}

// doubted reports whether a line of a clause carries the doubt mark.
func (w *printer) doubted(clause string, nth int) bool {
	return slices.ContainsFunc(w.doubts, func(d Doubt) bool { return d.Clause == clause && d.Nth == nth })
}

// head writes a head line with the marks it carries.
func (w *printer) head(m *Mark, keyword, body string) {
	text := fmt.Sprintf("%-*s%s", bodyColumn, keyword+" ", body)
	if m.Page != "" {
		text = fmt.Sprintf("%-*s page %s", pageColumn-1, strings.TrimRight(text, " "), m.Reference())
	}
	if m.Replaces != nil {
		text += " replaces " + m.Replaces.String()
	}
	if m.Doubt {
		text += " ?"
	}
	w.WriteString(strings.TrimRight(text, " ") + "\n")
}

// clause writes a clause line, the nth of its clause.
func (w *printer) clause(keyword, body string, nth int) {
	w.clauseLine(keyword, body, w.doubted(keyword, nth))
}

// clauseLine writes a clause line, doubted or not.
func (w *printer) clauseLine(keyword, body string, doubt bool) {
	text := strings.TrimRight(fmt.Sprintf("  %-*s%s", bodyColumn-2, keyword+" ", body), " ")
	if doubt {
		text += " ?"
	}
	w.WriteString(text + "\n")
}

// list writes the entries of a clause that may stand several times, as many on a line as fit.
func (w *printer) list(keyword string, entries []string) {
	line := ""
	for _, e := range entries {
		switch {
		case line == "":
			line = e
		case len(line)+len(e) > listColumn:
			w.clause(keyword, line, 0)
			line = e
		default:
			line += ", " + e
		}
	}
	if line != "" {
		w.clause(keyword, line, 0)
	}
}

// statement writes one statement with its clauses. The keywords are those of statementTable.
func (w *printer) statement(s Statement) {
	m := s.Head()
	switch s := s.(type) {
	case *Title:
		w.head(m, s.Keyword, quote(s.Text))
	case *Numbers:
		body := fmt.Sprintf("%s, bit %s at %s", s.Radix.Text, s.First.Text, s.Side.Text)
		w.head(m, "numbers", body+after(", groups of ", s.Group.Text))
	case *WordSize:
		complement := s.Complement.Text
		if complement != "sign-magnitude" {
			complement += " complement"
		}
		w.head(m, "word", width(s.Bits)+", "+complement)
	case *AddressSize:
		digits := ""
		if s.Digits.Text != "" {
			digits = ", " + s.Digits.Text + " digits"
		}
		w.head(m, "address", width(s.Bits)+digits)
	case *Unit:
		w.head(m, "unit", fmt.Sprintf("%s, %s end first", width(s.Bits), s.End.Text))
	case *Packing:
		w.head(m, "orders", fmt.Sprintf("%s in a word, %s first", s.Count.Text, s.First.Text))
	case *Clock:
		w.head(m, "clock", s.Time.String())
	case *Declares:
		w.head(m, "declares", s.Count.Text+" "+s.What.Text+after(" of ", s.Pattern.String()))
	default:
		w.hardware(s)
	}
}

// hardware writes the statements about what is built in, and the names of values.
func (w *printer) hardware(s Statement) {
	m := s.Head()
	switch s := s.(type) {
	case *Registers:
		w.registers(s)
	case *Adder:
		w.head(m, "adder", "plug-in "+s.PlugIn.Text)
	case *Store:
		w.store(s)
	case *Protect:
		of := s.Area.Text
		if of == "" {
			of = span(s.First, s.Last)
		}
		w.head(m, "protect", of+" when "+value(s.When, loosest))
	case *Mirror:
		w.head(m, "mirror", fmt.Sprintf("%s when %s, parity %s", span(s.First, s.Last), value(s.When, loosest), s.Parity.Text))
	case *PlugIn:
		w.head(m, "plug-in", s.Name.Text+" "+quote(s.Text))
	case *Group:
		w.head(m, "group", s.Field.Text+": "+join(s.Entries))
	case *Choice:
		w.head(m, "choice", s.Field.Text+": "+join(s.Entries))
	case *Timer:
		body := fmt.Sprintf("%s: %v, trap %s", s.Name.Text, s.Time, s.Trap.Text)
		if s.Early.Number != "" {
			body += fmt.Sprintf(", early %v trap %s", s.Early, s.EarlyTrap.Text)
		}
		w.head(m, "timer", body+after(", plug-in ", s.PlugIn.Text))
	case *Channel:
		inverted := strings.Join(texts(s.Inverted), " and ")
		cycles := " cycles"
		if s.Steals.Text == "1" {
			cycles = " cycle"
		}
		if s.Steals.Text == "" {
			cycles = ""
		}
		w.head(m, "channel", fmt.Sprintf("%s: code %v, %s%s%s%s%s%s%s", s.Name.Text, s.Code, width(s.Bits),
			after(", at ", s.Address.Text), after(", signs ", s.Signs.Text), after(", inverted ", inverted),
			after(", sets ", strings.Join(texts(s.Requests), " and ")),
			after(", steals ", s.Steals.Text)+cycles, after(", plug-in ", s.PlugIn.Text)))
	case *Lamps:
		w.head(m, "lamps", fmt.Sprintf("%s: bits %v%s, plug-in %s", span(s.First, s.Last), s.Bits, inverted(s.Inverted), s.PlugIn.Text))
	default:
		w.acting(s)
	}
}

// acting writes the statements that have does lines.
func (w *printer) acting(s Statement) {
	m := s.Head()
	switch s := s.(type) {
	case *Mode:
		w.head(m, "mode", s.Name.Text)
		w.does(s.Does)
	case *Trap:
		w.head(m, "trap", s.Name.Text+" "+quote(s.Text))
		w.when(s.When)
		w.does(s.Does)
	case *Interrupt:
		w.head(m, "interrupt", s.Name.Text+" "+quote(s.Text))
		w.count("level", s.Level)
		w.when(s.When)
		if s.After.Text != "" {
			w.clause("after", s.After.Text+" orders of "+s.Enable.Text, 0)
		}
		w.does(s.Does)
	case *Undefined:
		w.head(m, "undefined", s.Pattern.String()+strings.TrimSuffix(" "+quote(s.Text), ` ""`))
		if s.Does != nil && len(s.Does) == 0 && !w.doubted("does", 0) {
			w.clause("does", "", 0)
		}
		w.does(s.Does)
		w.count("cost", s.Cost)
	case *Boot:
		w.head(m, "boot", "")
		w.does(s.Does)
	case *Duplex:
		body := fmt.Sprintf("%s: gap %v%s", s.OnLine.Text, s.Gap, after(", gates ", strings.Join(texts(s.Gates), " and ")))
		if s.Mate.Text != "" {
			body += fmt.Sprintf(", mate %s after %v", s.Mate.Text, s.After)
		}
		w.head(m, "duplex", body)
		w.does(s.Does)
	case *Order:
		w.order(s)
	}
}

// when writes the condition of a trap or an interrupt.
func (w *printer) when(e Expr) {
	if e != nil {
		w.clause("when", value(e, loosest), 0)
	}
}

// count writes a clause that is a number.
func (w *printer) count(keyword string, n Number) {
	if n.Text != "" {
		w.clause(keyword, n.Text, 0)
	}
}

// registers writes register, flip-flop, counter and keys lines.
func (w *printer) registers(s *Registers) {
	body := join(s.Names)
	if s.Bits.Text != "" {
		body += ": " + width(s.Bits)
	}
	if s.Holds.Text != "" {
		body += ", holds " + s.Holds.Text + " order"
	}
	body += after(", at start ", s.AtStart.String()) + inverted(s.Inverted)
	if s.Bits.Text == "" {
		body += after(": plug-in ", s.PlugIn.Text)
	} else {
		body += after(", plug-in ", s.PlugIn.Text)
	}
	w.head(&s.Mark, s.Keyword, body)
}

// store writes a store and its clauses.
func (w *printer) store(s *Store) {
	body := join(s.Areas)
	if s.Bits.Text != "" {
		body += ": " + width(s.Bits)
	}
	w.head(&s.Mark, "store", body)
	if s.Wired {
		w.clause("wired", "", 0)
	}
	if s.Inverted {
		w.clause("inverted", "", 0)
	}
	w.list("parity", texts(s.Parity))
	for i, c := range s.CheckBits {
		w.clause("check-bit", c.String(), i)
	}
	if s.Corrects {
		w.clause("corrects", "once", 0)
	}
	w.list("chips", texts(s.Chips))
}

// order writes an order and its clauses.
func (w *printer) order(s *Order) {
	w.head(&s.Mark, "order", strings.TrimRight(s.Name.Text+" "+join(s.Operands), " "))
	w.patterns(s.Patterns)
	for i, e := range s.Each {
		w.clause("each", e.String(), i)
	}
	w.list("except", texts(s.Except))
	for i, a := range s.As {
		w.clause("operand", a.Field.Text+" as "+value(a.Value, loosest), i)
	}
	w.list("mode", texts(s.Modes))
	for i, e := range s.Must {
		w.clause("must", value(e, loosest), i)
	}
	w.does(s.Does)
	if s.Unknown.Text != "" {
		w.clause("unknown", "", 0)
	}
	w.count("cost", s.Cost)
	for i, c := range s.Checks {
		w.clause("check", c.String(), i)
	}
}

// patterns writes the drawings of an order's words on one line, or each on its own where they are long.
func (w *printer) patterns(list []Pattern) {
	words := texts(list)
	if line := strings.Join(words, " / "); len(line) <= listColumn {
		words = []string{line}
	}
	for _, text := range words {
		if text != "" {
			w.clause("pattern", text, 0)
		}
	}
}

// does writes the lines of a does clause, the first beside the keyword.
func (w *printer) does(lines []Line) {
	if len(lines) == 0 && w.doubted("does", 0) {
		w.clause("does", "", 0)
	}
	for i, text := range lineTexts(lines, 0) {
		keyword := ""
		if i == 0 {
			keyword = "does"
		}
		w.clauseLine(keyword, text, w.doubted("does", i))
	}
}

// lineTexts gives the text of lines, those of blocks set in.
func lineTexts(lines []Line, level int) (list []string) {
	margin := strings.Repeat("  ", min(level, deepest))
	put := func(text string) { list = append(list, margin+text) }
	for _, l := range lines {
		switch l := l.(type) {
		case *Let:
			put("let " + l.Name.Text + " = " + value(l.Value, loosest))
		case *Repeat:
			head := "repeat " + l.Times.Text + " times"
			if l.Cond != nil {
				head += " while " + value(l.Cond, loosest)
			}
			put(head)
			list = append(list, lineTexts(l.Body, level+1)...)
			put("end")
		case *If:
			if l.Flat {
				put(flat(l))
				continue
			}
			put("if " + value(l.Cond, loosest))
			list = append(list, lineTexts(l.Then, level+1)...)
			if l.Else != nil {
				put("else")
				list = append(list, lineTexts(l.Else, level+1)...)
			}
			put("end")
		default:
			put(part(l))
		}
	}
	return list
}

// flat gives an if that stands on one line.
func flat(l *If) string {
	text := "if " + value(l.Cond, loosest) + " then " + part(l.Then[0])
	if l.Else != nil {
		text += " else " + part(l.Else[0])
	}
	return text
}

// part gives transfers and actions that stand on one line.
func part(l Line) string {
	switch l := l.(type) {
	case *Together:
		var parts []string
		for _, p := range l.Parts {
			parts = append(parts, part(p))
		}
		return strings.Join(parts, "; ")
	case *Action:
		switch {
		case l.Arg != nil:
			return l.Verb + " " + value(l.Arg, loosest)
		case l.Name.Text != "":
			return l.Verb + " " + l.Name.Text
		case l.Final:
			return l.Verb + " for good"
		}
		return l.Verb
	case *Transfer:
		return values(l.Targets) + " <- " + values(l.Sources)
	}
	return ""
}
