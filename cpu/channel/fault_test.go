package channel

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/memory"
)

// racked is a rack with a drive at channel 1 that has some tape.
func racked(tape Blocks) (*Rack, *Drive) {
	d, _ := seated(tape)
	r := new(Rack)
	r.Put(1, d)
	return r, d
}

// What comes through lines that fail, and what the mark of a block looks like.
func TestFaultLines(t *testing.T) {
	receive, sign := cpu.Action{Verb: cpu.Receive, Code: 1}, cpu.Action{Verb: cpu.Sign, Code: 1}
	tests := []struct {
		name  string
		fault Fault
		ask   cpu.Action
		want  cpu.Reply
	}{
		{"a bit of the mark is 0", Fault{Bit: 3}, receive, cpu.Reply{Word: 0o525242}},
		{"a bit that is 0 anyway", Fault{Bit: 4}, receive, cpu.Reply{Word: 0o525252}},
		{"a bit is 1", Fault{Value: 1}, receive, cpu.Reply{Word: 0o525253}},
		{"forward never arrives", Fault{Part: SendBit}, receive, cpu.Reply{}},
		{"ready never shows", Fault{Part: SignLine}, sign, cpu.Reply{}},
		{"another sign is stuck", Fault{Part: SignLine, Bit: 2, Value: 1}, sign, cpu.Reply{Word: 1}},
		{"dead", Fault{Part: Dead}, receive, cpu.Reply{None: true}},
		{"misread", Fault{Part: TapeBit, Bit: 2, Word: -1}, receive, cpu.Reply{Word: 0o525256}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, _ := racked(reel{{0o525252}})
			for range 2 { // the same again changes nothing
				if err := r.Jam(1, test.fault); err != nil {
					t.Fatal(err)
				}
			}
			r.Do(cpu.Action{Verb: cpu.Command, Code: 1, Word: 1}, 0)
			got := r.Do(test.ask, 6*cpu.Millisecond)
			if got.Origin = (memory.Origin{}); got != test.want {
				t.Errorf("reply = %+v, want %+v", got, test.want)
			}
			if err := r.Unjam(1, test.fault); err != nil {
				t.Error(err)
			}
			if err := r.Unjam(1, test.fault); err == nil {
				t.Error("it was taken out twice")
			}
		})
	}
}

// heard plays a whole tape to somebody who takes each word at once, and tells when blocks began and what was read. After
// stopAt words a stop is asked for.
func heard(r *Rack, stopAt int) string {
	var all []string
	do := func(a cpu.Action, now cpu.Time) cpu.Reply { a.Code = 1; return r.Do(a, now) }
	do(cpu.Action{Verb: cpu.Command, Word: 1}, 0)
	n := 0
	for now := r.Next(0); now != cpu.Never; now = r.Next(now) {
		if do(cpu.Action{Verb: cpu.Sign}, now).Word == 0 {
			continue
		}
		all = append(all, fmt.Sprintf("%d:%o", now/cpu.Microsecond, do(cpu.Action{Verb: cpu.Receive}, now).Word))
		if n++; n == stopAt {
			do(cpu.Action{Verb: cpu.Command, Word: 2}, now)
		}
	}
	return strings.Join(all, " ")
}

// The times are those of TestDriveTimes: words 125 us apart, a gap 15,375 us, the head at the first block after 5 ms.
func TestFaultTape(t *testing.T) {
	three := reel{{1, 2}, {3}, {4}}
	tests := []struct {
		name   string
		fault  Fault
		stopAt int
		want   string
	}{
		{"none", Fault{Part: SignLine, Bit: 9}, 0, "5125:1 5250:2 20750:3 36250:4"},
		{"bit", Fault{Part: TapeBit, Block: 0, Word: 0, Bit: 3}, 0, "5125:1 5250:12 20750:3 36250:4"},
		{"block missing", Fault{Part: TapeMissing, Block: 1}, 0, "5125:1 5250:2 36125:4"},
		{"last block missing", Fault{Part: TapeMissing, Block: 2}, 0, "5125:1 5250:2 20750:3"},
		{"short gap", Fault{Part: TapeGap, Block: 1, Gap: cpu.Millisecond}, 0, "5125:1 5250:2 6375:3 21875:4"},
		{"stops in a gap", Fault{Part: SignLine, Bit: 9}, 2, "5125:1 5250:2"},
		{"no room to stop", Fault{Part: TapeGap, Block: 1, Gap: cpu.Millisecond}, 2, "5125:1 5250:2 6375:3"},
		{"room enough", Fault{Part: TapeGap, Block: 1, Gap: 4 * cpu.Millisecond}, 2, "5125:1 5250:2"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, _ := racked(three)
			if err := r.Jam(1, test.fault); err != nil {
				t.Fatal(err)
			}
			if got := heard(r, test.stopAt); got != test.want {
				t.Errorf("heard %s, want %s", got, test.want)
			}
		})
	}
}

