package march_test

import (
	"fmt"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"coldstart/memory"
	"coldstart/memory/march"
)

// plugIns is two plug-ins of a few words of 8 bits with parity, one of fewer bits, and wired store.
func plugIns() memory.Geometry {
	parity := []memory.Parity{{Odd: true, Hi: 7}}
	return memory.Geometry{Style: memory.Style{Radix: 8}, Width: 8, AddrBits: 8, Areas: []memory.Area{
		{Name: "ST0", First: 0, Last: 15, Width: 8, Parity: parity},
		{Name: "ST1", First: 16, Last: 31, Width: 8, Parity: parity},
		{Name: "WS1", First: 64, Last: 79, Width: 8, Wired: true},
		{Name: "ST3", First: 128, Last: 139, Width: 6},
	}}
}

func span(g *memory.Geometry) march.Span {
	return march.Span{Geometry: g, Last: memory.Addr(memory.Mask(g.AddrBits)), Most: 10}
}

func named(t testing.TB, name string) march.Test {
	test, ok := march.Named(name)
	if !ok {
		t.Fatalf("no test %s", name)
	}
	return test
}

// TestBackgrounds: 00, 55, 33, 0F for 8 bits is section 6.7 of our sheet of published values (from memory there).
func TestBackgrounds(t *testing.T) {
	if got, want := fmt.Sprintf("%02X", march.Backgrounds(8)), "[00 55 33 0F]"; got != want {
		t.Errorf("Backgrounds(8) = %s, want %s", got, want)
	}
	for width := 1; width <= 64; width++ {
		words := march.Backgrounds(width)
		if want := bits.Len(uint(width-1)) + 1; len(words) != want {
			t.Errorf("%d backgrounds for %d bits, want %d", len(words), width, want)
		}
		for i := range width {
			for j := range i {
				if !slices.ContainsFunc(words, func(w memory.Word) bool { return w>>i&1 != w>>j&1 }) {
					t.Errorf("bits %d and %d of %d are the same in all backgrounds", i, j, width)
				}
			}
		}
	}
}

func TestGoodStore(t *testing.T) {
	g := plugIns()
	for _, test := range march.Tests() {
		r, err := march.Run(test, memory.NewStore(g, 1), span(&g))
		if err != nil {
			t.Fatal(err)
		}
		if r.Words != 44 || r.Operations != int64(44*4*test.Length()) {
			t.Errorf("%s: %d words, %d operations; want 44, %d", test.Name, r.Words, r.Operations, 44*4*test.Length())
		}
		if r.Failed != 0 || r.Fits != nil || r.Groups != nil || r.Places != 0 {
			t.Errorf("%s fails on a good store: %+v", test.Name, r)
		}
	}
}

