package cpu_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/internal/oracle"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// orders is how many random orders the bound plan and the oracle must agree over.
var orders = flag.Int("orders", 200_000, "random orders for plan and oracle to agree over")

// The machine files the two must agree on.
const (
	office  = "../cmd/coldstart/internal/school/office/brindlecote.machine"
	corners = "testdata/corners.machine"
	cob     = "../testdata/machines/cob14.machine"
)

// read reads a machine file, its complement exchanged for the one named.
func read(t testing.TB, path, complement string) *order.Code {
	t.Helper()
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	src = regexp.MustCompile(`(?m)(^word .*), \S+ complement`).ReplaceAll(src, []byte("$1, "+complement))
	c, err := order.Read(path, src)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestPlanAgreesWithOracle runs random words under both and holds everything a program could see against each other.
func TestPlanAgreesWithOracle(t *testing.T) {
	for _, tt := range []struct{ path, complement string }{
		{office, "twos complement"}, {corners, "twos complement"}, {corners, "ones complement"}, {corners, "sign-magnitude"},
		{cob, "ones complement"}, {rv32i, "twos complement"},
	} {
		c := read(t, tt.path, tt.complement)
		t.Run(c.Name+"/"+tt.complement, func(t *testing.T) {
			done := 0
			for seed := uint64(1); done < *orders/2; seed++ {
				n, err := compare(c, seed)
				if err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
				done += n
			}
		})
	}
}

// compare runs 3,000 orders of one random store under both, setting both going again wherever they halt; it gives the
// number of orders.
func compare(c *order.Code, seed uint64) (int, error) {
	rng := rand.New(rand.NewPCG(seed, 18))
	fast, slow := memory.NewStore(c.Geometry, seed), memory.NewStore(c.Geometry, seed)
	scatter(c, rng, fast, slow)
	m := cpu.New(c, fast, &noise{seed: seed}, seed)
	m.Boot()
	if rng.IntN(2) == 0 {
		m.Observe(new(nobody)) // recording must change nothing
	}
	h, heard := oracle.NewHalf(c, slow, nil), &noise{seed: seed}
	h.Do, h.Next, h.Steal = heard.plainly, heard.next, heard.stolen
	for _, r := range c.Registers {
		h.Registers = append(h.Registers, m.Value(r))
	}
	h.Boot()
	start(c, rng, m, h)
	for n := 1; n <= 3000; n++ {
		at := m.Place()
		if c.Duplex != nil && rng.IntN(100) == 0 {
			m.TakeOver()
			h.TakeOver()
		}
		m.Step()
		h.Step()
		if err := differ(c, m, h); err != nil {
			_, w, _ := fast.Peek(at)
			text, _ := c.Recite(at, []memory.Word{w, 0, 0}) // further words do not matter for knowing the order
			return n, fmt.Errorf("order %d at %o (%s): %w", n, at, text, err)
		}
		if m.Halted() && (rng.IntN(2) == 0 || !resume(m, h)) {
			start(c, rng, m, h)
		}
	}
	return 3000, differStores(c, fast, slow)
}

// start sets both going at a place in some area. Where few addresses are in store, random words seldom are: half of the
// registers that can hold an address are given one.
func start(c *order.Code, rng *rand.Rand, m *cpu.Machine, h *oracle.Half) {
	for _, r := range c.Registers {
		if r == c.Counter || r.Width == c.Geometry.AddrBits && r.Width > 18 && rng.IntN(2) == 0 {
			a := anywhere(c, rng)
			m.Set(r, a)
			h.Registers[r.Number] = a
		}
	}
	h.Halted, h.Waiting, h.Resumes = false, false, false
}

// resume presses the resume key of both; it tells whether that set both going, and fails where it did not set both or none.
func resume(m *cpu.Machine, h *oracle.Half) bool {
	going, also := m.Resume(), h.Resume()
	if going != also || going == m.Halted() {
		panic(fmt.Sprintf("the resume key gave %t in the plan, %t in the oracle; halted %t", going, also, m.Halted()))
	}
	return going
}

// scatter fills both stores alike with orders whose fields are random, with words that are random altogether, and with
// stuck cells; some places nothing is written to.
func scatter(c *order.Code, rng *rand.Rand, stores ...*memory.Store) {
	im := memory.NewImage(c.Geometry)
	for _, area := range c.Geometry.Areas {
		for a := area.First; a <= area.Last; a += memory.Addr(c.Geometry.Step()) {
			w := memory.Word(rng.Uint64()) & memory.Mask(c.Geometry.Width)
			if p := c.Orders[rng.IntN(len(c.Orders))].Patterns[0]; rng.IntN(10) > 0 {
				w = w&^p.Mask | p.Value
			}
			if rng.IntN(20) > 0 {
				_ = im.Set(a, w, memory.Origin{})
			}
		}
	}
	for _, s := range stores {
		if err := s.Load(im); err != nil {
			panic(err)
		}
	}
	for range rng.IntN(4) {
		area := c.Geometry.Areas[rng.IntN(len(c.Geometry.Areas))]
		a := area.First + memory.Addr(rng.Uint64N(uint64(area.Last-area.First+1)))
		column, value := rng.IntN(area.Columns()), rng.IntN(2)
		for _, s := range stores {
			_ = s.Jam(a, column, value) // the same cell twice, at two values, is refused by both
		}
	}
}

// anywhere is an address in some area, mostly one where a word begins.
func anywhere(c *order.Code, rng *rand.Rand) memory.Word {
	area := c.Geometry.Areas[rng.IntN(len(c.Geometry.Areas))]
	a := memory.Word(area.First) + memory.Word(rng.Uint64N(uint64(area.Last-area.First+1)))
	if rng.IntN(8) > 0 {
		a -= a % memory.Word(c.Geometry.Step())
	}
	return a
}

// differ tells the first thing a program could see that is not alike.
func differ(c *order.Code, m *cpu.Machine, h *oracle.Half) error {
	for i, r := range c.Registers {
		if got, want := m.Value(r), h.Registers[i]; got != want {
			return fmt.Errorf("%s is %o in the plan, %o in the oracle", r.Name, got, want)
		}
	}
	trap := ""
	if t := m.LastTrap(); t != nil {
		trap = t.Kind.Name
	}
	switch {
	case int64(m.Now()) != h.Now:
		return fmt.Errorf("time is %d in the plan, %d in the oracle", m.Now(), h.Now)
	case m.Halted() != h.Halted || m.Waiting() != h.Waiting || m.Resumes() != h.Resumes:
		return fmt.Errorf("halted, waiting, resumes: %t, %t, %t in the plan, %t, %t, %t in the oracle",
			m.Halted(), m.Waiting(), m.Resumes(), h.Halted, h.Waiting, h.Resumes)
	case trap != h.Trap:
		return fmt.Errorf("last trap is %q in the plan, %q in the oracle", trap, h.Trap)
	}
	return nil
}

// differStores tells the first word that is not alike.
func differStores(c *order.Code, a, b *memory.Store) error {
	for _, area := range c.Geometry.Areas {
		for at := area.First; at <= area.Last; at += memory.Addr(c.Geometry.Step()) {
			x, _, xs := a.Peek(at)
			y, _, ys := b.Peek(at)
			if x != y || xs != ys {
				return fmt.Errorf("store %o is %o (%d) in the plan, %o (%d) in the oracle", at, x, xs, y, ys)
			}
			reads, altered := a.JamReads(at)
			if also, alike := b.JamReads(at); reads != also || altered != alike {
				return fmt.Errorf("%d reads of store %o were counted, %d altered, in the plan, %d, %d in the oracle", reads, at, altered, also, alike)
			}
		}
	}
	return nil
}

// noise is channels that answer anything, but the same for the same seed and the same questions.
type noise struct {
	seed, asked uint64
}

// Do answers at codes 1 to 11.
func (n *noise) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	n.asked++
	w := memory.Fill(n.seed, n.asked, 64)
	switch a.Verb {
	case cpu.Steal:
		if w>>60 > 1 {
			return cpu.Reply{None: true}
		}
		return cpu.Reply{Word: w >> 20, Addr: memory.Addr(w & 0o7777), On: int(w >> 12 & 7)}
	case cpu.Sign:
		w &= 1
	case cpu.Rises:
		w &= 3
	}
	return cpu.Reply{Word: w, None: a.Code == 0 || a.Code > 11}
}

// Next is soon.
func (n *noise) Next(now cpu.Time) cpu.Time { return now + 1 + now%977 }

// plainly is Do as the oracle asks for it.
func (n *noise) plainly(verb string, code, sign int, w memory.Word, now int64) (memory.Word, bool) {
	verbs := map[string]cpu.Verb{"receive": cpu.Receive, "send": cpu.Send, "command": cpu.Command, "sign": cpu.Sign, "rises": cpu.Rises}
	r := n.Do(cpu.Action{Verb: verbs[verb], Code: code, Sign: sign, Word: w}, cpu.Time(now))
	return r.Word, !r.None
}

// stolen is Do of a word stolen as the oracle asks for it.
func (n *noise) stolen(code int, now int64) (at, w memory.Word, ok bool) {
	r := n.Do(cpu.Action{Verb: cpu.Steal, Code: code}, cpu.Time(now))
	return memory.Word(r.Addr) + memory.Word(r.On), r.Word, !r.None
}

// next is Next as the oracle asks for it.
func (n *noise) next(now int64) int64 { return int64(n.Next(cpu.Time(now))) }

// nobody looks at steps and forgets them.
type nobody struct{}

// Observe does nothing.
func (*nobody) Observe(*cpu.Step) {}
