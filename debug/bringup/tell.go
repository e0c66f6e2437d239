package bringup

import (
	"fmt"
	"slices"
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

// time writes a time.
func (t teller) time(at cpu.Time) string { return t.office.Time(at) }

// Time writes a time of the office's machine exactly; a machine file without a clock counts orders.
func (o *Office) Time(at cpu.Time) string {
	if o.Code.Cycle == 0 {
		return fmt.Sprintf("tick %d", at)
	}
	return at.String()
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
func (t teller) origin(o memory.Origin) string { return t.office.Source(o) }

// Source names where a word came from, with who speaks for it where a lineage tells; "" where nobody knows.
func (o *Office) Source(from memory.Origin) string {
	switch from.Kind {
	case memory.Tape:
		if witness := o.Witness(from); witness != "" {
			return o.block(from) + ", " + witness
		}
		return o.block(from)
	case memory.Wired:
		return fmt.Sprintf("wired store, %s line %d", list.Safe(from.File), from.Block)
	case memory.Typed:
		return fmt.Sprintf("%s line %d", list.Safe(from.File), from.Block)
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
	said := fmt.Sprintf("last written %s by the order at %s, %s", t.word(a, w.Word), t.addr(w.Place), t.time(w.At))
	if w.Stolen {
		said = fmt.Sprintf("put there as %s by the device at %s itself, %s", t.word(a, w.Word), t.channel(w.Channel), t.time(w.At))
	}
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
		if (x^y)>>i&1 == 1 {
			all = append(all, t.column(area, i))
		}
	}
	return fmt.Sprintf("%s %s @%s", area.Name, strings.Join(all, " and "), t.addr(a))
}

// column names a column of an area, by its chip where one is named.
func (t teller) column(area *memory.Area, i int) string {
	g := &t.office.Code.Geometry
	name := g.ColumnName(area, i)
	if area.Inverted { // whoever measures there finds the other value
		name += ", held true-low"
	}
	if c, ok := g.Chip(area, i); ok {
		return fmt.Sprintf("%s (%s)", c.Name, name)
	}
	return name
}

// order recites an order of the trail; of words that the trail does not keep, those that stand there now are taken.
func (t teller) order(e trail.Entry) string {
	words := slices.Clone(e.Words[:min(e.Length, len(e.Words))])
	for i := len(words); i < e.Length; i++ {
		words = append(words, t.half.Seen(e.Place+memory.Addr(i)))
	}
	if len(words) == 0 {
		return "(no word could be fetched)"
	}
	text, _ := t.office.Code.Recite(e.Place, words)
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
		line := fmt.Sprintf("%-12s  %s  %s  %s", t.time(e.At), t.addr(e.Place), word, t.order(e))
		if e.Trap != nil {
			line += "   trap " + e.Trap.Kind.Name
		}
		all = append(all, line)
	}
	return all
}

// unwritten lists what was read before anything had written it; words one after the other that one order read first are
// one entry, as where a whole block of the tape is lost and a loop walks over its place. A block that is missing is named
// where its place was read; lost says that there was such an entry, and bare that there was another.
func (t teller) unwritten() (all []string, lost, bare bool) {
	gaps := t.gaps()
	unknown, step := t.record.Unknown(), memory.Addr(t.office.Code.Geometry.Step())
	for len(unknown) > 0 {
		u, n := unknown[0], 1
		for u.Register == nil && n < len(unknown) && unknown[n].Register == nil && unknown[n].Place == u.Place &&
			unknown[n].Addr == unknown[n-1].Addr+step {
			n++
		}
		what := "store " + t.addr(u.Addr)
		switch {
		case u.Register != nil:
			what = "register " + u.Register.Name
		case n > 1:
			what += "-" + t.addr(unknown[n-1].Addr)
		}
		said, within := fmt.Sprintf("%s, first by the order at %s (order %d)", what, t.addr(u.Place), u.Number), 0
		for _, g := range gaps {
			words := 0
			for _, v := range unknown[:n] {
				if v.Register == nil && g.first <= v.Addr && v.Addr <= g.last {
					words++
				}
			}
			if words > 0 {
				said, within = said+"; "+g.said, within+words
			}
		}
		all, lost, bare = append(all, said), lost || within > 0, bare || within < n
		unknown = unknown[n:]
	}
	return all, lost, bare
}

// misread lists words that came back otherwise than they were written.
func (t teller) misread() []string {
	var all []string
	for _, m := range t.record.Misread() {
		all = append(all, fmt.Sprintf("%s: read %s by the order at %s, %s; %s", t.chips(m.Addr, m.Written.Word, m.Read),
			t.word(m.Addr, m.Read), t.addr(m.Place), t.time(m.At), t.writer(m.Addr, m.Written)))
	}
	return all
}

// tapes says what is wrong on the tapes, and what is worth knowing of them though nothing is wrong by it.
func (t teller) tapes() (wrong, remarks []string) {
	for _, tp := range t.office.Tapes {
		for _, blocks := range [][]*tape.Block{tp.Recording.Blocks, tp.Recording.Missing} {
			for _, b := range blocks {
				if !b.Good() {
					wrong = append(wrong, fmt.Sprintf("%s %s: %s%s", tp.Channel.Name, b.Where(), list.Safe(b.Reason()), t.oneBit(tp.Recording.Layout, b)))
				}
			}
		}
		if remark := tp.Recording.Remark(); remark != "" {
			remarks = append(remarks, fmt.Sprintf("%s: %s", tp.Channel.Name, remark))
		}
	}
	return wrong, remarks
}

// oneBit says what a single wrong bit would have to be to explain the sums of a block; "" where none would.
func (t teller) oneBit(l *tape.Layout, b *tape.Block) string {
	bit, words := b.OneBit()
	if words == 0 {
		return ""
	}
	name := t.office.Code.Geometry.Style.Bit(bit, l.StoreWidth())
	return fmt.Sprintf("; a single wrong bit would be bit %s of one of %d words, or of the sum", name, words)
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
			where = fmt.Sprintf("at %s, %d words of it passed", tp.Recording.Blocks[p.Block].Where(), p.Word)
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
				all = append(all, r.Name+" = "+t.office.Code.Show(r, t.half.Machine.Value(r)))
			}
		}
	}
	return strings.Join(all, ", ")
}

// loop words the loop the machine was turning in; "" where there is none.
func (t teller) loop() string {
	l, ok := t.record.Loop()
	if !ok {
		return ""
	}
	said := fmt.Sprintf("loop %s, not left since %s, %d orders", t.span(l.Places), t.time(l.Since), l.Orders)
	if asked := t.asked(l); asked != "" {
		return "waiting: " + said + "; it asks " + asked
	}
	return said
}

// near is how far apart two places of a loop may lie to be written as one run: what lies between is mostly the other
// branch of a skip.
const near = 8

// span writes the places of a loop as runs of addresses.
func (t teller) span(places []memory.Addr) string {
	var all []string
	for i := 0; i < len(places); {
		j := i
		for j+1 < len(places) && places[j+1]-places[j] < near {
			j++
		}
		run := t.addr(places[i])
		if j > i {
			run += "-" + t.addr(places[j])
		}
		all = append(all, run)
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
