package memory

import (
	"cmp"
	"fmt"
)

// A Fault is the way in which a jam makes a part of the store fail.
type Fault uint8

// The faults, and what of a Jam each looks at besides OneIn and Seed. Parity is made between the write lines and the cells,
// over the address as it was sent, and checked between the read lines and the reader: what goes wrong before leaves it right.
const (
	// Of one cell, Column of the word at Addr.
	Stuck      Fault = iota // it shows Value, whatever is stored
	NeverRises              // slow: a 1 written over a 0 leaves the 0
	NeverFalls              // slow: a 0 written over a 1 leaves the 1
	StuckOpen               // it is not reached: a write is lost, a read repeats what its column last gave on this plug-in

	// Of all words at once.
	ChipStuck   // Column of every word on the plug-in of Addr shows Value
	ReadLine    // data bit Column of every word that is read is Value
	WriteLine   // data bit Column of every word that is written is Value
	AddressLine // address bit Column is Value, whatever address is sent
	AddressTied // address bits Column and With are both their AND, for Value 0, or their OR, for Value 1
	NoSelect    // the plug-in of Addr does not answer

	// Of two cells: the aggressor, By, disturbs the victim, Column of the word at Addr. No disturbance sets off another one.
	Inverts  // inversion coupling: the victim turns round when By becomes On
	Forces   // idempotent coupling: the victim becomes Value when By becomes On
	Holds    // state coupling: the victim is made Value at every write to either word while By is On
	Shades   // state coupling of reads alone: the victim reads as Value while By is On
	Disturbs // the victim turns round at every write to the word of By, whatever is written

	// Of a row: the words on the plug-in of Addr whose addresses are as Addr under the mask Rows. Left alone for the time After,
	// every cell of them becomes Value; a read or write of any of them begins the time anew.
	Fades

	faults // how many there are
)

// A Cell is one column of the word at an address.
type Cell struct {
	Addr   Addr
	Column int
}

// A Jam is one thing that fails in a store. The zero Fault is one cell that is stuck: that of column Column of the word at
// Addr, a data bit or Width+i for parity column i, holds Value, 0 or 1, whatever is stored. What else a jam can be, and
// which fields it looks at, says its Fault; other fields are nothing to it. Values are those of cells and chips, so that in
// an inverted area the reader sees the other value; but the values of lines are as they are read and written.
type Jam struct {
	Addr   Addr
	Column int
	Value  int
	Fault  Fault
	By     Cell
	On     int
	With   int
	Rows   Addr
	After  int64 // in the unit of Store.Clock

	// Where OneIn is 2 or more the jam is intermittent: of the times that it could act (at each read or write, or where a cell
	// would be kept, disturbed or faded) it does so one in so many, as the generator of this Seed has it.
	OneIn, Seed uint64
}

// settled is the jam with the fields that its fault does not look at cleared, so that equal jams are equal.
func (s *Store) settled(j Jam) Jam {
	k := Jam{Fault: j.Fault, Addr: j.Addr, Column: j.Column}
	if j.OneIn > 1 {
		k.OneIn, k.Seed = j.OneIn, j.Seed
	}
	switch j.Fault {
	case Stuck:
		k.Value = j.Value
	case ChipStuck:
		k.Addr, k.Value = s.firstOf(j.Addr), j.Value
	case ReadLine, WriteLine, AddressLine:
		k.Addr, k.Value = 0, j.Value
	case AddressTied:
		k.Addr, k.Value, k.Column, k.With = 0, j.Value, min(j.Column, j.With), max(j.Column, j.With)
	case NoSelect:
		k.Addr, k.Column = s.firstOf(j.Addr), 0
	case Inverts:
		k.By, k.On = j.By, j.On
	case Forces, Holds, Shades:
		k.By, k.On, k.Value = j.By, j.On, j.Value
	case Disturbs:
		k.By.Addr = j.By.Addr
	case Fades:
		k.Column, k.Rows, k.After, k.Value = 0, j.Rows, j.After, j.Value
		for a := range s.row(k) {
			k.Addr = a
			break
		}
	}
	return k
}

