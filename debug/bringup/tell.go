package bringup

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/debug/trail"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A teller puts a run into words, in the machine's own numbers.
type teller struct{ *run }

// addr writes an address.
func (t teller) addr(a memory.Addr) string {
	g := &t.office.Code.Geometry
	return g.Style.Addr(a, g.AddrBits)
}

// word writes a word of the width that stands at an address.
func (t teller) word(a memory.Addr, w memory.Word) string {
	g := &t.office.Code.Geometry
	width := g.Width
	if area := g.Area(a); area != nil {
		width = area.Width
	}
	return g.Style.Word(w, width)
}

// origin names where a word came from, "" where nobody knows.
func (t teller) origin(o memory.Origin) string {
	switch o.Kind {
	case memory.Tape:
		return t.office.block(o)
	case memory.Wired:
		return fmt.Sprintf("wired store, %s line %d", list.Safe(o.File), o.Block)
	case memory.Typed:
		return fmt.Sprintf("%s line %d", list.Safe(o.File), o.Block)
	}
	return ""
}

// block names a word of a tape, in the numbers of its layout.
func (o *Office) block(from memory.Origin) string {
	block, word := fmt.Sprint(from.Block), "of its head or sum"
	for _, t := range o.Tapes {
		if bs := t.Recording.Blocks; len(bs) > 0 && bs[0].File == from.File {
			block = t.Recording.Layout.BlockName(from.Block)
		}
	}
	if from.Word >= 0 {
		word = o.Code.Geometry.Style.Number(uint64(from.Word))
	}
	return fmt.Sprintf("tape %s block %s word %s", list.Safe(from.File), block, word)
}

// writer says who wrote a word last.
func (t teller) writer(a memory.Addr, w trail.Write) string {
	from := t.origin(w.Origin)
	if w.Number == 0 {
		if from == "" {
			return "nothing wrote it"
		}
		return "stood there at power-up: " + from
	}
	said := fmt.Sprintf("last written %s by the order at %s, %v", t.word(a, w.Word), t.addr(w.Place), w.At)
	if from != "" {
		said += ": " + from
	}
	return said
}

// chips names what holds the bits in which two words of an address differ.
func (t teller) chips(a memory.Addr, x, y memory.Word) string {
	g := &t.office.Code.Geometry
	area := g.Area(a)
	if area == nil {
		return t.addr(a)
	}
	var all []string
	for i := range area.Width {
		if (x^y)>>i&1 == 0 {
			continue
		}
		name := g.ColumnName(area, i)
		if c, ok := g.Chip(area, i); ok {
			name = fmt.Sprintf("%s (%s)", c.Name, name)
		}
		all = append(all, name)
	}
	return fmt.Sprintf("%s %s @%s", area.Name, strings.Join(all, " and "), t.addr(a))
}

// order recites an order of the trail.
func (t teller) order(e trail.Entry) string {
	words := e.Words[:min(e.Length, len(e.Words))]
	if len(words) == 0 {
		return "(no word could be fetched)"
	}
	text, _ := t.office.Code.Recite(e.Place, words)
	if e.Trap != nil && e.Trap.Kind.Name == "undefined" {
		text += "   (no order reads this word)"
	}
	return text
}

// last lists the last orders.
func (t teller) last() []string {
	var all []string
	for _, e := range t.record.Last(lastOrders) {
		word := ""
		if e.Length > 0 {
			word = t.word(e.Place, e.Words[0])
		}
		line := fmt.Sprintf("%-14v %s  %s  %s", e.At, t.addr(e.Place), word, t.order(e))
		if e.Trap != nil {
			line += "   trap " + e.Trap.Kind.Name
		}
		all = append(all, line)
	}
	return all
}

// unwritten lists what was read before anything had written it.
func (t teller) unwritten() []string {
	var all []string
	for _, u := range t.record.Unknown() {
		what := "store " + t.addr(u.Addr)
		if u.Register != nil {
			what = "register " + u.Register.Name
		}
		all = append(all, fmt.Sprintf("%s, first by the order at %s (order %d)", what, t.addr(u.Place), u.Number))
	}
	return all
}