func TestNothingToTest(t *testing.T) {
	g := plugIns()
	over := span(&g)
	over.First, over.Last = 64, 100
	_, err := march.Run(named(t, "X"), memory.NewStore(g, 1), over)
	if want := "no store that can be written lies from 100 to 144"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// TestFingerprints runs a test on a store with one jam and looks at what the report makes of it.
func TestFingerprints(t *testing.T) {
	cell := memory.Cell{Addr: 5, Column: 2}
	tests := []struct {
		name          string
		jam           memory.Jam
		kind          string // that must fit; none where there is no group
		groups, cells int
		places        int
		bits          memory.Word
		parity        bool // whether some failure says that parity was wrong
	}{
		{"stuck cell", memory.Jam{Addr: 5, Column: 2, Value: 1}, "SAF", 1, 1, 1, 4, true},
		// The backgrounds have an even number of ones each, so its parity cell is to hold 1 all the time.
		{"parity cell", memory.Jam{Addr: 5, Column: 8}, "", 0, 0, 1, 0, true},
		{"parity cell nobody sees", memory.Jam{Addr: 5, Column: 8, Value: 1}, "", 0, 0, 0, 0, false},
		{"slow up", memory.Jam{Fault: memory.NeverRises, Addr: 5, Column: 2}, "TF", 1, 1, 1, 4, true},
		{"slow down", memory.Jam{Fault: memory.NeverFalls, Addr: 5, Column: 2}, "TF", 1, 1, 1, 4, true},
		{"stuck open", memory.Jam{Fault: memory.StuckOpen, Addr: 5, Column: 2}, "SOF", 1, 1, 1, 4, true},
		{"chip", memory.Jam{Fault: memory.ChipStuck, Addr: 5, Column: 2, Value: 1}, "SAF", 1, 16, 16, 4, true},
		{"read line", memory.Jam{Fault: memory.ReadLine, Column: 2}, "SAF", 1, 44, 44, 4, true},
		{"write line", memory.Jam{Fault: memory.WriteLine, Column: 2}, "SAF", 1, 44, 44, 4, false},
		{"address line", memory.Jam{Fault: memory.AddressLine, Column: 1}, "AF C", 16, 328, 44, 0xFF, false},
		// Three addresses come to one cell: that is more than any one decoder fault of two.
		{"address lines tied", memory.Jam{Fault: memory.AddressTied, Column: 0, With: 1}, "", 16, 328 - 82, 33, 0xFF, false},
		{"no select", memory.Jam{Fault: memory.NoSelect, Addr: 16}, "", 0, 0, 16, 0, false},
		{"inversion", memory.Jam{Fault: memory.Inverts, Addr: 9, Column: 2, By: cell, On: 1}, "CFin", 1, 1, 1, 4, true},
		{"idempotent", memory.Jam{Fault: memory.Forces, Addr: 9, Column: 2, By: cell, On: 0, Value: 1}, "CFid", 1, 1, 1, 4, true},
		{"state", memory.Jam{Fault: memory.Holds, Addr: 9, Column: 2, By: cell, On: 1, Value: 1}, "CFst(p)", 1, 1, 1, 4, true},
		{"state, reads alone", memory.Jam{Fault: memory.Shades, Addr: 9, Column: 2, By: cell, On: 1, Value: 1}, "CFst(t)", 1, 1, 1, 4, true},
		{"inside a word", memory.Jam{Fault: memory.Forces, Addr: 5, Column: 6, By: cell, On: 0, Value: 1}, "CFid", 1, 1, 1, 0x40, true},
		{"from another bit", memory.Jam{Fault: memory.Inverts, Addr: 3, Column: 7, By: cell, On: 0}, "CFin", 1, 1, 1, 0x80, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g := plugIns()
			s := memory.NewStore(g, 1)
			if err := s.Put(tt.jam); err != nil {
				t.Fatal(err)
			}
			r, err := march.Run(named(t, "C+"), s, span(&g))
			if err != nil {
				t.Fatal(err)
			}
			fits := slices.ContainsFunc(r.Fits, func(k march.Kind) bool { return k.Symbol == tt.kind })
			if fits != (tt.kind != "") || len(r.Groups) < tt.groups || r.Bits != tt.bits {
				t.Errorf("fits %v, %d groups, bits %x; want %s, %d, %x", r.Fits, len(r.Groups), r.Bits, tt.kind, tt.groups, tt.bits)
			}
			counted := int64(0)
			for _, n := range r.Counts {
				counted += n
			}
			if counted != r.Failed {
				t.Errorf("%d failures by operation, %d in all", counted, r.Failed)
			}
			if tt.cells != 0 {
				cells := 0
				for _, group := range r.Groups {
					cells += group.Cells
					if group.Last < group.First || (group.Cells == 1) != (group.First == group.Last) || group.Last > r.Last {
						t.Errorf("%d cells from %d to %d", group.Cells, group.First, group.Last)
					}
				}
				if cells != tt.cells || r.Places != tt.places {
					t.Errorf("%d cells in %d places, want %d in %d", cells, r.Places, tt.cells, tt.places)
				}
			}
			parity := slices.ContainsFunc(r.Failures, func(f march.Failure) bool { return f.Status&memory.ParityWrong != 0 })
			if parity != tt.parity {
				t.Errorf("parity was wrong in a failure: %v, want %v", parity, tt.parity)
			}
		})
	}
}

