package watch

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/memory"
)

var _ cpu.Observer = (*Watcher)(nil)

// Every verdict has its word, and the zero value is the one that claims nothing.
func TestVerdictTotal(t *testing.T) {
	want := map[Verdict]string{NotTested: "NOT TESTED", Good: "GOOD", Trouble: "TROUBLE", Undecided: "UNDECIDED"}
	if len(verdicts) != len(want) {
		t.Errorf("%d verdicts have words, want %d", len(verdicts), len(want))
	}
	for v, word := range want {
		if got := v.String(); got != word {
			t.Errorf("Verdict(%d).String() = %q, want %q", v, got, word)
		}
	}
	if zero := *new(Verdict); zero != NotTested {
		t.Errorf("the zero verdict is %v, want NOT TESTED", zero)
	}
}

// origin makes up where words came from.
func origin(a memory.Addr) memory.Origin {
	return memory.Origin{Kind: memory.Tape, File: "gp-1.tape", Block: int(a >> 8), Word: int(a & 0xFF)}
}

// machine feeds a watcher orders of 10 us each.
type machine struct {
	w      *Watcher
	now    cpu.Time
	number int64
}

// order does one order at a place.
func (m *machine) order(place memory.Addr, wrote ...cpu.Access) {
	m.number++
	s := cpu.Step{Number: m.number, At: m.now, Place: place, Words: []memory.Word{0o123456}, Writes: wrote}
	m.now += 10 * cpu.Microsecond
	s.Done = m.now
	m.w.Observe(&s)
}

func TestMilestones(t *testing.T) {
	const us = cpu.Microsecond
	tests := []struct {
		name string
		list string
		run  func(*machine)
		want []string // milestones reached, each with its time
	}{
		{"at", "milestone a at 1000", func(m *machine) { m.order(0o777); m.order(0o1000); m.order(0o1000) }, []string{"a 10 us"}},
		{"at, twice over", "milestone a at 1000\nmilestone b at 1000", func(m *machine) { m.order(0o1000) }, []string{"a 0 s", "b 0 s"}},
		{"not at", "milestone a at 1000", func(m *machine) { m.order(0o1001) }, nil},
		{"writes", "milestone a writes 1777", func(m *machine) {
			m.order(0, cpu.Access{Addr: 0o1776})
			m.order(0, cpu.Access{Addr: 0o1776}, cpu.Access{Addr: 0o1777})
		}, []string{"a 20 us"}},
		{"a write refused", "milestone a writes 1777", func(m *machine) {
			m.order(0, cpu.Access{Addr: 0o1777, Status: memory.Protected})
		}, nil},
		{"prints", `milestone a prints "FERRY"`, func(m *machine) {
			m.w.Printed(5*us, "WENDLE")
			m.w.Printed(7*us, "WENDLE FERRY")
		}, []string{"a 7 us"}},
		{"holds", "milestone a holds 10-17 30 for 50 us", func(m *machine) {
			for _, place := range []memory.Addr{0o10, 0o17, 0o20, 0o10, 0o30, 0o12, 0o12, 0o12, 0o12} {
				m.order(place)
			}
		}, []string{"a 80 us"}},
		{"holds, but not so long", "milestone a holds 10-17 for 50 us", func(m *machine) {
			for _, place := range []memory.Addr{0o10, 0o10, 0o10, 0o10, 0o20, 0o10} {
				m.order(place)
			}
		}, nil},
		{"chase", "chase walk row 760 dwell 48 ms\nmilestone walk chase\nmilestone b chase walk", func(m *machine) {
			s := newShow(m.w.Lamps)
			s.walk(48*ms, laps(4, false)...)
		}, []string{"walk 2.304 s", "b 2.304 s"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m := &machine{w: New(read(t, test.list), nil)}
			test.run(m)
			var got []string
			for _, r := range m.w.Reached() {
				got = append(got, fmt.Sprintf("%s %v", r.Name, r.At))
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("milestones reached (-want +got)\n%s", diff)
			}
		})
	}
}

const office = `
chase     walk row 760 dwell 48 ms
milestone starter required at 77400
milestone line    prints "FERRY"
milestone chase   required chase walk
milestone idle    required holds 4000-4077 for 1 ms
`

func TestVerdict(t *testing.T) {
	idle := func(m *machine) {
		for range 100 {
			m.order(0o4001)
		}
	}
	lamps := func(m *machine, places ...int) {
		s := newShow(m.w.Lamps)
		s.now = m.now
		s.walk(48*ms, places...)
		m.now = s.now
	}
	walked := func(m *machine) { lamps(m, laps(4, false)...) }
	tests := []struct {
		name    string
		list    string
		run     func(*machine)
		want    Verdict
		done    bool
		missing int
	}{
		{"nothing told", office, func(*machine) {}, NotTested, false, 4},
		{"nothing wanted", "", func(m *machine) { m.order(0) }, NotTested, false, 0},
		{"begun", office, func(m *machine) { m.order(0o77400) }, Undecided, false, 3},
		{"all but one not required", office, func(m *machine) { m.order(0o77400); walked(m); idle(m) }, Good, true, 1},
		{"the last, and nobody told of lamps", office, func(m *machine) { m.order(0o77400); idle(m) }, Undecided, true, 2},
		{"the last, with the chase still going on", office, func(m *machine) { m.order(0o77400); lamps(m, laps(2, false)...); idle(m) }, Undecided, true, 2},
		{"the last, with the chase the other way", office, func(m *machine) { m.order(0o77400); lamps(m, laps(2, true)...); idle(m) }, Trouble, true, 2},
		{"the chase the other way, but not the last", office, func(m *machine) { m.order(0o77400); lamps(m, laps(2, true)...) }, Undecided, false, 3},
		{"the last without one required", office, func(m *machine) { walked(m); idle(m) }, Trouble, true, 2},
		{"a chase that is no milestone", "chase walk row 760 dwell 48 ms\nmilestone a at 1", func(m *machine) { m.order(1); lamps(m, laps(4, true)...) }, Trouble, true, 0},
		{"a chase alone", "chase walk row 760 dwell 48 ms", walked, Good, false, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			plan := new(Plan)
			if test.list != "" {
				plan = read(t, test.list)
			}
			m := &machine{w: New(plan, nil)}
			test.run(m)
			if got := m.w.Verdict(m.now); got != test.want {
				t.Errorf("verdict %v, want %v", got, test.want)
			}
			if got := m.w.Done(); got != test.done {
				t.Errorf("done %v, want %v", got, test.done)
			}
			if got := len(m.w.Missing()); got != test.missing {
				t.Errorf("%d milestones missing, want %d", got, test.missing)
			}
		})
	}
}