func TestFaultRefused(t *testing.T) {
	tests := []struct {
		name  string
		code  int
		fault Fault
		want  string
	}{
		{"no device", 2, Fault{}, "no device stands"},
		{"value", 1, Fault{Value: 2}, "held at 2"},
		{"no tape", 3, Fault{Part: TapeMissing}, "no tape is seated"},
		{"no block", 1, Fault{Part: TapeMissing, Block: 7}, "no such block"},
		{"no word", 1, Fault{Part: TapeBit, Word: 2}, "no such word"},
		{"gap as long as any", 1, Fault{Part: TapeGap, Gap: 15_375 * cpu.Microsecond}, "lasts 15.375 ms here"},
		{"part", 1, Fault{Part: 99}, "no part 99"},
		{"at the other value", 1, Fault{Bit: 5, Value: 1}, "already"},
	}
	r, _ := racked(two)
	r.Put(3, NewClock(cpu.Millisecond))
	if err := r.Jam(1, Fault{Bit: 5}); err != nil {
		t.Fatal(err)
	}
	for _, test := range tests {
		if err := r.Jam(test.code, test.fault); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
}

// Faults are the bench's: a state put back stands under those that are in now, and repeats what they did by chance.
func TestFaultStaysWithTheBench(t *testing.T) {
	r, _ := racked(two)
	often := Fault{Part: ReceiveBit, Bit: 0, Value: 1, Chance: cpu.Chance{OneIn: 2, Seed: 5}}
	if err := r.Jam(1, often); err != nil {
		t.Fatal(err)
	}
	receive := func(n int) (all string) {
		for range n {
			all += fmt.Sprint(r.Do(cpu.Action{Verb: cpu.Receive, Code: 1}, 0).Word)
		}
		return all
	}
	receive(5)
	kept := r.Clone()
	first := receive(100)
	r.Restore(kept)
	if again := receive(100); again != first {
		t.Errorf("went back, and it was otherwise:\n%s\n%s", first, again)
	}
	if _, altered := r.Effect(1, often); altered == 0 || altered == 105 {
		t.Errorf("one in two altered %d of 105 words", altered)
	}
	if err := r.Unjam(1, often); err != nil {
		t.Fatal(err)
	}
	if r.Restore(kept); receive(20) != strings.Repeat("0", 20) {
		t.Error("a fault taken out came back with a state kept")
	}
	if err := r.Jam(1, Fault{Bit: 1, Value: 1}); err != nil {
		t.Fatal(err)
	}
	if r.Restore(kept); receive(5) != "22222" {
		t.Error("a fault put in went with a state kept")
	}
}

// Of 100,000 reads one in 200 goes wrong, within what chance allows: 500 expected, and the normal approximation to the
// binomial, n p q = 497.5, gives 500 +- 4.9 x 22.3 at a risk below one in a million (from memory).
func TestFaultRate(t *testing.T) {
	for seed := range uint64(5) {
		r, _ := racked(two)
		f := Fault{Bit: 0, Value: 1, Chance: cpu.Chance{OneIn: 200, Seed: seed}}
		if err := r.Jam(1, f); err != nil {
			t.Fatal(err)
		}
		wrong := 0
		for range 100_000 {
			wrong += int(r.Do(cpu.Action{Verb: cpu.Receive, Code: 1}, 0).Word)
		}
		if math.Abs(float64(wrong-500)) > 109 {
			t.Errorf("seed %d: %d of 100000 wrong, want 391 to 609", seed, wrong)
		}
	}
}
