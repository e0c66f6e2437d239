package memory

import "testing"

// parityOf is a store of one area of 4-bit words with the columns given; Hamming's check matrix is from his paper of 1950
// (R. W. Hamming, "Error detecting and error correcting codes", Bell System Technical Journal 29, 147-160).
func parityOf(area Area) *Store {
	area.Name, area.Last, area.Width = "ST0", 0o77, 4
	return NewStore(Geometry{Style: Style{Radix: 8}, Width: 4, AddrBits: 6, Areas: []Area{area}}, 1)
}

// places is one check bit for each of three bits of the place of a data bit: bits 0 to 3 stand at places 3, 5, 6, 7.
var places = []Parity{{Name: "c1", Over: 0b1011}, {Name: "c2", Over: 0b1101}, {Name: "c3", Over: 0b1110}}

// TestWrongParity holds what a read gives of a word written with wrong parity.
func TestWrongParity(t *testing.T) {
	whole, address := []Parity{{Name: "whole", Odd: true, Hi: 3}}, []Parity{{Name: "whole", Hi: 3, Address: true}}
	halves := []Parity{{Name: "right", Odd: true, Hi: 1}, {Name: "left", Odd: true, Hi: 3, Lo: 2}}
	tests := []struct {
		name   string
		area   Area
		column string
		seen   Word // of 0101 written
		status Status
	}{
		{"one column", Area{Parity: whole}, "", 0b0101, ParityWrong},
		{"over the address", Area{Parity: address}, "whole", 0b0101, ParityWrong},
		{"held true-low", Area{Parity: halves, Inverted: true}, "left", 0b0101, ParityWrong},
		{"both of two columns", Area{Parity: halves}, "", 0b0101, ParityWrong},
		{"a column it has not", Area{Parity: whole}, "left", 0b0101, 0},
		{"no parity", Area{}, "", 0b0101, 0},
		{"check bits that only report", Area{Parity: places}, "c2", 0b0101, ParityWrong},
		{"one check bit wrong points at itself", Area{Parity: places, Corrects: true}, "c2", 0b0101, Corrected},
		{"three point at place 7, bit 3", Area{Parity: places, Corrects: true}, "", 0b1101, Corrected},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := parityOf(tt.area)
			for _, a := range []Addr{0o10, 0o33} { // of an odd and an even number of ones
				s.WriteWrong(a, 0b0101, tt.column)
				if w, st := s.Read(a); w != tt.seen || st != tt.status {
					t.Errorf("read at %o: %04b, %q; want %04b, %q", a, w, st, tt.seen, tt.status)
				}
				if stored, seen, st := s.Peek(a); stored != 0b0101 || seen != tt.seen || st != tt.status {
					t.Errorf("peek at %o: %04b as %04b, %q", a, stored, seen, st)
				}
			}
		})
	}
}

// TestWrongParityIsKept holds that a snapshot has it, that it is told of, and that every way to write mends it.
func TestWrongParityIsKept(t *testing.T) {
	s := parityOf(Area{Parity: []Parity{{Name: "whole", Odd: true, Hi: 3}}})
	told := 0
	s.OnChange(func(Addr) { told++ })
	s.Write(5, 3)
	if !s.Mark(5) {
		t.Fatal("a written word is not plain")
	}
	before := s.Snapshot()
	s.WriteWrong(5, 3, "")
	s.WriteWrong(5, 3, "")
	if told != 1 {
		t.Errorf("told %d times that parity went wrong, want once", told)
	}
	if s.Mark(5) {
		t.Error("a word of wrong parity is called plain")
	}
	spoilt := s.Snapshot()
	status := func(want Status, after string) {
		t.Helper()
		if _, st := s.Read(5); st != want {
			t.Errorf("after %s: %q, want %q", after, st, want)
		}
	}
	for _, turn := range []struct {
		after string
		do    func() error
		want  Status
	}{
		{"the state before", func() error { return s.Restore(before) }, 0},
		{"the state kept", func() error { return s.Restore(spoilt) }, ParityWrong},
		{"a write", func() error { s.Write(5, 3); return nil }, 0},
		{"the state kept again", func() error { return s.Restore(spoilt) }, ParityWrong},
		{"a word keyed in", func() error { return s.Poke(5, 3) }, 0},
		{"wrong parity again", func() error { s.WriteWrong(5, 3, ""); return nil }, ParityWrong},
		{"a cell stuck at the parity that is right", func() error { return s.Jam(5, 4, 1) }, 0},
		{"the cell mended", func() error { return s.Unjam(5, 4) }, ParityWrong},
		{"a cell stuck at the parity that is wrong", func() error { return s.Jam(5, 4, 0) }, ParityWrong},
	} {
		if err := turn.do(); err != nil {
			t.Fatal(err)
		}
		status(turn.want, turn.after)
	}
}

// TestWrongParityLaidOpen holds that whoever has the words laid open does not take such a word for plain.
func TestWrongParityLaidOpen(t *testing.T) {
	s := parityOf(Area{Parity: []Parity{{Name: "whole", Odd: true, Hi: 3}}})
	d, _ := s.Direct(0)
	s.WriteWrong(5, 3, "")
	if d.States[5]&ReadMask == PlainRead || d.States[5]&WriteMask == PlainWrite {
		t.Error("a word of wrong parity is plain")
	}
	if s.Write(5, 3); d.States[5]&ReadMask != PlainRead || d.States[5]&WriteMask != PlainWrite {
		t.Error("a word written anew is not plain")
	}
}

// TestWrongParityOfUnits holds that a word in two others makes both wrong, and that a piece written mends its word.
func TestWrongParityOfUnits(t *testing.T) {
	s := NewStore(Geometry{Style: Style{Radix: 16}, Width: 16, AddrBits: 8, Unit: 8, LowFirst: true, Areas: []Area{
		{Name: "ST0", Last: 0xF, Width: 16, Parity: []Parity{{Name: "whole", Odd: true, Hi: 15}}},
	}}, 1)
	for a := Addr(0); a < 8; a += 2 {
		s.Write(a, 0)
	}
	s.WriteWrong(3, 0xABCD, "")
	for a, want := range map[Addr]Status{0: 0, 2: ParityWrong, 3: ParityWrong, 4: ParityWrong, 6: 0} {
		if _, st := s.Read(a); st != want {
			t.Errorf("read at %X: %q, want %q", a, st, want)
		}
	}
	s.WritePart(2, 8, 0)
	if w, st := s.Read(2); w != 0xCD00 || st != 0 {
		t.Errorf("after a piece was written: %04X, %q", w, st)
	}
}
