package cpu_test

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// weir is a small machine whose logic fails in these tests.
const weir = `
machine   "Weir"
numbers   octal, bit 0 at right
word      12 bits, twos complement
address   8 bits
clock     1 us
counter   P: 8 bits, holds next order
register  A, L: 12 bits
flip-flop zero
store     S0 000-377
  parity  all odd over 11-0
timer     sanity: 100 us, trap insane
trap      insane "the timer ran out"
  does    halt
trap      parity "parity wrong"
  does    halt
boot
  does    P <- 0
          restart sanity
order     load a
  pattern 0000 aaaaaaaa
  does    A <- store[a]
          zero <- A = 0
order     store a
  pattern 0001 aaaaaaaa
  does    store[a] <- A
order     add a
  pattern 0010 aaaaaaaa
  does    A <- add(A, store[a])
order     link a
  pattern 0011 aaaaaaaa
  does    L <- extend(P, 12)
          P <- a
order     skip-zero
  pattern 0100 00000000
  does    if zero = 1 then P <- P + 1
order     spend n
  pattern 0101 nnnnnnnn
  does    spend n
order     stop
  pattern 1111 11111111
  does    halt
`

// weirHalf is the machine with words from 000 on, and its store.
func weirHalf(t testing.TB, words ...memory.Word) (*cpu.Machine, *memory.Store) {
	t.Helper()
	c, err := order.Read("weir", []byte(weir))
	if err != nil {
		t.Fatal(err)
	}
	s := memory.NewStore(c.Geometry, 1)
	for i, w := range words {
		s.Write(memory.Addr(i), w)
	}
	m := cpu.New(c, s, silent{}, 1)
	m.Boot()
	return m, s
}

// register is the number of a register of a machine.
func register(t testing.TB, m *cpu.Machine, name string) *order.Register {
	t.Helper()
	for _, r := range m.Code().Registers {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("no register %s", name)
	return nil
}

// Each part that fails leaves its mark, and only there; store and its parity stay right.
func TestFaultMarks(t *testing.T) {
	tests := []struct {
		name  string
		fault cpu.Fault
		words []memory.Word
		want  string // A, L, P when it stops, and when that was
	}{
		{"none", cpu.Fault{Part: cpu.SkipGate, Chance: cpu.Chance{OneIn: 1 << 60}}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o17, 0o10}, "A=27 L=0 P=3 3 us"},
		{"register bit", cpu.Fault{Number: 1, Bit: 2}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o17, 0o10}, "A=23 L=0 P=3 3 us"},
		{"order counter bit", cpu.Fault{Number: 0, Bit: 1}, []memory.Word{0o0004, 0o1404, 0, 0, 0o7777, 0o7777}, "A=7777 L=0 P=5 3 us"},
		{"carry that never comes", cpu.Fault{Part: cpu.AdderCarry, Bit: 3}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o7, 0o1}, "A=0 L=0 P=3 3 us"},
		{"carry that always comes", cpu.Fault{Part: cpu.AdderCarry, Bit: 3, Value: 1}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o1, 0o1}, "A=12 L=0 P=3 3 us"},
		{"a sum that does not carry there", cpu.Fault{Part: cpu.AdderCarry, Bit: 3}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o1, 0o1}, "A=2 L=0 P=3 3 us"},
		{"order bit", cpu.Fault{Part: cpu.OrderBit, Bit: 0, Value: 1}, []memory.Word{0o0004, 0o7777, 0, 0, 0o6, 0o17}, "A=17 L=0 P=2 2 us"},
		{"skips never", cpu.Fault{Part: cpu.SkipGate}, []memory.Word{0o0005, 0o2000, 0o7777, 0o7777, 0, 0}, "A=0 L=0 P=3 3 us"},
		{"skips always", cpu.Fault{Part: cpu.SkipGate, Value: 1}, []memory.Word{0o0005, 0o2000, 0o7777, 0o7777, 0, 1}, "A=1 L=0 P=4 3 us"},
		{"flip-flop", cpu.Fault{Number: 3, Value: 1}, []memory.Word{0o0005, 0o2000, 0o7777, 0o7777, 0, 1}, "A=1 L=0 P=4 3 us"},
		{"timer fires", cpu.Fault{Part: cpu.SkipGate, Chance: cpu.Chance{OneIn: 1 << 60}}, []memory.Word{0o2577, 0o7777}, "A=0 L=0 P=1 129 us"},
		{"timer dead", cpu.Fault{Part: cpu.DeadTimer}, []memory.Word{0o2577, 0o7777}, "A=0 L=0 P=2 129 us"},
		{"clock slow", cpu.Fault{Part: cpu.SlowClock, More: 1, Per: 3}, []memory.Word{0o0004, 0o1005, 0o7777, 0, 0o17, 0o10}, "A=27 L=0 P=3 4 us"},
		{"link under a carry", cpu.Fault{Part: cpu.AdderCarry, Bit: 0, Value: 1}, []memory.Word{0o1402, 0, 0o7777}, "A=0 L=1 P=3 2 us"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m, s := weirHalf(t, test.words...)
			for _, name := range []string{"A", "L"} {
				m.Set(register(t, m, name), 0)
			}
			if test.fault.Number == 2 && test.fault.Part == cpu.RegisterBit {
				t.Fatal("L is not jammed here")
			}
			if err := m.Jam(test.fault); err != nil {
				t.Fatal(err)
			}
			m.Run(1000, cpu.Never)
			got := fmt.Sprintf("A=%o L=%o P=%o %v", m.Value(register(t, m, "A")), m.Value(register(t, m, "L")), m.Place(), m.Now())
			if got != test.want {
				t.Errorf("stopped with %s, want %s", got, test.want)
			}
			for i, w := range test.words {
				if stored, seen, st := s.Peek(memory.Addr(i)); stored != w || seen != w || st != 0 {
					t.Errorf("store %o holds %o, shows %o, %v; want %o", i, stored, seen, st, w)
				}
			}
		})
	}
}