// TestStoreKeepsToTheTable holds the store's own jams against the computed coverage: what a test always detects it finds in the
// store wherever the jam is, and what it never detects it never finds.
func TestStoreKeepsToTheTable(t *testing.T) {
	g := memory.Geometry{Style: memory.Style{Radix: 8}, Width: 4, AddrBits: 5, Areas: []memory.Area{{Name: "ST0", Last: 15, Width: 4}}}
	rng := rand.New(rand.NewPCG(5, 5))
	found, checked := 0, 0
	for i, test := range march.Tests() {
		if testing.Short() && i%3 != 0 {
			continue
		}
		for _, row := range march.Cover(test, 3) {
			for i, v := range row.Variants {
				for range 2 {
					jam, ok := jamOf(row.Symbol, i, rng)
					if !ok || v.Seen == march.Sometimes {
						continue
					}
					s := memory.NewStore(g, rng.Uint64())
					if err := s.Put(jam); err != nil {
						t.Fatal(err)
					}
					over := span(&g)
					over.Backgrounds = []memory.Word{0}
					r, err := march.Run(test, s, over)
					if err != nil {
						t.Fatal(err)
					}
					checked++
					if r.Failed > 0 {
						found++
					}
					if (r.Failed > 0) != (v.Seen == march.Always) {
						t.Errorf("%s on %s %s: the table says %d, the store with %+v failed %d times", test.Name, row.Symbol, v.Name, v.Seen, jam, r.Failed)
					}
				}
			}
		}
	}
	if found < 150 || found == checked {
		t.Errorf("%d of %d faults were found: the test looks at too few", found, checked)
	}
}

// jamOf is the jam of a variant of a kind, the variants counted as Cover lists them, somewhere.
func jamOf(kind string, variant int, rng *rand.Rand) (memory.Jam, bool) {
	lower := rng.IntN(15)
	upper := lower + 1 + rng.IntN(15-lower)
	column := rng.IntN(4)
	one := memory.Jam{Addr: memory.Addr(lower), Column: column}
	// The variants of two cells go by change, then by value, then by where the aggressor lies.
	two := memory.Jam{Addr: memory.Addr(upper), Column: column, By: memory.Cell{Addr: memory.Addr(lower), Column: column}}
	if variant%2 == 1 {
		two.Addr, two.By.Addr = two.By.Addr, two.Addr
	}
	switch kind {
	case "SAF":
		one.Value = variant
	case "TF":
		one.Fault = [...]memory.Fault{memory.NeverRises, memory.NeverFalls}[variant]
	case "SOF":
		one.Fault = memory.StuckOpen
	case "CFin":
		two.Fault, two.On = memory.Inverts, 1-variant/2
		return two, true
	case "CFid":
		two.Fault, two.On, two.Value = memory.Forces, 1-variant/4, variant/2%2
		return two, true
	case "CFst(p)":
		two.Fault, two.Value, two.On = memory.Holds, variant/4, variant/2%2
		return two, true
	case "CFst(t)":
		two.Fault, two.Value, two.On = memory.Shades, variant/4, variant/2%2
		return two, true
	default:
		return memory.Jam{}, false
	}
	return one, true
}

// TestTrueKindFits puts one fault after another anywhere in a store of words and runs tests of every kind on it: where anything
// shows, the kind that it is of must be among those that fit.
func TestTrueKindFits(t *testing.T) {
	g := plugIns()
	kinds := map[memory.Fault]string{memory.Stuck: "SAF", memory.NeverRises: "TF", memory.NeverFalls: "TF", memory.StuckOpen: "SOF",
		memory.Inverts: "CFin", memory.Forces: "CFid", memory.Holds: "CFst(p)", memory.Shades: "CFst(t)", memory.ChipStuck: "SAF", memory.ReadLine: "SAF"}
	faults := []memory.Fault{memory.Stuck, memory.NeverRises, memory.NeverFalls, memory.StuckOpen, memory.Inverts, memory.Forces, memory.Holds, memory.Shades,
		memory.ChipStuck, memory.ReadLine}
	rng := rand.New(rand.NewPCG(6, 6))
	tests := march.Tests()
	shown := 0
	faulty := 200
	if testing.Short() {
		faulty = 30
	}
	for range faulty {
		word := func() memory.Addr { return memory.Addr(rng.IntN(32)) }
		jam := memory.Jam{Fault: faults[rng.IntN(len(faults))], Addr: word(), Column: rng.IntN(8), Value: rng.IntN(2), On: rng.IntN(2),
			By: memory.Cell{Addr: word(), Column: rng.IntN(8)}}
		s := memory.NewStore(g, rng.Uint64())
		if err := s.Put(jam); err != nil {
			continue // of a cell and itself
		}
		test := tests[rng.IntN(len(tests))]
		r, err := march.Run(test, s, span(&g))
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Groups) == 0 {
			continue
		}
		shown++
		if want := kinds[jam.Fault]; !slices.ContainsFunc(r.Fits, func(k march.Kind) bool { return k.Symbol == want }) {
			t.Errorf("%s on %+v: %v fit, and not %s", test.Name, jam, r.Fits, want)
		}
	}
	if shown < faulty*3/4 {
		t.Errorf("only %d of %d faults showed", shown, faulty)
	}
}