func TestEvidence(t *testing.T) {
	m := &machine{w: New(read(t, "chase walk row 760 dwell 48 ms laps 1\nmilestone stage writes 1777\nmilestone walk chase"), origin)}
	m.order(0o4100, cpu.Access{Addr: 0o1777, Word: 0o42})
	s := newShow(m.w.Lamps)
	for _, p := range laps(2, false)[:17] {
		m.now = s.now
		m.order(0o24107, cpu.Access{Addr: 0o760, Word: 1 << p})
		s.put(1<<p, 48*ms)
	}
	got := m.w.Reached()
	at := 16 * 48 * ms
	want := []Evidence{
		{
			{Text: "the word was written", Place: 0o1777, Word: 0o42, Origin: origin(0o1777)},
			{Text: "the order there was done", Place: 0o4100, Word: 0o123456, Origin: origin(0o4100)},
		},
		{
			{At: at, Text: "lamps: place 0 lit", Place: 0o760},
			{At: at, Text: "the word asked for in the row", Place: 0o760, Word: 1},
			{At: at, Text: "the order that wrote the row", Place: 0o24107, Word: 0o123456, Origin: origin(0o24107)},
		},
	}
	for i := range want {
		if diff := cmp.Diff(want[i], got[i].Evidence); diff != "" {
			t.Errorf("evidence of %s (-want +got)\n%s", got[i].Name, diff)
		}
	}
	if diff := cmp.Diff(want[1], m.w.Sightings(s.now)[0].Evidence); diff != "" {
		t.Errorf("evidence of the chase (-want +got)\n%s", diff)
	}
}

// A clone told the same says the same, and the one it was cloned from does not notice.
func TestClone(t *testing.T) {
	m := &machine{w: New(read(t, office), origin)}
	m.order(0o77400)
	s := newShow(m.w.Lamps)
	s.walk(48*ms, laps(2, false)...)
	kept, before := m.w.Clone(), sayings(m.w, s.now)
	for _, w := range []*Watcher{m.w, kept.Clone()} {
		m.w, s.tell, s.now = w, w.Lamps, 2*16*48*ms
		s.walk(48*ms, laps(3, false)...)
		m.order(0o4001)
		if got := sayings(w, s.now); got != "starter chase UNDECIDED GOOD 4" {
			t.Errorf("after the rest of the run: %s", got)
		}
	}
	if after := sayings(kept, 2*16*48*ms); after != before {
		t.Errorf("the one kept says %s, before %s", after, before)
	}
}

// sayings is what a watcher says, in short.
func sayings(w *Watcher, now cpu.Time) string {
	text := ""
	for _, r := range w.Reached() {
		text += r.Name + " "
	}
	g := w.Sightings(now)[0]
	return fmt.Sprintf("%s%v %v %d", text, w.Verdict(now), g.Verdict, g.Laps)
}

func TestObserveAllocatesNothing(t *testing.T) {
	w := New(read(t, office), nil)
	s := cpu.Step{Place: 0o2000, Words: make([]memory.Word, 1), Writes: []cpu.Access{{Addr: 0o760}}}
	if n := testing.AllocsPerRun(1000, func() {
		s.Number++
		w.Observe(&s)
	}); n != 0 {
		t.Errorf("%v allocations an order, want none", n)
	}
}

func BenchmarkObserve(b *testing.B) {
	w := New(read(b, office), nil)
	s := cpu.Step{Place: 0o2000, Words: make([]memory.Word, 1), Writes: []cpu.Access{{Addr: 0o3000}}}
	b.ReportAllocs()
	for b.Loop() {
		w.Observe(&s)
	}
}

func ExampleWatcher() {
	plan, err := Read("chase.list", []byte(`
chase     walk row 760 dwell 48 ms laps 2
milestone starter required at 77400 "wired starter entered"
milestone walk    required chase walk "CHASE SEEN"
`), small())
	if err != nil {
		fmt.Println(err)
		return
	}
	w := New(plan, nil)
	w.Observe(&cpu.Step{Number: 1, Place: 0o77400, Done: 5 * cpu.Microsecond})
	s := newShow(w.Lamps)
	s.toLamps = clear(6)
	s.walk(48*ms, laps(3, false)...)

	for _, r := range w.Reached() {
		fmt.Println(r.At, r.Sentence)
	}
	for _, g := range w.Sightings(s.now) {
		fmt.Println(g.Verdict, g.Text)
		fmt.Println(g.Cause)
		fmt.Println("Look at:", g.Look[0])
	}
	// Output:
	// 0 s wired starter entered
	// TROUBLE moves, but place 6 never lights
	// the store shows it right and the lamps do not: place 6 dark since 288 ms
	// Look at: LD1 bit 6 (lamp row 00760)
}
