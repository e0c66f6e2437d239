package cpu_test

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/memory"
)

// The programs that the bound plan runs against the rival. Nothing was tuned on the second, and the third has only orders that
// no fused step does whole.
var workloads = []string{"sum", "search", "formless"}

// workload makes a machine and a rival that are about to run the program of a name, at the same state.
func workload(t testing.TB, name string) (*cpu.Machine, *memory.Store, *rival) {
	t.Helper()
	c := read(t, office, "twos complement")
	path := "testdata/" + name + ".order"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	program, err := assemble.Assemble(c, assemble.Source{Name: path, Text: text})
	if err != nil {
		t.Fatal(err)
	}
	s := memory.NewStore(c.Geometry, 1)
	furnish(t, s)
	for a, w := range program.All() {
		poke(t, s, a, w)
	}
	m := cpu.New(c, s, &noise{}, 1)
	m.Boot()
	r := newRival(s)
	for i, at := range []int{regA, regB, regX1, regX2, regX3} {
		r.reg[at] = uint32(m.Value(c.Registers[1+i]))
	}
	r.deadline = sanity
	for _, reg := range c.Registers {
		if reg.FlipFlop || reg.Name == "page" {
			m.Set(reg, 0)
		}
		if reg.Name == "saved" {
			r.saved = uint32(m.Value(reg))
		}
	}
	m.Set(c.Counter, 0o100)
	r.p = 0o100
	return m, s, r
}

// furnish fills store with what the programs work on: any words at 10000 with a list among them, keys at 20000, and a table
// at 30000.
func furnish(t testing.TB, s *memory.Store) {
	rng := rand.New(rand.NewPCG(1, 18))
	for a := memory.Addr(0o10000); a < 0o40000; a++ {
		poke(t, s, a, memory.Word(rng.Uint64())&ones18)
	}
	at := memory.Addr(0o10000)
	for i := range memory.Addr(40) { // elements stand apart, so that the list is no array
		next := 0o10010 + (i*37+5)%100*8
		poke(t, s, at+1, memory.Word(next))
		poke(t, s, at+2, memory.Word(rng.Uint64())&0o177777) // looked up in the table by its upper bits
		if i%3 != 0 {                                        // the others are never found
			_, w, _ := s.Peek(at)
			poke(t, s, 0o20000+i, w)
		}
		at = next
	}
	poke(t, s, at+1, 0)
}

// poke keys a word in.
func poke(t testing.TB, s *memory.Store, a memory.Addr, w memory.Word) {
	if err := s.Poke(a, w); err != nil {
		t.Fatal(err)
	}
}

// TestWorkloads holds the machine and the rival against each other at many moments of each program: else a benchmark of the
// one against the other would mean nothing.
func TestWorkloads(t *testing.T) {
	for _, name := range workloads {
		t.Run(name, func(t *testing.T) {
			m, s, r := workload(t, name)
			for n := int64(0); n < 500; n++ {
				if got, want := m.Run(n, cpu.Never), r.run(n); got != want {
					t.Fatalf("Run(%d) took %d orders, the rival %d", n, got, want)
				}
				if err := apart(m, s, r); err != "" {
					t.Fatalf("after %d orders: %s", m.Orders(), err)
				}
			}
		})
	}
}

// TestFormless holds that the third program measures what it is for: its orders are several fused steps each.
func TestFormless(t *testing.T) {
	m, _, _ := workload(t, "formless")
	m.Run(10_000, cpu.Never)
	several, whole := 0, 0
	for a := memory.Addr(0o101); a < 0o140; a++ {
		switch n := m.FusedSteps(a); {
		case n > 1:
			several++
		case n == 1:
			whole++
		}
	}
	if several < 20 || whole > 2 { // step-down and the jump back
		t.Errorf("%d orders of several steps and %d of one; want 20 and no more than the two that close the round", several, whole)
	}
}

// TestRunAllocatesNothing holds that orders once met cost no store of the host.
func TestRunAllocatesNothing(t *testing.T) {
	for _, name := range workloads {
		m, _, _ := workload(t, name)
		m.Run(200_000, cpu.Never)
		if n := testing.AllocsPerRun(10, func() { m.Run(10_000, cpu.Never) }); n != 0 {
			t.Errorf("%s: %v allocations in 10000 orders, want none", name, n)
		}
	}
}

// BenchmarkWorkloads runs each program on both, turn about, and reports how many times the speed of the rival the machine has.
func BenchmarkWorkloads(b *testing.B) {
	for _, name := range workloads {
		b.Run(name, func(b *testing.B) {
			m, _, r := workload(b, name)
			race(b, m, r)
		})
	}
}

// BenchmarkWorkloadsJammed is the same with cells stuck all over the store, in orders too, at the values they would have.
func BenchmarkWorkloadsJammed(b *testing.B) {
	for _, name := range workloads {
		b.Run(name, func(b *testing.B) {
			m, s, r := workload(b, name)
			for a := memory.Addr(0o107); a < 0o40000; a += 0o101 {
				stored, _, ok := s.Column(a, int(a%18))
				if !ok {
					continue
				}
				if err := s.Jam(a, int(a%18), stored); err != nil {
					b.Fatal(err)
				}
			}
			race(b, m, r)
		})
	}
}