func ExampleRun() {
	g := plugIns()
	s := memory.NewStore(g, 1)
	// The store's one fault: when bit 2 of word 5 rises, bit 2 of word 9 becomes 1.
	_ = s.Put(memory.Jam{Fault: memory.Forces, Addr: 9, Column: 2, Value: 1, By: memory.Cell{Addr: 5, Column: 2}, On: 1})
	test, _ := march.Parse("either(w0); up(r0,w1); down(r1,w0)")
	r, _ := march.Run(test, s, march.Span{Geometry: &g, Last: 255, Most: 1})
	fmt.Println(r.Failed, "of", r.Operations, "operations failed, in", r.Places, "place")
	f := r.Failures[0]
	fmt.Printf("%s: want %03o, got %03o, %v\n", test.Elements[f.Element], f.Want, f.Got, f.Status)
	for _, k := range r.Fits[:3] {
		fmt.Println(k.Symbol, "-", k.Name)
	}
	// Output:
	// 2 of 880 operations failed, in 1 place
	// up(r0,w1): want 000, got 004, parity wrong
	// AF D - address decoder D: an address that reaches the cell of another too
	// CFin - inversion coupling
	// CFid - idempotent coupling
}

func ExampleCover() {
	test, _ := march.Named("MATS+")
	for _, row := range march.Cover(test, 4)[:7] {
		fmt.Println(row.Symbol, row.Always(), "of", len(row.Variants))
	}
	// Output:
	// AF A 2 of 2
	// AF B 8 of 8
	// AF C 2 of 2
	// AF D 4 of 4
	// SAF 2 of 2
	// SOF 0 of 1
	// TF 1 of 2
}

func ExampleBlind() {
	test, _ := march.Named("MATS+")
	never, partly := march.Blind(march.Cover(test, 4))
	for i, kinds := range [][]march.Kind{never, partly} {
		fmt.Print([]string{"never:", "partly:"}[i])
		for _, k := range kinds {
			if !k.Linked {
				fmt.Print(" ", k.Symbol)
			}
		}
		fmt.Println()
	}
	// Output:
	// never: DRDF CFdrd
	// partly: SOF TF CFin CFid CFst(p) CFst(t) WDF CFds rx CFds xw!x CFds xwx CFtr CFwd CFrd CFir
}

func BenchmarkMarchC(b *testing.B) {
	g := memory.Geometry{Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 12, Areas: []memory.Area{{Name: "ST0", Last: 4095, Width: 18,
		Parity: []memory.Parity{{Odd: true, Hi: 8}, {Odd: true, Hi: 17, Lo: 9}}}}}
	test := named(b, "C-")
	for _, jammed := range []bool{false, true} {
		s := memory.NewStore(g, 1)
		if jammed {
			if err := s.Put(memory.Jam{Fault: memory.NeverRises, Addr: 1234, Column: 7}); err != nil {
				b.Fatal(err)
			}
		}
		b.Run(fmt.Sprintf("jammed %v", jammed), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := march.Run(test, s, span(&g)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCover(b *testing.B) {
	test := named(b, "C-")
	for b.Loop() {
		march.Cover(test, 4)
	}
}
