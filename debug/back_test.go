package debug

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// evenings is how many random evenings at the desk are played again.
var evenings = flag.Int("evenings", 40, "random evenings at the desk that are played again")

// whole is all of the state that a person or a program could tell.
func (b *bench) whole() string {
	b.see()
	var s strings.Builder
	s.WriteString(b.digest())
	for _, e := range b.eye.record.Last(50) {
		fmt.Fprintf(&s, "\n%d %v %o", e.Number, e.At, e.Place)
	}
	for _, r := range b.eye.watcher.Reached() {
		fmt.Fprintf(&s, "\n%s %v", r.Name, r.At)
	}
	for _, j := range b.jams {
		fmt.Fprintf(&s, "\n%s; %s", j, j.Effect(b.half))
	}
	return s.String()
}

// What is taken and taken back leaves everything as it was.
func TestBackIsExact(t *testing.T) {
	b := newBench(t, nil)
	b.all(t, "roll within 300 orders")
	before := b.whole()
	for _, n := range []int{1, 2, 7, 100, 5000, 300_000, 700_000} {
		b.all(t, fmt.Sprintf("take %d\nback %d", n, n))
		if after := b.whole(); after != before {
			t.Fatalf("take %d; back %d leaves another state:\n%s\nwant\n%s", n, n, after, before)
		}
	}
	b.all(t, "take 3")
	third := b.whole()
	b.all(t, "back 3\ntake 3")
	if b.whole() != third {
		t.Error("three orders taken again come to something else")
	}
	if err := b.Do("back 1000000"); err == nil || !strings.Contains(err.Error(), "there are only 303 orders to go back") {
		t.Errorf("back past the start: %v", err)
	}
}

// Any evening at the desk, however often somebody went back in it, ends as one in which only what counts was done.
func TestEveningsPlayedAgain(t *testing.T) {
	for seed := range uint64(*evenings) {
		r := rand.New(rand.NewPCG(seed, 3))
		b := newBenchFor(t, nil, seed%2 == 0)
		b.stretch = 1 + r.Int64N(400)
		kept := map[string]bool{}
		var typed []string
		for range 25 {
			word := randomWord(r, b, kept)
			typed = append(typed, word)
			if err := b.Do(word); err != nil && !strings.Contains(err.Error(), "only") && !strings.Contains(err.Error(), "contradicts") && !strings.Contains(err.Error(), "stands") && !strings.Contains(err.Error(), "halted") {
				t.Fatalf("seed %d: %s: %v", seed, word, err)
			}
		}
		plain := newBenchFor(t, nil, seed%2 == 0) // only the acts that are left, each at its time, and nothing ever taken back
		for _, a := range b.acts {
			plain.comeTo(a.point)
			if a.line == resumeKey {
				plain.half.Machine.Resume()
			} else if err := plain.Do(a.line); err != nil {
				t.Fatalf("seed %d: %s: %v", seed, a.line, err)
			}
		}
		plain.comeTo(b.here().point)
		if got, want := b.whole(), plain.whole(); got != want {
			t.Fatalf("seed %d: after\n%s\nthe state is\n%s\nand played again it is\n%s", seed, strings.Join(typed, "\n"), got, want)
		}
	}
}

// randomWord is a word that somebody might say next.
func randomWord(r *rand.Rand, b *bench, kept map[string]bool) string {
	name := string(rune('a' + r.IntN(3)))
	switch r.IntN(10) {
	case 0, 1:
		return fmt.Sprintf("take %d", 1+r.IntN(60))
	case 2:
		return fmt.Sprintf("roll within %d orders", 1+r.IntN(2000))
	case 3, 4:
		return fmt.Sprintf("back %d", 1+r.IntN(80))
	case 5:
		return fmt.Sprintf("key %o %o", 0o100+r.IntN(4), r.IntN(512))
	case 6:
		return []string{"jam store 100 bit 0 = 1", "jam register A bit 2 = 0", "jam LD1 bit 0 dark", "jam store 101 bit 3 = 0, 1 in 3, seed 7"}[r.IntN(4)]
	case 7:
		if len(b.jams) > 0 {
			return "unjam 1"
		}
	case 8:
		kept[name] = true
		return "keep " + name
	case 9:
		if kept[name] {
			return "recall " + name
		}
	}
	return "look 100"
}

// A word that some order wrote last: back until it changes stands just before that order.
func TestBackUntil(t *testing.T) {
	b := newBench(t, nil)
	b.all(t, "roll within 2000 orders\nback until store 100 changes")
	if got := b.do("recite 721 1"); !strings.HasPrefix(got, "> 721") || !strings.Contains(got, "store 100") {
		t.Errorf("the next order is not the store into 100:\n%s", got)
	}
	held := b.half.Seen(0o100)
	b.all(t, "take 1")
	if b.half.Seen(0o100) == held {
		t.Error("the order behind leaves 100 as it was")
	}
	b.all(t, "roll within 1000 orders\nback until A = 5")
	if got := b.do("look A"); !strings.Contains(got, "0005") {
		t.Errorf("A is %s", got)
	}
	if err := b.Do("back until A = 4444"); err == nil || !strings.Contains(err.Error(), "held at no moment") {
		t.Errorf("back until what never was: %v", err)
	}
}

// A moment kept in a file comes back in another session; one of another machine, or an altered one, is refused.
func TestKeepInFile(t *testing.T) {
	files := map[string][]byte{}
	desk := func(basis string) *bench {
		b := newBench(t, nil)
		b.basis = basis
		b.save = func(name string, data []byte) error { files[name] = data; return nil }
		b.open = func(name string) ([]byte, error) { return files[name], nil }
		return b
	}
	b := desk("one")
	b.all(t, "roll within 500 orders\nkey 100 7\njam store 101 bit 3 = 0\nroll within 500 orders\nkeep there in there.state")
	want := b.whole()
	b.all(t, "take 9")
	c := desk("one")
	c.all(t, "recall from there.state")
	if got := c.whole(); got != want {
		t.Errorf("recalled is\n%s\nwant\n%s", got, want)
	}
	if err := desk("two").Do("recall from there.state"); err == nil || !strings.Contains(err.Error(), "another machine file") {
		t.Errorf("a state of another machine: %v", err)
	}
	files["there.state"] = []byte(strings.Replace(string(files["there.state"]), "orders 1000", "orders 1001", 1))
	d := desk("one")
	before := d.whole()
	if err := d.Do("recall from there.state"); err == nil || !strings.Contains(err.Error(), "comes to another state") || d.whole() != before {
		t.Errorf("an altered state: %v", err)
	}
}