// BenchmarkFaults is how fast a machine with a fault is, as a ratio to the same machine without one, in turns of the same run.
// A fault that was taken out leaves nothing behind; one in the logic costs the fused orders, whatever it is.
func BenchmarkFaults(b *testing.B) {
	other := cpu.Fault{Part: cpu.RegisterBit, Number: 1, Bit: 17}
	for _, bench := range []struct {
		name string
		put  func(m *cpu.Machine, s *memory.Store) error
	}{
		{"none", func(*cpu.Machine, *memory.Store) error { return nil }},
		{"taken-out", func(m *cpu.Machine, _ *memory.Store) error {
			if err := m.Jam(other); err != nil {
				return err
			}
			return m.Unjam(other)
		}},
		{"cell-elsewhere", func(_ *cpu.Machine, s *memory.Store) error { return s.Jam(0o37777, 3, 1) }},
		{"timer", func(m *cpu.Machine, _ *memory.Store) error { return m.Jam(cpu.Fault{Part: cpu.DeadTimer}) }},
		{"carry", func(m *cpu.Machine, _ *memory.Store) error {
			return m.Jam(cpu.Fault{Part: cpu.AdderCarry, Bit: 17, Chance: cpu.Chance{OneIn: 1 << 40}})
		}},
	} {
		b.Run(bench.name, func(b *testing.B) {
			plain, _, _ := workload(b, "sum")
			m, s, _ := workload(b, "sum")
			if err := bench.put(m, s); err != nil {
				b.Fatal(err)
			}
			race(b, m, whole{plain})
		})
	}
}

// A whole is a machine without a fault, which another one is held against.
type whole struct{ *cpu.Machine }

func (w whole) run(n int64) int64 { return w.Run(n, cpu.Never) }

// byteWorkload makes an RV32I machine and its rival that are about to run the program over bytes, at the same state.
func byteWorkload(t testing.TB) (*cpu.Machine, *memory.Store, *byteRival) {
	t.Helper()
	c := read(t, rv32i, "twos complement")
	path := "testdata/bytes.order"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	program, err := assemble.Assemble(c, assemble.Source{Name: path, Text: text})
	if err != nil {
		t.Fatal(err)
	}
	s := memory.NewStore(c.Geometry, 1)
	rng := rand.New(rand.NewPCG(1, 32))
	for a := memory.Addr(0x80001000); a < 0x80002000; a += 4 {
		poke(t, s, a, memory.Word(rng.Uint32()))
	}
	for a, w := range program.All() {
		poke(t, s, a, w)
	}
	m := cpu.New(c, s, &noise{}, 1)
	m.Boot()
	r := newByteRival(s, 0x80000000, 0x10000)
	for n := range r.x {
		m.Set(c.Register(fmt.Sprintf("x%d", n)), 0)
	}
	return m, s, r
}

// TestByteWorkload holds the two against each other, as TestWorkloads does.
func TestByteWorkload(t *testing.T) {
	m, s, r := byteWorkload(t)
	for n := int64(0); n < 600; n++ {
		if got, want := m.Run(n, cpu.Never), r.run(n); got != want {
			t.Fatalf("Run(%d) took %d orders, the rival %d", n, got, want)
		}
		for i, want := range r.x {
			if got := m.Value(m.Code().Register(fmt.Sprintf("x%d", i))); got != memory.Word(want) {
				t.Fatalf("after %d orders x%d is %X, the rival's %X", m.Orders(), i, got, want)
			}
		}
		if got := m.Place(); got != memory.Addr(r.pc) {
			t.Fatalf("after %d orders pc is %X, the rival's %X", m.Orders(), got, r.pc)
		}
		for a := uint32(0x1000); a < 0x1400; a += 4 {
			if _, got, _ := s.Peek(memory.Addr(r.base + a)); uint32(got) != binary.LittleEndian.Uint32(r.store[a:]) {
				t.Fatalf("after %d orders %X holds %X, the rival's %X", m.Orders(), r.base+a, got, r.store[a:a+4])
			}
		}
	}
}

// BenchmarkByteWorkload does as BenchmarkWorkloads does.
func BenchmarkByteWorkload(b *testing.B) {
	m, _, r := byteWorkload(b)
	race(b, m, r)
}

// plainWorkload makes a machine of orders that no fused step knows, and its rival, at the same state: a loop over a table.
func plainWorkload(t testing.TB) (*cpu.Machine, *memory.Store, *plainRival) {
	t.Helper()
	c := read(t, "testdata/plain.machine", "twos complement")
	s := memory.NewStore(c.Geometry, 1)
	rng := rand.New(rand.NewPCG(1, 16))
	for a := memory.Addr(0); a < 0x1000; a++ {
		poke(t, s, a, memory.Word(rng.Uint64())&0xFFFF)
	}
	for i, w := range []memory.Word{0x1400, 0x2000, 0x3800, 0x4000, 0x5400, 0x6000, 0x1800, 0x2000, 0x7000, 0x4000, 0x3400, 0x8010} {
		poke(t, s, 0x010+memory.Addr(i), w)
	}
	m := cpu.New(c, s, &noise{}, 1)
	m.Boot()
	r := newPlainRival(s)
	for _, reg := range c.Registers {
		m.Set(reg, 0)
	}
	r.a, r.b, r.m, r.p = 0x1234, 0x5678, 0x0FF0, 0x010
	for name, w := range map[string]memory.Word{"A": 0x1234, "B": 0x5678, "M": 0x0FF0, "P": 0x010} {
		m.Set(c.Register(name), w)
	}
	return m, s, r
}

