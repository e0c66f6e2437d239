package memory

import (
	"fmt"
	"testing"
)

// A jam that rests does nothing, and goes on where it was: its draws, and what it counted.
func TestRest(t *testing.T) {
	g := Geometry{Width: 12, AddrBits: 6, Areas: []Area{{Name: "K0", First: 0, Last: 63, Width: 12}}}
	jams := []Jam{
		{Addr: 5, Column: 3, Value: 1},
		{Addr: 5, Column: 3, Value: 1, OneIn: 3, Seed: 4},
		{Fault: ReadLine, Column: 3, Value: 1, OneIn: 3, Seed: 4},
		{Fault: ChipStuck, Column: 3, Value: 1},
	}
	for _, j := range jams {
		var through, apart *Store
		read := func(s *Store, n int) (all string) {
			for range n {
				w, _ := s.Read(5)
				all += fmt.Sprint(w>>3&1, " ")
			}
			return all
		}
		for _, s := range []**Store{&through, &apart} {
			*s = NewStore(g, 1)
			(*s).Write(5, 0)
			if err := (*s).Put(j); err != nil {
				t.Fatal(err)
			}
		}
		want := read(through, 10)
		kept := through.Snapshot()
		want += read(through, 10)

		got := read(apart, 10)
		other := apart.Snapshot()
		for range 2 { // once from there, and once from there again
			part := got
			if err := apart.Rest(j, true); err != nil {
				t.Fatal(err)
			}
			if rests := read(apart, 10); rests != "0 0 0 0 0 0 0 0 0 0 " {
				t.Errorf("%+v acts while it rests: %s", j, rests)
			}
			if err := apart.Rest(j, false); err != nil {
				t.Fatal(err)
			}
			if part += read(apart, 10); part != want {
				t.Errorf("%+v\n after a rest shows %s\nwithout one         %s", j, part, want)
			}
			met, altered := apart.Effect(j)
			if m, a := through.Effect(j); met != m || altered != a {
				t.Errorf("%+v after a rest counts %d, %d; without one %d, %d", j, met, altered, m, a)
			}
			if err := apart.Rest(j, true); err != nil {
				t.Fatal(err)
			}
			if err := apart.Restore(other); err != nil {
				t.Fatal(err)
			}
			if err := apart.Rest(j, false); err != nil {
				t.Fatal(err)
			}
		}
		if err := through.Restore(kept); err != nil {
			t.Fatal(err)
		}
	}
}
