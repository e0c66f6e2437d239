package proof

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// checks carries out the worked examples kept in the file.
func (p *prover) checks() {
	bench := newBench(p.code)
	for _, o := range p.code.Orders {
		var words []memory.Word // those of the example above that says how they read
		if len(o.Fields) == 0 {
			words = make([]memory.Word, o.Length())
			for i, pattern := range o.Patterns {
				words[i] = pattern.Value
			}
		}
		for _, c := range o.Checks {
			if c.Reads != "" {
				words = c.Words
				p.reads(o, c)
				continue
			}
			p.example(bench, o, c, words)
		}
	}
}

// reads holds what words should read as against what they read as where they stand first in store.
func (p *prover) reads(o *order.Order, c order.Check) {
	got, _ := p.code.Recite(0, c.Words)
	found := p.code.Find(c.Words[0])
	switch {
	case found == nil:
		p.find(Failed, c.Line, fmt.Sprintf("no order reads this word, but it should read %q", c.Reads))
	case strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(c.Reads), " "):
		p.find(Failed, c.Line, fmt.Sprintf("it reads %q, but should read %q", got, c.Reads))
	default:
		p.report.Checks++
	}
}

// fills are what registers and store hold that an example does not set. It must come out with both.
var fills = []uint64{1, 2}

// mostStore is how many words of store examples are tried in. Where a machine has more, each area is cut to its first
// words: the store of a slip in a range should not cost what the range would.
const (
	mostStore = 1 << 20
	firstPart = 1 << 16
)

// A bench is what examples are tried in: a store and a machine for each fill, to be put back into the state they were made in.
type bench struct {
	geometry memory.Geometry
	stores   []*memory.Store
	unused   []*memory.Snapshot
	machines []*cpu.Machine
	off      []cpu.Snapshot
}

// newBench makes the stores and machines.
func newBench(code *order.Code) *bench {
	b := &bench{geometry: code.Geometry}
	words := memory.Addr(0)
	for _, area := range b.geometry.Areas {
		words += (area.Last - area.First) / memory.Addr(code.Step())
	}
	if words > mostStore {
		b.geometry.Areas = slices.Clone(b.geometry.Areas)
		for i := range b.geometry.Areas {
			area := &b.geometry.Areas[i]
			area.Last = min(area.Last, area.First+firstPart-1) // a multiple of the units of any word
		}
	}
	for _, fill := range fills {
		store := memory.NewStore(b.geometry, fill)
		b.stores = append(b.stores, store)
		b.unused = append(b.unused, store.Snapshot())
		m := cpu.New(code, store, silent{}, fill)
		b.machines = append(b.machines, m)
		b.off = append(b.off, m.Snapshot())
	}
	return b
}

// example carries out an order on a machine set up as the example says, and looks at what it should have come to.
func (p *prover) example(b *bench, o *order.Order, c order.Check, words []memory.Word) {
	if words == nil {
		p.find(NotTried, c.Line, fmt.Sprintf("which word of order %s is meant? Put an example above it that says how the word reads", o.Name))
		return
	}
	for i := range fills {
		if err := b.stores[i].Restore(b.unused[i]); err != nil {
			p.find(NotTried, c.Line, err.Error())
			return
		}
		b.machines[i].Restore(b.off[i])
		s := &stand{code: p.code, geometry: b.geometry, store: b.stores[i], machine: b.machines[i]}
		if why := s.set(c, words); why != "" {
			p.find(NotTried, c.Line, why)
			return
		}
		s.machine.Step()
		if wrong := s.compare(c); wrong != "" {
			p.find(Failed, c.Line, fmt.Sprintf("order %s: %s", o.Name, wrong))
			return
		}
	}
	p.report.Checks++
}

// A stand is a machine set up to do one order.
type stand struct {
	code     *order.Code
	geometry memory.Geometry // of the store
	store    *memory.Store
	machine  *cpu.Machine
}

// silent is the channels of a stand: nobody answers.
type silent struct{}

// Do gives no answer.
func (silent) Do(cpu.Action, cpu.Time) cpu.Reply { return cpu.Reply{None: true} }

// Next is never: nothing changes by itself.
func (silent) Next(cpu.Time) cpu.Time { return cpu.Never }

// set puts the words, registers and store of an example in place; where that cannot be done, it says why.
func (s *stand) set(c order.Check, words []memory.Word) string {
	image := memory.NewImage(s.geometry)
	for _, b := range c.Before {
		if b.Register == nil {
			if err := image.Set(b.Addr, b.Value, memory.Origin{}); err != nil {
				return err.Error()
			}
		}
	}
	at, ok := s.place(c, len(words))
	if !ok {
		return "there is no room in store for the order beside what the example sets"
	}
	for i, part := range words {
		place := at + memory.Addr(i*s.code.Step())
		a := s.code.WordOf(place)
		w, _, _ := image.At(a)
		if err := image.Set(a, s.code.Put(place, w, part), memory.Origin{}); err != nil {
			return err.Error()
		}
	}
	if err := s.store.Load(image); err != nil {
		return err.Error()
	}
	s.machine.Set(s.code.Counter, memory.Word(at))
	for _, b := range c.Before {
		if b.Register != nil && b.Register != s.code.Counter {
			s.machine.Set(b.Register, b.Value)
		}
	}
	return ""
}

// place finds where the order stands: where the example sets the counter to, else the first place whose words it leaves
// alone, as high in the first area as that is from zero, since low addresses are those that examples use.
func (s *stand) place(c order.Check, words int) (memory.Addr, bool) {
	used := map[memory.Addr]bool{}
	for _, set := range [][]order.Setting{c.Before, c.After} {
		for _, b := range set {
			if b.Register == nil {
				used[b.Addr] = true
			}
		}
	}
	for _, b := range c.Before {
		if b.Register == s.code.Counter {
			return memory.Addr(b.Value), true
		}
	}
	step := s.code.Step()
	for _, area := range s.geometry.Areas {
		last := s.code.PlaceOf(area.Last)
		for at := s.code.PlaceOf(area.First); at+memory.Addr(words*step) <= last+1; at += memory.Addr(step) {
			if s.clear(at, words, used) {
				return at, true
			}
		}
	}
	return 0, false
}

// clear tells whether the words from a place on are none that the example uses.
func (s *stand) clear(at memory.Addr, words int, used map[memory.Addr]bool) bool {
	for i := range words {
		if used[s.code.WordOf(at+memory.Addr(i*s.code.Step()))] {
			return false
		}
	}
	return true
}

// compare says what did not come out; nothing where all did.
func (s *stand) compare(c order.Check) string {
	var wrong []string
	g := &s.code.Geometry
	for _, a := range c.After {
		name, width := "store["+g.Style.Addr(a.Addr, g.AddrBits)+"]", g.Width
		var got memory.Word
		if a.Register != nil {
			name, width, got = a.Register.Name, a.Register.Width, s.machine.Value(a.Register)
		} else {
			got, _, _ = s.store.Peek(a.Addr)
		}
		if got != a.Value {
			wrong = append(wrong, fmt.Sprintf("%s is %s, not %s", name, g.Style.Word(got, width), g.Style.Word(a.Value, width)))
		}
	}
	if t := s.machine.LastTrap(); t != nil && wrong != nil {
		wrong = append(wrong, "trap "+t.Kind.Name+" came")
	}
	return strings.Join(wrong, "; ")
}
