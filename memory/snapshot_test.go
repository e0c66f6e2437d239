package memory

import (
	"fmt"
	"testing"
)

// TestSnapshotShares looks inside: pages not written between two snapshots must be one and the same.
func TestSnapshotShares(t *testing.T) {
	s := NewStore(halves(), 1)
	s.Write(0, 1)
	s.Write(0o1000, 1)
	one := s.Snapshot()
	s.Write(0o1001, 2)
	two := s.Snapshot()
	for n := range one.pages {
		shared := one.pages[n] == two.pages[n]
		if want := n != 0o1000>>pageShift; shared != want {
			t.Errorf("page %d shared = %t, want %t", n, shared, want)
		}
	}
	if one.pages[1] != nil {
		t.Error("a page never written takes room")
	}
	// Put back and taken again, nothing is new.
	if err := s.Restore(one); err != nil {
		t.Fatal(err)
	}
	for n, p := range s.Snapshot().pages {
		if p != one.pages[n] {
			t.Errorf("page %d was copied although nothing was written since it was put back", n)
		}
	}
}

func TestRestoreIntoAnotherStore(t *testing.T) {
	from := NewStore(halves(), 1)
	from.Write(0o100, 0o123456)
	sn := from.Snapshot()

	into := NewStore(halves(), 1)
	into.Write(0o200, 1)
	if err := into.Restore(sn); err != nil {
		t.Fatal(err)
	}
	if w, st := into.Read(0o100); w != 0o123456 || st != 0 {
		t.Errorf("Read(100) = %#o, %v; want 123456 as in the other store", w, st)
	}
	if _, st := into.Read(0o200); st != NeverWritten {
		t.Errorf("Read(200): %v; want %v, as in the other store", st, NeverWritten)
	}

	into.Write(0o100, 1)
	if again := NewStore(halves(), 1); again.Restore(sn) != nil {
		t.Error("the snapshot is refused the second time")
	} else if w, _ := again.Read(0o100); w != 0o123456 {
		t.Errorf("Read(100) = %#o: a write to one store shows in a snapshot", w)
	}
}

func TestRestoreRefuses(t *testing.T) {
	sn := NewStore(halves(), 1).Snapshot()
	for name, s := range map[string]*Store{"another fill": NewStore(halves(), 2), "another geometry": NewStore(packed(), 1)} {
		s.Write(0o100, 7)
		want := "this snapshot is of a store with another geometry or another fill: take one of this store"
		if got := sentence(s.Restore(sn)); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
		if w, _ := s.Read(0o100); w != 7 {
			t.Errorf("%s: a refused snapshot changed the store", name)
		}
	}
}

// TestRestoreTellsLast has the hook read the store while it is told: all words must be in place by then.
func TestRestoreTellsLast(t *testing.T) {
	s := NewStore(halves(), 1)
	places := []Addr{0o100, 0o5000, 0o10000}
	for _, a := range places {
		s.Write(a, 1)
		s.Mark(a)
	}
	sn := s.Snapshot()
	for _, a := range places {
		s.Write(a, 2)
	}
	told := 0
	s.OnChange(func(Addr) {
		told++
		for _, a := range places {
			if w, _ := s.Read(a); w != 1 {
				t.Errorf("Read(%#o) = %d while a change is told, want 1", a, w)
			}
		}
	})
	if err := s.Restore(sn); err != nil {
		t.Fatal(err)
	}
	if told != len(places) {
		t.Errorf("%d changes told, want %d", told, len(places))
	}
}

func ExampleStore_Restore() {
	s := NewStore(Geometry{Width: 8, AddrBits: 4, Areas: []Area{{Name: "ST0", Last: 15, Width: 8}}}, 1)
	s.Write(3, 0)
	before := s.Snapshot()
	if err := s.Jam(3, 0, 1); err != nil {
		fmt.Println(err)
	}
	s.Write(3, 0xFE)
	if err := s.Restore(before); err != nil {
		fmt.Println(err)
	}
	stored, seen, _ := s.Peek(3)
	fmt.Println(stored, "is stored again; the jam is still in and shows", seen)
	// Output:
	// 0 is stored again; the jam is still in and shows 1
}
