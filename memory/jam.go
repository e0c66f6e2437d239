package memory

import (
	"errors"
	"fmt"
	"iter"
	"slices"
)

// A jammed is the jams on one word, and how often they mattered.
type jammed struct {
	ones, zeros cells   // the columns that always show one, zero, whatever is stored; none is in both
	hooks       []*hook // the others that the word is concerned by, in the order of compareJams
	counts
}

// A jamPage is the jams on the words of one page, nil where there is none.
type jamPage [pageWords]*jammed

// A counts is how many reads a jammed word got and how many of these showed a cell otherwise than stored.
type counts struct{ reads, altered int64 }

// through shows a word through the jams.
func (j *jammed) through(c cells) cells {
	return cells{c.data&^j.zeros.data | j.ones.data, c.columns&^j.zeros.columns | j.ones.columns}
}

// Jam makes one cell stick at value, 0 or 1, the cell's own even where the area is inverted: a data bit or, for column
// Width+i, parity column i of the word at a. It is Put of that Jam.
func (s *Store) Jam(a Addr, column, value int) error {
	return s.Put(Jam{Addr: a, Column: column, Value: value})
}

// Put puts a jam in. What is stored is not touched, but where the jam is of cells that hold others. The error, one sentence,
// says that there is no such place, or that another jam is on it already. The same jam again changes nothing.
func (s *Store) Put(j Jam) error {
	if err := s.check(j); err != nil {
		return err
	}
	j = s.settled(j)
	if other, in := s.jamOn(j); in {
		if other == j {
			return nil
		}
		return s.already(other)
	}
	if j.Fault == Stuck && j.OneIn < 2 {
		s.setStuck(j, true)
		s.rested(j)
		return nil
	}
	h := newHook(j)
	if state, rested := s.wake(j); rested {
		h.hookState = state
	}
	if s.clock != nil {
		h.touched = s.clock()
	}
	s.hooks[j.place()] = h
	s.changeAll(h, func() {
		s.attach(h, true)
		s.hold(h)
	})
	return nil
}

// jamOn is the jam that is on the place of j, if there is one.
func (s *Store) jamOn(j Jam) (other Jam, in bool) {
	if h := s.hooks[j.place()]; h != nil {
		return h.Jam, true
	}
	if j.Fault == Stuck {
		p := s.layout.find(j.Addr)
		if w := s.jamAt(p.slot(j.Addr)); w != nil {
			bit := cellOf(p.Width, j.Column)
			other = Jam{Addr: j.Addr, Column: j.Column, Value: p.Cell(0)}
			if w.ones.meets(bit) {
				other.Value = p.Cell(1)
			}
			return other, w.ones.meets(bit) || w.zeros.meets(bit)
		}
	}
	return Jam{}, false
}

// already says that a place has a jam.
func (s *Store) already(other Jam) error {
	g := &s.layout.geometry
	switch other.Fault {
	case Stuck:
		return fmt.Errorf("%s at %s is jammed at %d already: take that jam out first",
			g.ColumnName(s.layout.find(other.Addr).Area, other.Column), g.addr(other.Addr), other.Value)
	case ReadLine, WriteLine, AddressLine, AddressTied:
		return fmt.Errorf("this line is jammed at %d already: take that jam out first", other.Value)
	}
	return fmt.Errorf("%s has a jam of this kind already: take that jam out first", g.addr(other.Addr))
}

// setStuck puts in, or takes out, a cell that is always stuck.
func (s *Store) setStuck(stuck Jam, in bool) {
	p := s.layout.find(stuck.Addr)
	slot, bit := p.slot(stuck.Addr), cellOf(p.Width, stuck.Column)
	j := s.jamAt(slot)
	if j == nil {
		j = new(jammed)
	}
	before := s.view(p, stuck.Addr)
	j.ones, j.zeros = j.ones.without(bit), j.zeros.without(bit)
	switch {
	case in && p.Cell(stuck.Value) == 1:
		j.ones = j.ones.with(bit)
	case in:
		j.zeros = j.zeros.with(bit)
	}
	s.setJam(slot, j)
	s.tell(p, stuck.Addr, before)
}

// Unjam mends one stuck cell; with the last jam of a word its counts go too. The error, one sentence, says that there is no
// such cell or no jam on it.
func (s *Store) Unjam(a Addr, column int) error {
	p, err := s.cell(a, column)
	if err != nil {
		return err
	}
	stuck, in := s.jamOn(Jam{Addr: a, Column: column})
	if !in {
		return fmt.Errorf("%s at %s has no jam to take out", s.layout.geometry.ColumnName(p.Area, column), s.layout.geometry.addr(a))
	}
	return s.Lift(stuck)
}

// Lift takes a jam out. What it did to cells stays until they are written. The error, one sentence, says that there is no
// such place, or that this jam is not in.
func (s *Store) Lift(j Jam) error {
	if err := s.check(j); err != nil {
		return err
	}
	j = s.settled(j)
	if other, in := s.jamOn(j); !in || other != j {
		return errors.New("this jam is not in: take out one that is")
	}
	h := s.hooks[j.place()]
	if h == nil {
		s.setStuck(j, false)
		return nil
	}
	s.changeAll(h, func() {
		if h.Fault == Fades {
			s.fade(h) // what has faded by now has faded
		}
		s.attach(h, false)
		delete(s.hooks, j.place())
	})
	return nil
}

