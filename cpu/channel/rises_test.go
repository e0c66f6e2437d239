package channel

import (
	"math/rand/v2"
	"testing"

	"coldstart/cpu"
	"coldstart/memory"
)

// A bell comes up at times that are known beforehand and stays up for a moment, or until it is received.
type bell struct {
	rings []cpu.Time // when it comes up
	lasts cpu.Time
	down  cpu.Time // when it was last received
}

func (b *bell) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	if a.Verb == cpu.Receive {
		b.down = now
	}
	for _, t := range b.rings {
		if t > b.down && t <= now && now < t+b.lasts {
			return cpu.Reply{Word: 1}
		}
	}
	return cpu.Reply{}
}

func (b *bell) Next(now cpu.Time) cpu.Time {
	next := cpu.Never
	for _, t := range b.rings {
		for _, at := range []cpu.Time{t, t + b.lasts} {
			if at > now {
				next = min(next, at)
			}
		}
	}
	return next
}

func (b *bell) Clone() Device { c := *b; return &c }

// However seldom two halves ask, and whatever the other does in between, each hears every time that a sign came up; a line
// that is held at 0 lets nothing through, and only to its own half.
func TestRisesMissNothing(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 4))
		b := &bell{lasts: 3, down: -1}
		for at := cpu.Time(1); len(b.rings) < 40; at += 5 + cpu.Time(rng.IntN(30)) {
			b.rings = append(b.rings, at)
		}
		var here, there Rack
		here.Put(7, b)
		there.Share(&here, 7)
		ask := func(r *Rack, now cpu.Time) memory.Word {
			return r.Do(cpu.Action{Verb: cpu.Rises, Code: 7}, now).Word
		}
		ask(&here, 0)
		ask(&there, 0)
		deaf := rng.IntN(2) == 0
		if deaf {
			if err := there.Jam(7, Fault{Part: SignLine}); err != nil {
				t.Fatal(err)
			}
		}
		for now := cpu.Time(0); now < b.rings[39]; now += cpu.Time(rng.IntN(90)) {
			switch rng.IntN(4) {
			case 0:
				here.Do(cpu.Action{Verb: cpu.Receive, Code: 7}, now)
			case 1:
				there.Do(cpu.Action{Verb: cpu.Receive, Code: 7}, now)
			case 2:
				ask(&here, now)
			}
			if rng.IntN(5) == 0 {
				here = *here.Clone()
				there.Share(&here, 7)
			}
		}
		end := b.rings[39] + 1
		want := memory.Word(40)
		if got := ask(&here, end); got != want {
			t.Fatalf("seed %d: %d rises heard, want %d", seed, got, want)
		}
		if deaf {
			want = 0
		}
		if got := ask(&there, end); got != want {
			t.Fatalf("seed %d: %d rises heard over a line of its own, want %d", seed, got, want)
		}
	}
}

// A line held at 1 comes up once, when that begins.
func TestRisesOfAStuckLine(t *testing.T) {
	var r Rack
	r.Put(7, &bell{rings: []cpu.Time{10, 20, 30}, lasts: 3, down: -1})
	ask := func(now cpu.Time) memory.Word { return r.Do(cpu.Action{Verb: cpu.Rises, Code: 7}, now).Word }
	ask(0)
	var got [5]memory.Word
	got[0] = ask(15)
	stuck := Fault{Part: SignLine, Value: 1}
	if err := r.Jam(7, stuck); err != nil {
		t.Fatal(err)
	}
	got[1], got[2] = ask(16), ask(17)
	if err := r.Unjam(7, stuck); err != nil {
		t.Fatal(err)
	}
	got[3], got[4] = ask(18), ask(40)
	if want := [5]memory.Word{1, 2, 2, 2, 4}; got != want {
		t.Errorf("rises heard: %v, want %v", got, want)
	}
}
