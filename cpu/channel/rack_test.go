package channel

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"coldstart/cpu"
	"coldstart/memory"
)

var _ cpu.Ports = (*Rack)(nil)

func TestRackUnknownCode(t *testing.T) {
	var r Rack
	r.Put(3, NewClock(cpu.Millisecond))
	for _, code := range []int{-1, 0, 2, 4} {
		if got := r.Do(cpu.Action{Verb: cpu.Sign, Code: code}, 0); got != (cpu.Reply{None: true}) {
			t.Errorf("reply of channel %d = %+v, want none", code, got)
		}
		if r.Device(code) != nil || r.Jam(code, Fault{}) == nil {
			t.Errorf("a device, or lines to jam, at channel %d, where none was put", code)
		}
	}
	if got := r.Next(0); got != cpu.Millisecond {
		t.Errorf("Next = %v, want the tick of the clock", got)
	}
	if got := new(Rack).Next(0); got != cpu.Never {
		t.Errorf("Next of an empty rack = %v, want never", got)
	}
}

// A clone told the same answers the same, and what one is told the other does not notice.
func TestRackClone(t *testing.T) {
	tape := make(reel, 20)
	for i := range tape {
		for k := range 5 {
			tape[i] = append(tape[i], memory.Word(i*8+k))
		}
	}
	d, _ := seated(tape)
	r := new(Rack)
	r.Put(1, d)
	r.Put(2, NewTeletypewriter(evenLine()))
	r.Put(3, NewClock(8*cpu.Millisecond))
	random := rand.New(rand.NewPCG(18, 0))
	now := cpu.Time(0)
	for round := range 100 {
		kept := r.Clone()
		actions, times := trial(random, &now)
		first := replies(r, actions, times)
		other := kept.Clone()
		trial := func(what string, r *Rack) {
			if diff := cmp.Diff(first, replies(r, actions, times), cmpopts.IgnoreUnexported(Line{})); diff != "" {
				t.Fatalf("round %d: replies of the %s (-first +now)\n%s", round, what, diff)
			}
		}
		trial("clone", other)
		r.Restore(kept)
		trial("rack restored", r)
		if round%10 == 0 {
			d.Seat(tape)
		}
	}
}

// trial is some random actions at later and later times.
func trial(random *rand.Rand, now *cpu.Time) (actions []cpu.Action, times []cpu.Time) {
	for range 30 {
		actions = append(actions, cpu.Action{
			Verb: cpu.Verb(random.IntN(6)), Code: 1 + random.IntN(4), Sign: random.IntN(6), Word: memory.Word(random.IntN(70)),
		})
		*now += cpu.Time(random.Int64N(int64(10 * cpu.Millisecond)))
		times = append(times, *now)
	}
	return actions, times
}

// replies are those to the actions, then what the devices show, as a line for each.
func replies(r *Rack, actions []cpu.Action, times []cpu.Time) []any {
	var all []any
	for i, a := range actions {
		all = append(all, r.Do(a, times[i]), r.Next(times[i]))
	}
	last := times[len(times)-1]
	all = append(all, r.Device(1).(*Drive).Position(last))
	for i := range r.Device(2).(*Teletypewriter).Len() {
		all = append(all, r.Device(2).(*Teletypewriter).Line(i))
	}
	return all
}

func TestClock(t *testing.T) {
	c := NewClock(8 * cpu.Millisecond)
	k := desk{c}
	steps := []struct {
		at    cpu.Time
		ready bool
		ticks memory.Word
		next  cpu.Time
	}{
		{8*cpu.Millisecond - 1, false, 0, 8 * cpu.Millisecond},
		{8 * cpu.Millisecond, true, 1, 16 * cpu.Millisecond},
		{8 * cpu.Millisecond, false, 0, 16 * cpu.Millisecond},
		{31 * cpu.Millisecond, true, 2, 32 * cpu.Millisecond},
		{1 * cpu.Second, true, 122, 1008 * cpu.Millisecond},
	}
	for _, step := range steps {
		ready, ticks, next := k.sign(step.at, 0), k.receive(step.at).Word, c.Next(step.at)
		if ready != step.ready || ticks != step.ticks || next != step.next {
			t.Errorf("at %v: ready %v, ticks %d, next %v; want %v, %d, %v", step.at, ready, ticks, next, step.ready, step.ticks, step.next)
		}
	}
	if got := c.Next(cpu.Never - 1); got != cpu.Never {
		t.Errorf("Next at the end of time = %v, want never", got)
	}
}

func TestLampDriver(t *testing.T) {
	tests := []struct {
		name string
		jam  func(*LampDriver)
		want [2]memory.Word // lamps of rows 0o760 and 0o761 with 0o105 in both
	}{
		{"in order", func(*LampDriver) {}, [2]memory.Word{0o105, 0o105}},
		{"bit 6 dark", func(d *LampDriver) { d.Dark(6) }, [2]memory.Word{0o005, 0o005}},
		{"bit 1 lit", func(d *LampDriver) { d.Lit(1) }, [2]memory.Word{0o107, 0o107}},
		{"one lamp dark", func(d *LampDriver) { d.Hold(0o760, 0o760, Stuck{Zero: 4}, cpu.Chance{}) }, [2]memory.Word{0o101, 0o105}},
		{"two jams", func(d *LampDriver) { d.Dark(0); d.Lit(1) }, [2]memory.Word{0o106, 0o106}},
		{"mended", func(d *LampDriver) { d.Dark(0); d.Mend() }, [2]memory.Word{0o105, 0o105}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var d LampDriver
			test.jam(&d)
			if got := [2]memory.Word{d.Light(0o760, 0o105), d.Light(0o761, 0o105)}; got != test.want {
				t.Errorf("lamps = %o, want %o", got, test.want)
			}
		})
	}
}