// place is what two jams share that are about the same thing: they cannot both be in.
func (j Jam) place() Jam {
	j.Value, j.OneIn, j.Seed, j.After = 0, 0, 0, 0
	return j
}

// firstOf is the first address of the plug-in of a.
func (s *Store) firstOf(a Addr) Addr {
	if p := s.layout.find(a); p != nil {
		return p.first
	}
	return a
}

// compareJams puts jams in the order of their addresses, then of their columns. No two jams that can be in are equal by it, so
// that what they do is the same in whatever order they were put in.
func compareJams(a, b Jam) int {
	return cmp.Or(cmp.Compare(a.Addr, b.Addr), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Fault, b.Fault),
		cmp.Compare(a.By.Addr, b.By.Addr), cmp.Compare(a.By.Column, b.By.Column), cmp.Compare(a.On, b.On),
		cmp.Compare(a.With, b.With), cmp.Compare(a.Rows, b.Rows), cmp.Compare(a.Value, b.Value))
}

// check finds what cannot be jammed so. The error is one sentence.
func (s *Store) check(j Jam) error {
	if j.Fault >= faults {
		return fmt.Errorf("there is no fault number %d", j.Fault)
	}
	if err := s.checkPlace(j); err != nil {
		return err
	}
	switch {
	case j.Value != 0 && j.Value != 1 && j.Fault <= StuckOpen:
		return fmt.Errorf("a cell cannot stick at %d: give 0 or 1", j.Value)
	case j.Value != 0 && j.Value != 1:
		return fmt.Errorf("nothing is held at %d: give 0 or 1", j.Value)
	case j.On != 0 && j.On != 1:
		return fmt.Errorf("no cell becomes %d: give 0 or 1", j.On)
	case j.Fault == Fades && j.After <= 0:
		return fmt.Errorf("no row fades after a time of %d: give 1 or more", j.After)
	case j.Fault == Fades && s.clock == nil:
		return fmt.Errorf("nothing fades in a store without a clock: time stands still there")
	}
	return nil
}

// checkPlace finds whether there is such a place.
func (s *Store) checkPlace(j Jam) error {
	g := &s.layout.geometry
	switch j.Fault {
	case ReadLine, WriteLine:
		if j.Column < 0 || j.Column >= g.Width {
			return fmt.Errorf("no data line %d: words have %d data bits", j.Column, g.Width)
		}
		return nil
	case AddressLine:
		return s.checkLine(j.Column)
	case AddressTied:
		if j.Column == j.With {
			return fmt.Errorf("address bit %s cannot be tied to itself: give two", g.Style.Bit(j.Column, g.AddrBits))
		}
		if err := s.checkLine(j.Column); err != nil {
			return err
		}
		return s.checkLine(j.With)
	case ChipStuck, NoSelect, Fades:
		p := s.layout.find(j.Addr)
		if p == nil {
			return s.layout.noReply(j.Addr)
		}
		if j.Fault == ChipStuck {
			return s.checkColumn(p, j.Addr, j.Column)
		}
		return nil
	}
	if _, err := s.cell(j.Addr, j.Column); err != nil {
		return err
	}
	if j.Fault < Inverts {
		return nil
	}
	if _, err := s.cell(j.By.Addr, j.By.Column); err != nil {
		return err
	}
	if j.By == (Cell{j.Addr, j.Column}) && j.Fault != Disturbs {
		return fmt.Errorf("a cell cannot disturb itself: give two")
	}
	return nil
}

// checkLine finds whether there is such an address bit; one that says which unit of a word is meant is no line of the store.
func (s *Store) checkLine(bit int) error {
	g, step := &s.layout.geometry, s.layout.step
	switch {
	case bit < 0 || bit >= g.AddrBits:
		return fmt.Errorf("no address bit %d: addresses have %d bits", bit, g.AddrBits)
	case step&(step-1) != 0:
		return fmt.Errorf("a word takes %d addresses here: no address bit belongs to words alone", step)
	case Addr(1)<<bit < step:
		return fmt.Errorf("address bit %s says which part of a word is meant: it does not reach the store", g.Style.Bit(bit, g.AddrBits))
	}
	return nil
}