// misread lists words that came back otherwise than they were written.
func (t teller) misread() []string {
	var all []string
	for _, m := range t.record.Misread() {
		all = append(all, fmt.Sprintf("%s read %s by the order at %s, %v; %s; differs in %s", t.addr(m.Addr),
			t.word(m.Addr, m.Read), t.addr(m.Place), m.At, t.writer(m.Addr, m.Written), t.chips(m.Addr, m.Written.Word, m.Read)))
	}
	return all
}

// tapes says what is wrong on the tapes, and how far each drive got.
func (t teller) tapes() []string {
	var all []string
	for _, tp := range t.office.Tapes {
		for _, blocks := range [][]*tape.Block{tp.Recording.Blocks, tp.Recording.Missing} {
			for _, b := range blocks {
				if !b.Good() {
					all = append(all, fmt.Sprintf("%s block %s: %s", tp.Channel.Name, b.Name, list.Safe(b.Reason())))
				}
			}
		}
	}
	return all
}

// drives says how far each drive got.
func (t teller) drives() []string {
	var all []string
	for _, tp := range t.office.Tapes {
		d, ok := t.half.Rack.Device(tp.Channel.Code).(*channel.Drive)
		if !ok {
			continue
		}
		p := d.Position(t.half.Machine.Now())
		where := "at the end of the tape"
		if p.Block < len(tp.Recording.Blocks) {
			where = fmt.Sprintf("at block %s, %d words of it passed", tp.Recording.Blocks[p.Block].Name, p.Word)
		}
		line := fmt.Sprintf("drive %s stands %s", tp.Channel.Name, where)
		if p.Lost > 0 {
			line += fmt.Sprintf("; %d words came before the one before was taken, and were lost", p.Lost)
		}
		all = append(all, line)
	}
	return all
}

// registers writes the registers that a trap set, as they are now.
func (t teller) registers(lines []*order.Stmt) string {
	var all []string
	for _, s := range lines {
		for _, e := range s.Targets {
			if e.Op == "register" && e.Index != t.office.Code.Counter.Number {
				r := t.office.Code.Registers[e.Index]
				all = append(all, r.Name+" = "+t.value(r))
			}
		}
	}
	return strings.Join(all, ", ")
}

// value writes what a register holds; one as wide as an address is taken to hold one.
func (t teller) value(r *order.Register) string {
	w := t.half.Machine.Value(r)
	if r.Width == t.office.Code.Geometry.AddrBits {
		return t.addr(memory.Addr(w))
	}
	return t.office.Code.Geometry.Style.Word(w, r.Width)
}

// loop words the loop the machine was turning in; "" where there is none.
func (t teller) loop() string {
	l, ok := t.record.Loop()
	if !ok {
		return ""
	}
	said := fmt.Sprintf("waiting: loop %s not left since %v, %d orders", t.span(l.Places), l.Since, l.Orders)
	if asked := t.asked(l); asked != "" {
		said += ", asking " + asked
	}
	return said
}

// span writes the places of a loop: runs of addresses that lie no further than a word apart.
func (t teller) span(places []memory.Addr) string {
	var all []string
	for i := 0; i < len(places); {
		j := i
		for j+1 < len(places) && places[j+1]-places[j] <= 2 {
			j++
		}
		all = append(all, t.addr(places[i])+"-"+t.addr(places[j]))
		i = j + 1
	}
	return strings.Join(all, ", ")
}

// asked writes what a loop asks of channels, each question as its order is written.
func (t teller) asked(l trail.Loop) string {
	var all []string
	for _, e := range l.Asks {
		said := fmt.Sprintf("%q", t.order(e))
		if e.Exchange.Action.Verb == cpu.Sign {
			said += fmt.Sprintf(" (the sign is %d)", e.Exchange.Reply.Word)
		}
		all = append(all, said)
	}
	return strings.Join(all, " and ")
}
