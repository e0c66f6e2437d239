package watch

import (
	"fmt"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/cpu/panel"
	"coldstart/memory"
)

const ms = cpu.Millisecond

// small is a machine of 18 bits, in octal, with two rows of 16 lamps.
func small() *order.Code {
	var chips []memory.Chip
	for i := range 18 {
		chips = append(chips, memory.Chip{Name: fmt.Sprintf("U%02d", i+1), Column: i})
	}
	return &order.Code{
		Geometry: memory.Geometry{Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 15,
			Areas: []memory.Area{{Name: "ST0", Last: 0o7777, Width: 18, Chips: chips}}},
		Registers: []*order.Register{{Name: "page", Width: 4}},
		Lamps:     []order.Lamps{{First: 0o760, Last: 0o761, Hi: 15, PlugIn: "LD1"}},
	}
}

type line = panel.Line

// read reads a list that must be right.
func read(t testing.TB, src string) *Plan {
	t.Helper()
	plan, err := Read("chase.list", []byte(src), small())
	if err != nil {
		t.Fatalf("%s\n%v", src, err)
	}
	return plan
}

// A show is a program that moves lamps, and the store and lamps that follow it, with what is wrong with each.
type show struct {
	now     cpu.Time
	row     panel.Row
	toStore func(memory.Word) memory.Word // nil: as asked
	toLamps func(memory.Word) memory.Word // nil: as stored
	tell    func(at cpu.Time, l panel.Line)
}

// newShow shows on row 000760 to whom it tells.
func newShow(tell func(at cpu.Time, l panel.Line)) *show {
	row, _ := panel.New(small()).Row(0o760)
	return &show{row: row, tell: tell}
}

// put asks for a word and holds it for a time.
func (s *show) put(w memory.Word, hold cpu.Time) {
	l := panel.Line{Row: s.row, Asked: w, Seen: w}
	if s.toStore != nil {
		l.Seen = s.toStore(w)
	}
	l.Lit = s.row.Lights(l.Seen) & 0o177777
	if s.toLamps != nil {
		l.Lit = s.toLamps(l.Lit)
	}
	s.tell(s.now, l)
	s.now += hold
}

// walk holds one lamp after the other, in the order given, each for the same time.
func (s *show) walk(hold cpu.Time, places ...int) {
	for _, p := range places {
		s.put(1<<p, hold)
	}
}

// laps is the places of some laps, from 0 to 15, left or right.
func laps(n int, right bool) []int {
	var all []int
	for range n {
		for i := range 16 {
			if right {
				i = 15 - i
			}
			all = append(all, i)
		}
	}
	return all
}

// without is the places but for some.
func without(places []int, some ...int) []int {
	var all []int
	for _, p := range places {
		keep := true
		for _, s := range some {
			keep = keep && p != s
		}
		if keep {
			all = append(all, p)
		}
	}
	return all
}

// clear holds a bit at 0.
func clear(bit int) func(memory.Word) memory.Word {
	return func(w memory.Word) memory.Word { return w &^ (1 << bit) }
}

// set1 holds a bit at 1.
func set1(bit int) func(memory.Word) memory.Word {
	return func(w memory.Word) memory.Word { return w | 1<<bit }
}
