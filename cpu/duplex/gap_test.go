package duplex_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
)

// random is a program of random words, most of them orders.
func random(rng *rand.Rand) string {
	verbs := []string{"load", "store", "add", "jump", "jump-not-zero"}
	text := "at 0\n"
	for range 0o600 {
		switch rng.IntN(16) {
		case 0:
			text += []string{"leave", "join", "trip", "halt"}[rng.IntN(4)] + "\n"
		case 1:
			text += fmt.Sprintf("command 3, %o\n", rng.IntN(9))
		case 2:
			text += "receive 2\n"
		case 3:
			text += "await 2, 1\n"
		case 4, 5:
			text += "kick\n"
		case 6:
			text += fmt.Sprintf("words %o\n", rng.IntN(0o10000))
		case 7, 8, 9:
			text += "send 1\n"
		default:
			text += fmt.Sprintf("%s %o\n", verbs[rng.IntN(len(verbs))], rng.IntN(0o600))
		}
	}
	return text
}

// wild sets a pair going at random: programs, clocks, keys, power.
func wild(t testing.TB, seed uint64) *duplex.Pair {
	rng := rand.New(rand.NewPCG(seed, 6))
	return let(tandem(t, random(rng), seed), rng)
}

// let sets a pair going with random clocks, keys and power.
func let(p *duplex.Pair, rng *rand.Rand) *duplex.Pair {
	for n := range 2 {
		p.SetClock(n, duplex.Clock{Start: cpu.Time(rng.Int64N(int64(9 * us))), Lasts: 900 + rng.Int64N(200), Per: 1000})
	}
	for range rng.IntN(12) {
		p.Key(cpu.Time(rng.Int64N(int64(1500 * us))))
	}
	if rng.IntN(4) == 0 {
		p.Cut(rng.IntN(2), cpu.Time(rng.Int64N(int64(1500*us))))
	}
	p.Boot(rng.IntN(2) == 0)
	return p
}

// Whatever traps, keys, timers and programs do: both halves are on-line no longer than the gap, nothing comes from a half
// whose flip-flop is 0, and none is on-line longer than the gap only where a half is without power.
func TestChangeoversKeepToTheGap(t *testing.T) {
	const gap = 20 * us
	kinds := map[duplex.Kind]int{}
	lost := int64(0)
	for seed := range *seeds {
		p := wild(t, seed)
		p.Run(cpu.Forever, 1500*us)
		for n := range 2 {
			for _, at := range heard(p, n) {
				if !stood(p, n, at) {
					t.Fatalf("seed %d: half %d drove at %v: %q", seed, n, at, say(p))
				}
			}
		}
		powered := !p.Dead(0) && !p.Dead(1)
		for _, e := range p.Events() {
			kinds[e.Kind]++
			end := min(e.Until, p.Now())
			if e.Kind == duplex.Both && end-e.At > gap || e.Kind == duplex.None && powered && end-e.At > gap {
				t.Fatalf("seed %d: longer than the gap: %q", seed, say(p))
			}
		}
		for n := range 2 {
			_, l := p.Outputs(n)
			lost += l
		}
	}
	if kinds[duplex.Both] < 50 || kinds[duplex.None] < 1000 || kinds[duplex.Changeover] < 1000 || lost < 1000 {
		t.Errorf("kinds %v, %d outputs kept back: too few to show anything", kinds, lost)
	}
}

// stood tells by the list of events alone whether half n was on-line at a time: A is at first, then whoever changeovers name;
// both or none while the list says so. At the very end of a time it holds what came after, and at its start what was before.
func stood(p *duplex.Pair, n int, at cpu.Time) bool {
	on := 0
	for _, e := range p.Events() {
		switch {
		case e.Kind == duplex.Changeover && e.Until <= at:
			on = e.To
		case e.Kind == duplex.Both && e.At <= at && at < e.Until:
			return true
		case e.Kind == duplex.None && e.At < at && at < e.Until:
			return false
		}
	}
	return on == n
}
