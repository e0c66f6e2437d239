package syntax

import (
	"bytes"
	"fmt"
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
		w := &printer{}
		w.statement(s)
		if o, ok := s.(*Order); ok && o.Does == nil && i+1 < len(f.Statements) {
			if _, ok := f.Statements[i+1].(*Mode); ok {
				w.clause("does", "") // else the mode would be taken for the order's
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
type printer struct{ bytes.Buffer }

// head writes a head line with the marks it carries.
func (w *printer) head(m *Mark, keyword, body string) {
	text := fmt.Sprintf("%-*s%s", bodyColumn, keyword+" ", body)
	if m.Page != "" {
		text = fmt.Sprintf("%-*s page %s", pageColumn-1, strings.TrimRight(text, " "), m.Page)
	}
	if m.Doubt {
		text += " ?"
	}
	w.WriteString(strings.TrimRight(text, " ") + "\n")
}

// clause writes a clause line.
func (w *printer) clause(keyword, body string) {
	text := fmt.Sprintf("  %-*s%s", bodyColumn-2, keyword, body)
	w.WriteString(strings.TrimRight(text, " ") + "\n")
}

// list writes the entries of a clause that may stand several times, as many on a line as fit.
func (w *printer) list(keyword string, entries []string) {
	line := ""
	for _, e := range entries {
		switch {
		case line == "":
			line = e
		case len(line)+len(e) > listColumn:
			w.clause(keyword, line)
			line = e
		default:
			line += ", " + e
		}
	}
	if line != "" {
		w.clause(keyword, line)
	}
}

// statement writes one statement with its clauses. The keywords are those of statementTable.
func (w *printer) statement(s Statement) {
	m := s.Head()
	switch s := s.(type) {
	case *Title:
		w.head(m, s.Keyword, quote(s.Text))
	case *Numbers:
		w.head(m, "numbers", fmt.Sprintf("%s, bit %s at %s", s.Radix.Text, s.First.Text, s.Side.Text))
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
	case *Clock:
		w.head(m, "clock", s.Time.String())
	case *Declares:
		w.head(m, "declares", s.Count.Text+" "+s.What.Text)
	case *Registers:
		w.registers(s)
	case *Store:
		w.store(s)
	case *PlugIn:
		w.head(m, "plug-in", s.Name.Text+" "+quote(s.Text))
	case *Group:
		w.head(m, "group", s.Field.Text+": "+join(s.Entries))
	case *Choice:
		w.head(m, "choice", s.Field.Text+": "+join(s.Entries))
	case *Timer:
		w.head(m, "timer", fmt.Sprintf("%s: %v, trap %s", s.Name.Text, s.Time, s.Trap.Text))
	case *Channel:
		w.head(m, "channel", fmt.Sprintf("%s: code %v, %s", s.Name.Text, s.Code, width(s.Bits)))
	case *Lamps:
		w.head(m, "lamps", fmt.Sprintf("%s: bits %v, plug-in %s", span(s.First, s.Last), s.Bits, s.PlugIn.Text))
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
		if s.When != nil {
			w.clause("when", value(s.When, loosest))
		}
		w.does(s.Does)
	case *Boot:
		w.head(m, "boot", "")
		w.does(s.Does)
	case *Order:
		w.order(s)
	}
}

// registers writes register, flip-flop and counter lines.
func (w *printer) registers(s *Registers) {
	body := join(s.Names)
	if s.Bits.Text != "" {
		body += ": " + width(s.Bits)
	}
	if s.Holds.Text != "" {
		body += ", holds " + s.Holds.Text + " order"
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
		w.clause("wired", "")
	}
	w.list("parity", texts(s.Parity))
	w.list("chips", texts(s.Chips))
}

// order writes an order and its clauses.
func (w *printer) order(s *Order) {
	w.head(&s.Mark, "order", strings.TrimRight(s.Name.Text+" "+join(s.Operands), " "))
	if s.Patterns != nil {
		w.clause("pattern", strings.Join(texts(s.Patterns), " / "))
	}
	for _, a := range s.As {
		w.clause("operand", a.Field.Text+" as "+value(a.Value, loosest))
	}
	w.list("mode", texts(s.Modes))
	for _, e := range s.Must {
		w.clause("must", value(e, loosest))
	}
	w.does(s.Does)
	if s.Cost.Text != "" {
		w.clause("cost", s.Cost.Text)
	}
	for _, c := range s.Checks {
		w.clause("check", c.String())
	}
}

// does writes the lines of a does clause, the first beside the keyword.
func (w *printer) does(lines []Line) {
	for i, text := range lineTexts(lines, 0) {
		keyword := ""
		if i == 0 {
			keyword = "does"
		}
		w.clause(keyword, text)
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
		}
		return l.Verb
	case *Transfer:
		return values(l.Targets) + " <- " + values(l.Sources)
	}
	return ""
}