// A machine stands as before when a fault is taken out, and binds its orders anew.
func TestFaultLifted(t *testing.T) {
	m, _ := weirHalf(t, 0o0004, 0o1005, 0o3000, 0, 0o7, 0o1)
	f := cpu.Fault{Part: cpu.AdderCarry, Bit: 3}
	a := register(t, m, "A")
	for round, want := range []memory.Word{0o10, 0, 0o10} {
		if round == 1 {
			if err := m.Jam(f); err != nil {
				t.Fatal(err)
			}
		}
		m.Set(m.Code().Counter, 0)
		m.Run(2, cpu.Never)
		if m.Value(a) != want {
			t.Errorf("round %d: A = %o, want %o", round, m.Value(a), want)
		}
		if round == 1 {
			if met, altered := m.Effect(f); met != 1 || altered != 1 {
				t.Errorf("it acted %d times, %d of them to some effect; want once", met, altered)
			}
			if err := m.Unjam(f); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := m.Unjam(f); err == nil {
		t.Error("it was taken out twice")
	}
}

// What cannot fail so is refused in a sentence.
func TestFaultRefused(t *testing.T) {
	tests := []struct {
		fault cpu.Fault
		want  string
	}{
		{cpu.Fault{Number: 9}, "no register 9"},
		{cpu.Fault{Number: 1, Bit: 12}, "no bit 12"},
		{cpu.Fault{Number: 1, Value: 2}, "nothing is held at 2"},
		{cpu.Fault{Part: cpu.AdderCarry, Bit: 12}, "no bit 12"},
		{cpu.Fault{Part: cpu.OrderBit, Bit: -1}, "no bit -1"},
		{cpu.Fault{Part: cpu.DeadTimer, Number: 1}, "no timer 1"},
		{cpu.Fault{Part: cpu.SlowClock}, "slow by more than nothing"},
		{cpu.Fault{Part: 99}, "no part 99"},
	}
	m, _ := weirHalf(t)
	for _, test := range tests {
		if err := m.Jam(test.fault); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%+v: %v, want %q", test.fault, err, test.want)
		}
	}
	first := cpu.Fault{Number: 1, Bit: 3}
	other := first
	other.Value = 1
	if err := m.Jam(first); err != nil {
		t.Fatal(err)
	}
	if err := m.Jam(first); err != nil {
		t.Errorf("the same again: %v", err)
	}
	if err := m.Jam(other); err == nil {
		t.Error("a bit was jammed at both values")
	}
}

// An intermittent fault repeats with its seed and from a state kept; another seed is another run.
func TestFaultIntermittent(t *testing.T) {
	run := func(seed uint64) string {
		m, _ := weirHalf(t, 0o0010, 0o1011, 0o1400, 0, 0, 0, 0, 0, 0o7, 0o1)
		f := cpu.Fault{Part: cpu.AdderCarry, Bit: 3, Chance: cpu.Chance{OneIn: 3, Seed: seed}}
		if err := m.Jam(f); err != nil {
			t.Fatal(err)
		}
		if err := m.Jam(cpu.Fault{Part: cpu.DeadTimer}); err != nil {
			t.Fatal(err)
		}
		var kept cpu.Snapshot
		var first, again strings.Builder
		take := func(to *strings.Builder) {
			for range 60 {
				m.Run(2, cpu.Never)
				fmt.Fprintf(to, "%o ", m.Value(register(t, m, "A")))
				m.Run(1, cpu.Never)
			}
			fmt.Fprintln(to, m.Now())
			fmt.Fprint(to, fmt.Sprint(m.Effect(f)))
		}
		m.Run(30, cpu.Never)
		kept = m.Snapshot()
		take(&first)
		m.Restore(kept)
		if take(&again); first.String() != again.String() {
			t.Errorf("seed %d: going back does not repeat:\n%s\n%s", seed, &first, &again)
		}
		return first.String()
	}
	both, again, other := run(7), run(7), run(8)
	if both != again {
		t.Error("the same seed gives another run")
	}
	if both == other {
		t.Error("another seed gives the same run")
	}
	if !strings.Contains(both, "10 ") || !strings.Contains(both, "0 ") {
		t.Errorf("it does not come and go: %s", both)
	}
}

// A fault that never acts changes nothing, though it ends fused orders: programs come out as on the rival, which knows of no
// fault, at the same time.
func TestDormantFaults(t *testing.T) {
	never := cpu.Chance{OneIn: 1 << 62}
	for _, name := range workloads {
		for _, f := range []cpu.Fault{
			{Part: cpu.RegisterBit, Number: 0, Bit: 3, Chance: never}, {Part: cpu.RegisterBit, Number: 1, Bit: 17, Chance: never},
			{Part: cpu.AdderCarry, Bit: 9, Chance: never}, {Part: cpu.OrderBit, Bit: 12, Chance: never},
			{Part: cpu.SkipGate, Chance: never}, {Part: cpu.SlowClock, More: 1, Per: 7, Chance: never},
		} {
			m, s, r := workload(t, name)
			if err := m.Jam(f); err != nil {
				t.Fatal(err)
			}
			if m.Run(20_000, cpu.Never); r.run(20_000) != 20_000 {
				t.Fatal("the rival stopped")
			}
			if diff := apart(m, s, r); diff != "" {
				t.Errorf("%s with a dormant %+v: %s", name, f, diff)
			}
			if met, altered := m.Effect(f); altered != 0 || met == 0 && f.Part != cpu.SkipGate && f.Part != cpu.RegisterBit && f.Part != cpu.SlowClock {
				t.Errorf("%s with %+v: met %d times, altered %d", name, f, met, altered)
			}
		}
	}
}

// hop is a machine whose order counter holds the order being done, with a skip written as a choice, either way round.
const hop = `
machine   "Hop"
numbers   octal, bit 0 at right
word      8 bits, twos complement
address   6 bits
counter   P: 6 bits, holds this order
register  A: 8 bits
store     S0 00-77
boot
  does    P <- 0
order     skip-zero
  pattern 00000001
  does    P <- if A = 0 then after(after(P)) else after(P)
order     skip-other
  pattern 00000010
  does    P <- if A = 0 then P + 1 else P + 2
order     no-skip
  pattern 00000011
  does    if A = 0 then P <- after(P)
`

// A skip gate acts whichever way the skip is written, and on skips alone.
func TestSkipGate(t *testing.T) {
	c, err := order.Read("hop", []byte(hop))
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		order, a memory.Word
		want     [3]memory.Addr // in order, never, always
	}{
		{1, 0, [3]memory.Addr{2, 1, 2}}, {1, 5, [3]memory.Addr{1, 1, 2}},
		{2, 0, [3]memory.Addr{1, 1, 2}}, {2, 5, [3]memory.Addr{2, 1, 2}},
		{3, 0, [3]memory.Addr{1, 1, 1}}, {3, 5, [3]memory.Addr{1, 1, 1}},
	}
	for _, test := range tests {
		for way, want := range test.want {
			s := memory.NewStore(c.Geometry, 1)
			for a := range memory.Addr(4) {
				s.Write(a, test.order)
			}
			m := cpu.New(c, s, silent{}, 1)
			m.Boot()
			m.Set(register(t, m, "A"), test.a)
			if way > 0 {
				if err := m.Jam(cpu.Fault{Part: cpu.SkipGate, Value: way - 1}); err != nil {
					t.Fatal(err)
				}
			}
			if m.Run(1, cpu.Never); m.Place() != want {
				t.Errorf("order %d, A = %d, way %d: goes on at %o, want %o", test.order, test.a, way, m.Place(), want)
			}
		}
	}
}