// changeAll does what may change the look of many words, and tells of those marked.
func (s *Store) changeAll(h *hook, change func()) {
	var marked []watched
	if s.onChange != nil {
		for n := range s.kept {
			marked = s.watchedIn(n, marked)
		}
	}
	change()
	for _, w := range marked {
		s.tell(w.placed, w.addr, w.before)
	}
}

// Jams is every jam that is in, by address and then by column.
func (s *Store) Jams() []Jam {
	var list []Jam
	for slot, j := range s.jammedWords() {
		p, a := s.layout.at(slot)
		for column := range p.Columns() {
			switch bit := cellOf(p.Width, column); {
			case j.ones.meets(bit):
				list = append(list, Jam{Addr: a, Column: column, Value: p.Cell(1)})
			case j.zeros.meets(bit):
				list = append(list, Jam{Addr: a, Column: column, Value: p.Cell(0)})
			}
		}
	}
	for _, h := range s.hooks {
		list = append(list, h.Jam)
	}
	slices.SortFunc(list, compareJams)
	return list
}

// Effect is how often a jam that is in could have acted, and how often it made a difference; 0 for one that is not in. Of a
// cell that is always stuck it is JamReads of its word.
func (s *Store) Effect(j Jam) (met, altered int64) {
	if s.check(j) != nil {
		return 0, 0
	}
	j = s.settled(j)
	other, in := s.jamOn(j)
	switch h := s.hooks[j.place()]; {
	case !in || other != j:
		state := s.resting[j]
		return state.met, state.altered
	case h != nil:
		return h.met, h.altered
	}
	return s.JamReads(j.Addr)
}

// JamReads is how many reads the word at a got since the first jam of its own was put in, and how many of these showed a
// cell otherwise than it is stored, whether that was corrected or not. Both are 0 for a word without a jam of its own. Peek
// and Column do not count.
func (s *Store) JamReads(a Addr) (reads, altered int64) {
	if p := s.place(a); p != nil {
		if j := s.jamAt(p.slot(a)); j != nil {
			return j.reads, j.altered
		}
	}
	return 0, 0
}

// jamAt is the jams on the word of a slot, or nil.
func (s *Store) jamAt(slot int) *jammed {
	if page := s.jams[slot>>pageShift]; page != nil {
		return page[slot%pageWords]
	}
	return nil
}

// setJam makes j the jams on the word of a slot; where none is left it takes j off, counts and all.
func (s *Store) setJam(slot int, j *jammed) {
	if j.ones == (cells{}) && j.zeros == (cells{}) && len(j.hooks) == 0 {
		j = nil
	}
	page := s.jams[slot>>pageShift]
	if page == nil {
		page = new(jamPage)
		s.jams[slot>>pageShift] = page
	}
	page[slot%pageWords] = j
	p, _ := s.layout.at(slot)
	s.flags[slot] = s.flags[slot]&^(flagJammed|flagHooked) | s.jamFlags(p, j)
}

// jammedWords goes through the words with jams by slot.
func (s *Store) jammedWords() iter.Seq2[int, *jammed] {
	return func(yield func(int, *jammed) bool) {
		for n, page := range s.jams {
			if page == nil {
				continue
			}
			for i, j := range page {
				if j != nil && !yield(n<<pageShift+i, j) {
					return
				}
			}
		}
	}
}

// jamCounts is a copy of the counts of all jammed words that were read, by slot.
func (s *Store) jamCounts() map[int]counts {
	kept := map[int]counts{}
	for slot, j := range s.jammedWords() {
		if j.reads > 0 {
			kept[slot] = j.counts
		}
	}
	return kept
}

// cell finds the area of a cell.
func (s *Store) cell(a Addr, column int) (*placed, error) {
	p, err := s.layout.word(a)
	if err != nil {
		return nil, err
	}
	return p, s.checkColumn(p, a, column)
}

// checkColumn finds whether the words of an area, of which one is at a, have such a column.
func (s *Store) checkColumn(p *placed, a Addr, column int) error {
	if column < 0 || column >= p.Columns() {
		return fmt.Errorf("no column %d at %s: words of %s have %d data bits and %d parity columns",
			column, s.layout.geometry.addr(a), p.Name, p.Width, len(p.Parity))
	}
	return nil
}

// cellOf is the one cell of a column in a word of width data bits.
func cellOf(width, column int) cells {
	if column < width {
		return cells{data: 1 << column}
	}
	return cells{columns: 1 << (column - width)}
}

func (c cells) meets(o cells) bool    { return c.data&o.data|Word(c.columns&o.columns) != 0 }
func (c cells) with(o cells) cells    { return cells{c.data | o.data, c.columns | o.columns} }
func (c cells) without(o cells) cells { return cells{c.data &^ o.data, c.columns &^ o.columns} }
