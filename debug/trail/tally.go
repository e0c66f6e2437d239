package trail

import (
	"cmp"
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Tally is what a run used of its machine file.
type Tally struct {
	Orders    []int64      // times done, by Order.Number
	Undefined int64        // times a word was taken as an order that none of the handbook reads
	Traps     []int64      // times sprung, by Trap.Number
	Registers []bool       // read or set, by Register.Number
	Channels  map[int]bool // codes that were asked for something
}

// A Branch is an order whose way on depends on a condition, where it stands, and how often it went which way.
type Branch struct {
	Place  memory.Addr
	Onward int64 // to the next order
	Away   int64 // anywhere else
}

// Tally gives what the run used of its machine file; it is not to be changed.
func (r *Record) Tally() *Tally { return &r.tally }

// Branches lists the branches that were run, by their places.
func (r *Record) Branches() []Branch {
	all := make([]Branch, 0, len(r.branches))
	for _, b := range r.branches {
		all = append(all, *b)
	}
	slices.SortFunc(all, func(a, b Branch) int { return cmp.Compare(a.Place, b.Place) })
	return all
}

// newTally makes room for counts.
func (r *Record) newTally() {
	r.tally = Tally{
		Orders: make([]int64, len(r.code.Orders)), Traps: make([]int64, len(r.code.Traps)),
		Registers: make([]bool, len(r.code.Registers)), Channels: map[int]bool{},
	}
	r.branches = map[memory.Addr]*Branch{}
	for _, o := range r.code.Orders {
		r.forks = append(r.forks, r.code.Branches(o))
	}
}

// count adds one step to the tally. It is called for each of millions, so it does no more than count.
func (r *Record) count(s *cpu.Step) {
	t := &r.tally
	switch {
	case s.Order == nil:
	case s.Order.Undefined:
		t.Undefined++
	default:
		t.Orders[s.Order.Number]++
		if r.forks[s.Order.Number] && s.Trap == nil {
			r.fork(s)
		}
	}
	if s.Trap != nil {
		if n := s.Trap.Kind.Number; n >= 0 { // one that the file does not name has none
			t.Traps[n]++
		}
		if s.Order == nil && s.Trap.Kind.Name == "undefined" {
			t.Undefined++
		}
	}
	for i := range s.Uses {
		t.Registers[s.Uses[i].Register.Number] = true
	}
	for i := range s.Changes {
		t.Registers[s.Changes[i].Register.Number] = true
	}
	for i := range s.Exchanges {
		if code := s.Exchanges[i].Action.Code; !t.Channels[code] {
			t.Channels[code] = true
		}
	}
}

// fork notes which way a branch went.
func (r *Record) fork(s *cpu.Step) {
	b := r.recent[s.Place%near]
	if b == nil || b.Place != s.Place {
		if b = r.branches[s.Place]; b == nil {
			b = &Branch{Place: s.Place}
			r.branches[s.Place] = b
		}
		r.recent[s.Place%near] = b
	}
	for i := range s.Changes {
		if c := &s.Changes[i]; c.Register == r.code.Counter && memory.Addr(c.New) != r.code.After(s.Place, s.Order) {
			b.Away++
			return
		}
	}
	b.Onward++
}

// Sources tells what the run did with every word of a tape, by where the word came from: Written where it stood in store
// at some time, Run where the machine took it for an order, also if no order reads it, and Read where it was data. A copy
// made by the program counts for the word copied. What stood in store before the run is told of where the run came near it.
func (r *Record) Sources() map[memory.Origin]Use {
	all := make(map[memory.Origin]Use, len(r.past))
	for from, use := range r.past {
		all[r.sources.origins[from]] = use
	}
	for _, p := range r.pages {
		for i := range p {
			if s := &p[i]; r.sources.taped(s.write.from) {
				all[r.sources.origins[s.write.from]] |= s.held | Written
			}
		}
	}
	return all
}

// leave keeps what was done with a word of a tape that is about to be written over.
func (r *Record) leave(p *spot) {
	if r.sources.taped(p.write.from) {
		r.past[p.write.from] |= p.held | Written
	}
	p.held = 0
}