// TestPlainWorkload holds the two against each other, and that no order of the loop is one fused step.
func TestPlainWorkload(t *testing.T) {
	m, s, r := plainWorkload(t)
	for n := int64(0); n < 300; n++ {
		if got, want := m.Run(n, cpu.Never), r.run(n); got != want {
			t.Fatalf("Run(%d) took %d orders, the rival %d", n, got, want)
		}
		want := map[string]uint16{
			"P": r.p, "A": r.a, "B": r.b, "C": r.c, "M": r.m, "X": r.x, "odd": r.odd, "carry": r.carry,
			"minus": uint16(bit(r.minus)), "zero": uint16(bit(r.zero)),
		}
		for _, reg := range m.Code().Registers {
			if got := m.Value(reg); got != memory.Word(want[reg.Name]) {
				t.Fatalf("after %d orders %s is %X, the rival's %X", m.Orders(), reg.Name, got, want[reg.Name])
			}
		}
		for a := range r.store {
			if _, got, _ := s.Peek(memory.Addr(a)); uint32(got) != r.store[a] {
				t.Fatalf("after %d orders %X holds %X, the rival's %X", m.Orders(), a, got, r.store[a])
			}
		}
		if got, want := m.Now(), cpu.Time(r.cycles)*cpu.Microsecond; got != want {
			t.Fatalf("after %d orders the time is %v, the rival's %v", m.Orders(), got, want)
		}
	}
	for a := memory.Addr(0x010); a < 0x01B; a++ { // the last goes round, which is a form
		if n := m.FusedSteps(a); n < 2 {
			t.Errorf("the order at %X is %d fused steps; it should be several, each by itself", a, n)
		}
	}
}

// BenchmarkPlainWorkload does as BenchmarkWorkloads does, with the orders that fusing helps least: each is five to eight steps
// of which one waits for the other, against a rival that keeps all between them in the registers of the host.
func BenchmarkPlainWorkload(b *testing.B) {
	m, _, r := plainWorkload(b)
	race(b, m, r)
}

// race runs both turn about and reports medians of many short turns, so that what else the host does meanwhile, which falls
// on few of them, does not count.
func race(b *testing.B, m *cpu.Machine, r interface{ run(int64) int64 }) {
	const turns, turn = 20, 10_000 // a turn in orders
	var ours, theirs []time.Duration
	m.Run(turns*turn, cpu.Never) // orders are fused when they are met first
	r.run(turns * turn)
	b.ReportAllocs()
	for b.Loop() {
		for range turns {
			t0 := time.Now()
			taken := m.Run(turn, cpu.Never)
			t1 := time.Now()
			if also := r.run(turn); taken != turn || also != turn {
				b.Fatalf("%d orders taken, the rival %d, of %d", taken, also, turn)
			}
			ours, theirs = append(ours, t1.Sub(t0)), append(theirs, time.Since(t1))
		}
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	our, their := ours[len(ours)/2], theirs[len(theirs)/2]
	b.ReportMetric(float64(their)/float64(our), "ratio")
	b.ReportMetric(turn/our.Seconds()/1e6, "Morders/s")
	b.ReportMetric(turn/their.Seconds()/1e6, "rival-Morders/s")
}

// apart says in what a machine and a rival differ; empty where in nothing.
func apart(m *cpu.Machine, s *memory.Store, r *rival) string {
	want := map[string]uint32{
		"P": r.p, "page": r.page >> 11, "saved": r.saved, "reason": r.reason, "carry": r.carry, "check": r.check,
		"minus": bit(r.minus), "zero": bit(r.zero),
		"A": r.reg[regA], "B": r.reg[regB], "X1": r.reg[regX1], "X2": r.reg[regX2], "X3": r.reg[regX3],
	}
	for _, reg := range m.Code().Registers {
		if got := m.Value(reg); got != memory.Word(want[reg.Name]) {
			return fmt.Sprintf("%s is %o, the rival's %o", reg.Name, got, want[reg.Name])
		}
	}
	if got, want := m.Now(), cpu.Time(r.cycles)*cpu.Time(m.Code().Cycle); got != want {
		return fmt.Sprintf("the time is %v, the rival's %v", got, want)
	}
	for a := memory.Addr(0); a < 0o40000; a++ {
		if _, got, _ := s.Peek(a); got != memory.Word(r.store[a]&ones18) {
			return fmt.Sprintf("%o holds %o, the rival's %o", a, got, r.store[a]&ones18)
		}
	}
	return ""
}

// bit is a flip-flop as a number.
func bit(b bool) uint32 {
	if b {
		return 1
	}
	return 0
}
