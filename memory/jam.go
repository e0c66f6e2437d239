package memory

import (
	"fmt"
	"iter"
)

// A Jam is one cell that is stuck: that of column Column of the word at Addr, a data bit or Width+i for parity column i, holds
// Value, 0 or 1, whatever is stored. In an inverted area the reader then sees the other value.
type Jam struct {
	Addr   Addr
	Column int
	Value  int
}

// A jammed is the jams on one word, and how often they mattered.
type jammed struct {
	ones, zeros cells // the columns that show one, zero, whatever is stored; none is in both
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

// Jam makes one cell stick at value, 0 or 1, the cell's own even where the area is inverted: a data bit or, for column Width+i, parity column i of the word at a. What is
// stored is not touched. The error, one sentence, says that there is no such cell, or that it sticks at the other value
// already. The same jam again changes nothing.
func (s *Store) Jam(a Addr, column, value int) error {
	p, err := s.cell(a, column)
	if err != nil {
		return err
	}
	if value != 0 && value != 1 {
		return fmt.Errorf("a cell cannot stick at %d: give 0 or 1", value)
	}
	slot := p.slot(a)
	j := s.jamAt(slot)
	if j == nil {
		j = new(jammed)
	}
	bit, shown := cellOf(p.Width, column), p.Cell(value)
	if (shown == 0 && j.ones.meets(bit)) || (shown == 1 && j.zeros.meets(bit)) {
		return fmt.Errorf("%s at %s is jammed at %d already: take that jam out first",
			s.layout.geometry.ColumnName(p.Area, column), s.layout.geometry.addr(a), 1-value)
	}
	before := s.view(p, a)
	if shown == 1 {
		j.ones = j.ones.with(bit)
	} else {
		j.zeros = j.zeros.with(bit)
	}
	s.setJam(slot, j)
	s.tell(p, a, before)
	return nil
}

// Unjam takes the jam off one cell; with the last jam of a word its counts go too. The error, one sentence, says that
// there is no such cell or no jam on it.
func (s *Store) Unjam(a Addr, column int) error {
	p, err := s.cell(a, column)
	if err != nil {
		return err
	}
	slot := p.slot(a)
	j, bit := s.jamAt(slot), cellOf(p.Width, column)
	if j == nil || !(j.ones.meets(bit) || j.zeros.meets(bit)) {
		return fmt.Errorf("%s at %s has no jam to take out", s.layout.geometry.ColumnName(p.Area, column), s.layout.geometry.addr(a))
	}
	before := s.view(p, a)
	j.ones, j.zeros = j.ones.without(bit), j.zeros.without(bit)
	if j.ones == (cells{}) && j.zeros == (cells{}) {
		s.setJam(slot, nil)
	}
	s.tell(p, a, before)
	return nil
}

// Jams is every jam that is in, by address and then by column.
func (s *Store) Jams() []Jam {
	var list []Jam
	for slot, j := range s.jammedWords() {
		p, a := s.layout.at(slot)
		for column := range p.Columns() {
			switch bit := cellOf(p.Width, column); {
			case j.ones.meets(bit):
				list = append(list, Jam{a, column, p.Cell(1)})
			case j.zeros.meets(bit):
				list = append(list, Jam{a, column, p.Cell(0)})
			}
		}
	}
	return list
}

// JamReads is how many reads the word at a got since its first jam was put in, and how many of these showed a cell
// otherwise than it is stored, whether that was corrected or not. Both are 0 for a word without jams. Peek and Column do
// not count.
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

// setJam makes j the jams on the word of a slot; nil takes the last one off.
func (s *Store) setJam(slot int, j *jammed) {
	page := s.jams[slot>>pageShift]
	if page == nil {
		page = new(jamPage)
		s.jams[slot>>pageShift] = page
	}
	page[slot%pageWords] = j
	if j != nil {
		s.flags[slot] |= flagJammed
	} else {
		s.flags[slot] &^= flagJammed
	}
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

// jamCounts is a copy of the counts of all jammed words, by slot.
func (s *Store) jamCounts() map[int]counts {
	kept := map[int]counts{}
	for slot, j := range s.jammedWords() {
		kept[slot] = j.counts
	}
	return kept
}

// cell finds the area of a cell.
func (s *Store) cell(a Addr, column int) (*placed, error) {
	p, err := s.layout.word(a)
	if err != nil {
		return nil, err
	}
	if column < 0 || column >= p.Columns() {
		return nil, fmt.Errorf("no column %d at %s: words of %s have %d data bits and %d parity columns",
			column, s.layout.geometry.addr(a), p.Name, p.Width, len(p.Parity))
	}
	return p, nil
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
