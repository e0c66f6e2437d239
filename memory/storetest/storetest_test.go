package storetest

import (
	"testing"

	"coldstart/memory"
)

func TestStore(t *testing.T) {
	Run(t, func(g memory.Geometry) memory.Bus { return memory.NewStore(g, 1) })
}

// TestJammedStore holds the suite against stores in which every word is read and written the long way, through jams that never
// get to act: now and then is once in 2^60 times, and time stands still.
func TestJammedStore(t *testing.T) {
	Run(t, func(g memory.Geometry) memory.Bus {
		s := memory.NewStore(g, 1)
		s.Clock(func() int64 { return 0 })
		for _, area := range g.Areas {
			for _, j := range []memory.Jam{
				{Fault: memory.ReadLine, Column: 1}, {Fault: memory.WriteLine}, {Fault: memory.ChipStuck, Addr: area.First}, {Fault: memory.NoSelect, Addr: area.First},
				{Fault: memory.AddressLine, Column: g.AddrBits - 1}, {Fault: memory.StuckOpen, Addr: area.First}, {Fault: memory.NeverRises, Addr: area.First},
				{Fault: memory.Disturbs, Addr: area.First, By: memory.Cell{Addr: area.First}}, {Fault: memory.Fades, Addr: area.First, After: 1},
			} {
				j.OneIn = 1 << 60
				// Where a word takes three addresses no address line is the store's own.
				if err := s.Put(j); err != nil && j.Fault != memory.AddressLine {
					t.Fatal(err)
				}
			}
		}
		return s
	})
}

// TestMendedStore holds it against stores whose jams are all out again.
func TestMendedStore(t *testing.T) {
	Run(t, func(g memory.Geometry) memory.Bus {
		s := memory.NewStore(g, 1)
		for _, j := range []memory.Jam{
			{Fault: memory.ReadLine}, {Fault: memory.AddressTied, Column: g.AddrBits - 1, With: g.AddrBits - 2}, {Fault: memory.NoSelect, Addr: g.Areas[0].First},
			{Fault: memory.StuckOpen, Addr: g.Areas[0].First}, {Fault: memory.ChipStuck, Addr: g.Areas[0].First, Value: 1},
		} {
			_ = s.Put(j)
		}
		for _, j := range s.Jams() {
			if err := s.Lift(j); err != nil {
				t.Fatal(err)
			}
		}
		return s
	})
}

// A spoilt is a good store with one thing about it wrong.
type spoilt struct {
	*memory.Store
	read      func(s *memory.Store, a memory.Addr) (memory.Word, memory.Status)
	write     func(s *memory.Store, a memory.Addr, w memory.Word) memory.Status
	wrong     func(s *memory.Store, a memory.Addr, w memory.Word, column string) memory.Status
	readPart  func(s *memory.Store, a memory.Addr, bits int) (memory.Word, memory.Status)
	writePart func(s *memory.Store, a memory.Addr, bits int, w memory.Word) memory.Status
}

func (b spoilt) Read(a memory.Addr) (memory.Word, memory.Status) {
	if b.read != nil {
		return b.read(b.Store, a)
	}
	return b.Store.Read(a)
}

func (b spoilt) Write(a memory.Addr, w memory.Word) memory.Status {
	if b.write != nil {
		return b.write(b.Store, a, w)
	}
	return b.Store.Write(a, w)
}

func (b spoilt) WriteWrong(a memory.Addr, w memory.Word, column string) memory.Status {
	if b.wrong != nil {
		return b.wrong(b.Store, a, w, column)
	}
	return b.Store.WriteWrong(a, w, column)
}

func (b spoilt) ReadPart(a memory.Addr, bits int) (memory.Word, memory.Status) {
	if b.readPart != nil {
		return b.readPart(b.Store, a, bits)
	}
	return b.Store.ReadPart(a, bits)
}

func (b spoilt) WritePart(a memory.Addr, bits int, w memory.Word) memory.Status {
	if b.writePart != nil {
		return b.writePart(b.Store, a, bits, w)
	}
	return b.Store.WritePart(a, bits, w)
}

// TestSuiteCatches holds that no rule is idle: each fails for the store that breaks it.
func TestSuiteCatches(t *testing.T) {
	type (
		store  = memory.Store
		addr   = memory.Addr
		word   = memory.Word
		status = memory.Status
	)
	tests := []struct {
		rule string
		bus  spoilt
	}{
		{"words come back", spoilt{write: func(s *store, a addr, w word) status { return s.Write(a&^1, w) }}},
		{"words are cut to the width", spoilt{write: func(s *store, a addr, w word) status {
			if st := s.Write(a, w); w == ^word(0) && st == 0 {
				return memory.Protected
			}
			return 0
		}}},
		{"never written until written", spoilt{read: func(s *store, a addr) (word, status) {
			w, st := s.Read(a)
			return w, st &^ memory.NeverWritten
		}}},
		{"reading changes nothing", spoilt{read: func(s *store, a addr) (word, status) {
			w, st := s.Read(a)
			s.Write(a, w)
			return w, st
		}}},
		{"wired store refuses", spoilt{write: func(s *store, a addr, w word) status { return s.Write(a, w) &^ memory.Protected }}},
		{"nothing answers in gaps", spoilt{write: func(s *store, a addr, w word) status {
			if st := s.Write(a, w); st == memory.NoReply {
				s.Write(a&0o777, w) // an address cut short: it lands somewhere else
			}
			return s.Write(a, w)
		}}},
		{"random traffic", spoilt{write: func(s *store, a addr, w word) status {
			if w%64 == 5 {
				w ^= 1
			}
			return s.Write(a, w)
		}}},
		{"wrong parity shows until written anew", spoilt{wrong: func(s *store, a addr, w word, column string) status {
			if column != "" { // one column alone cannot be had
				return s.Write(a, w)
			}
			return s.WriteWrong(a, w, column)
		}}},
		{"units lie in the order of ends", spoilt{readPart: func(s *store, a addr, bits int) (word, status) {
			w, st := s.ReadPart(a^1, bits) // units swapped in pairs
			return w, st
		}}},
		{"pieces come back", spoilt{writePart: func(s *store, a addr, bits int, w word) status {
			return s.WritePart(a&^1, bits, w) // a wide piece needs an even address
		}}},
		{"pieces leave the other units alone", spoilt{writePart: func(s *store, a addr, bits int, w word) status {
			own := a - a%addr(s.Geometry().Step())
			whole, _ := s.Read(own)
			s.Write(own, whole) // the rest of the word made new with it
			return s.WritePart(a, bits, w)
		}}},
		{"refused pieces change nothing", spoilt{write: func(s *store, a addr, w word) status {
			st := s.Write(a, w)
			if st != 0 {
				s.WritePart(a, s.Geometry().Unit, w) // as far as it goes
			}
			return st
		}}},
	}
	for i, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			if rules[i].name != tt.rule {
				t.Fatalf("rule %d is %q: every rule needs a store that breaks it", i, rules[i].name)
			}
			for _, g := range geometries() {
				if rules[i].units && g.Unit == 0 {
					continue
				}
				tt.bus.Store = memory.NewStore(g.Geometry, 1)
				if err := rules[i].holds(g.Geometry, tt.bus); err != nil {
					return
				}
			}
			t.Error("the rule holds for a store that breaks it")
		})
	}
	if len(tests) != len(rules) {
		t.Errorf("%d rules, %d stores that break them", len(rules), len(tests))
	}
}
