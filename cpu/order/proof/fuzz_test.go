package proof_test

import (
	"errors"
	"go/scanner"
	"testing"

	"coldstart/cpu/order"
	"coldstart/cpu/order/proof"
	"coldstart/memory"
)

// FuzzRead holds that proof finds everything that reading a machine file complains of and gives a Code exactly where that
// gives one or misses only a count; that each run of unread words shows one that is not read; and that an image of any
// words can be followed.
func FuzzRead(f *testing.F) {
	f.Add(small)
	f.Add(walker)
	f.Add(smallWith("end", "order again page 2-1\n pattern 1111 0001\n does A <- Q"))
	for _, name := range []string{office + "brindlecote.machine", machines + "cob14.machine", mistyped, machines + "rv32i.machine"} {
		f.Add(read(f, name))
	}
	f.Fuzz(func(t *testing.T, file string) {
		code, err := order.Read("my.machine", []byte(file))
		r, refused := proof.Read("my.machine", []byte(file))
		var complaints scanner.ErrorList
		errors.As(err, &complaints)
		if refused != nil {
			if err == nil || refused.Error() != err.Error() {
				t.Fatalf("proof refuses with %v, reading gives %v", refused, err)
			}
			return
		}
		for _, e := range complaints {
			found := false
			for _, f := range r.Findings {
				found = found || f.Line == e.Pos.Line && f.Column == e.Pos.Column && f.Text == e.Msg
			}
			if !found {
				t.Errorf("reading says %v, proof does not", e)
			}
		}
		if (code != nil) != (r.Code != nil && len(complaints) == 0) {
			t.Errorf("a Code from reading: %v; from proof: %v", code != nil, r.Code != nil)
		}
		if r.Code == nil {
			return
		}
		for _, h := range r.Holes {
			if h.Example&h.Mask != h.Value || r.Code.Find(h.Example) != nil {
				t.Errorf("hole %s: its example %o is read, or lies elsewhere", r.Drawing(h), h.Example)
			}
		}
		follow(t, r.Code)
	})
}

// follow follows an image of words that look like orders, a few hundred from the start of store on.
func follow(t *testing.T, c *order.Code) {
	g := c.Geometry
	image := memory.NewImage(g)
	area := g.Areas[0]
	a, step := area.First, memory.Addr(1)
	if g.Unit > 0 {
		step = memory.Addr(g.Width / g.Unit)
	}
	for i := 0; i < 300 && a <= area.Last; i++ {
		p := c.Orders[i%len(c.Orders)].Patterns[0]
		w := (memory.Fill(7, uint64(i), g.Width)&^p.Mask | p.Value) & memory.Mask(area.Width)
		if err := image.Set(a, w, memory.Origin{}); err != nil {
			t.Fatal(err)
		}
		a += step
	}
	x := proof.Explore(c, image, []memory.Addr{c.PlaceOf(area.First)}, func(memory.Addr) bool { return true })
	for _, tally := range x.Tallies {
		if tally.Bad() > tally.Jumps || tally.Places == 0 && tally.Jumps > 0 {
			t.Errorf("order %s: %+v", tally.Order.Name, *tally)
		}
	}
	if x.Taken > 2*image.Len() {
		t.Errorf("%d places taken of %d words", x.Taken, image.Len())
	}
}
