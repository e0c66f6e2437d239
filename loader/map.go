package loader

import (
	"fmt"
	"io"
	"math/bits"
	"slices"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// mostLines is how many lines a map may have, so that it stays on one sheet with what is said around it.
const mostLines = 44

// A drawing is a map on its way to paper.
type drawing struct {
	s     *Survey
	runs  canvas
	step  memory.Addr // addresses of a word
	shown []Span      // of each area, the part that holds anything, in whole words
	sign  uint64      // words a sign stands for
	line  int         // signs of a line
	seen  [mapKinds]bool
}

// WriteMap draws the store as plain text for paper: a sign for each so many words, line by line, area by area. Lines on
// which nothing stands are left out. Below it is a key of the signs there are.
func (s *Survey) WriteMap(w io.Writer) error {
	d := &drawing{s: s, runs: s.canvas(), step: memory.Addr(s.Map.Geometry.Step()), line: 64}
	g := &s.Map.Geometry
	if d.labelled() > list.Paper {
		d.line = 32
	}
	for i := range g.Areas {
		d.shown = append(d.shown, d.part(&g.Areas[i]))
	}
	for d.sign = 1; d.lines() > mostLines; d.sign *= 2 {
	}
	var b strings.Builder
	fmt.Fprintln(&b, list.Fold(fmt.Sprintf("A sign stands for %s, a full line for %s words (addresses are %s, counts decimal).",
		count(d.sign, "word"), fmt.Sprint(d.sign*uint64(d.line)), g.Style.Name()), ""))
	for i := range g.Areas {
		d.area(&b, i)
	}
	d.key(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// count writes a number of things.
func count(n uint64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// labelled is how many columns a full line takes.
func (d *drawing) labelled() int {
	g := &d.s.Map.Geometry
	return len(g.Style.Addr(0, g.AddrBits)) + 2 + d.line + d.line/16 - 1
}

// part gives the addresses of an area from the first to the last on which anything stands; First above Last where nothing
// does. A wired area is drawn whole.
func (d *drawing) part(area *memory.Area) Span {
	part := Span{1, 0}
	for _, r := range d.runs {
		if r.kind == mapBare || r.Last < area.First || r.First > area.Last {
			continue
		}
		first, last := max(r.First, area.First), min(r.Last, area.Last)
		if part.First > part.Last {
			part.First = first
		}
		part.Last = last
	}
	return part
}

// lines gives how many lines the map takes.
func (d *drawing) lines() int {
	n := uint64(0)
	for _, s := range d.shown {
		if s.First <= s.Last {
			first, last := d.at(s.First), d.at(s.Last)
			n += last - first + 1
		}
	}
	return int(min(n, mostLines+1))
}

// at gives the number of the line an address is on, lines being numbered from address 0.
func (d *drawing) at(a memory.Addr) uint64 {
	return uint64(a/d.step) >> d.shift()
}

// shift is the power of two of the words on a line.
func (d *drawing) shift() int { return bits.Len64(d.sign*uint64(d.line)) - 1 }

// area draws one area.
func (d *drawing) area(w io.Writer, i int) {
	g := &d.s.Map.Geometry
	area, part := &g.Areas[i], d.shown[i]
	if part.First > part.Last {
		fmt.Fprintf(w, "%s  nothing\n", list.Safe(area.Name))
		return
	}
	fmt.Fprintln(w, list.Safe(area.Name))
	left := false
	for line := d.at(part.First); ; line++ {
		from := memory.Addr(line<<d.shift()) * d.step
		text, some := d.signs(from, area)
		switch {
		case some:
			fmt.Fprintf(w, "%s  %s\n", g.Style.Addr(from, g.AddrBits), text)
			left = false
		case !left:
			fmt.Fprintln(w, "...")
			left = true
		}
		if line == d.at(part.Last) {
			return
		}
	}
}

// signs draws one line of an area from an address on, and says whether anything stands on it.
func (d *drawing) signs(from memory.Addr, area *memory.Area) (text string, some bool) {
	var b strings.Builder
	wide := memory.Addr(d.sign)*d.step - 1
	for i := range d.line {
		if i > 0 && i%16 == 0 {
			b.WriteByte(' ')
		}
		first := from + memory.Addr(uint64(i)*d.sign)*d.step
		last := max(first, first+wide) // the highest address may be the last of all
		if first > area.Last || last < area.First {
			b.WriteByte(' ')
			continue
		}
		kind := d.kind(Span{max(first, area.First), min(last, area.Last)})
		d.seen[kind] = true
		some = some || kind != mapBare
		b.WriteByte(mapKeys[kind].sign)
	}
	return strings.TrimRight(b.String(), " "), some
}

// kind gives the kind shown for some addresses.
func (d *drawing) kind(s Span) mapKind {
	var words [mapKinds]uint64
	at, _ := slices.BinarySearchFunc(d.runs, s.First, func(r mapped, a memory.Addr) int {
		if r.Last < a {
			return -1
		}
		return 1
	})
	for ; at < len(d.runs) && d.runs[at].First <= s.Last; at++ {
		r := d.runs[at]
		words[r.kind] += Span{max(r.First, s.First), min(r.Last, s.Last)}.Words()
	}
	for k := mapKinds - 1; k >= mapTwice; k-- {
		if words[k] > 0 {
			return k
		}
	}
	best := mapKind(0)
	for k := range mapTwice {
		if words[k] > words[best] {
			best = k
		}
	}
	return best
}

// key explains the signs there are.
func (d *drawing) key(w io.Writer) {
	var all []string
	for k, seen := range d.seen {
		if seen {
			all = append(all, fmt.Sprintf("%c %s", mapKeys[k].sign, mapKeys[k].name))
		}
	}
	fmt.Fprintln(w, list.Fold("Key: "+strings.Join(all, "; ")+".", "     "))
	fmt.Fprintln(w, list.Fold("Of words of several kinds the most frequent is shown, but 2, X and ? wherever there is one.", ""))
}
