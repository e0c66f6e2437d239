package bringup

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/watch"
)

// How far off the clocks of a sweep are: B begins up to so much later, and runs up to so many parts in a million slow or fast.
const (
	latest = cpu.Millisecond
	ppm    = 200
)

// Slow is a clock that begins at once and runs so many parts in a million slow; less than 0 is fast.
func Slow(parts int) duplex.Clock {
	return duplex.Clock{Lasts: 1_000_000 + int64(parts), Per: 1_000_000}
}

// A Skewed is what came of a pair whose halves kept different time.
type Skewed struct {
	Clock   duplex.Clock // of B
	Outcome string       // all of it but the times
}

// Skew is trial number of a sweep: it brings a pair up with a clock in B that hangs on the number alone, and tells what came of
// it. Trials share the office, and may be carried out at once.
func (o *Office) Skew(ctx context.Context, s Start, number int) (Skewed, error) {
	rng := rand.New(rand.NewPCG(uint64(number), 0x5C3))
	s.Skew = Slow(rng.IntN(2*ppm+1) - ppm)
	s.Skew.Start = cpu.Time(rng.Int64N(int64(latest)))
	s.brief = true
	r, err := o.Run(ctx, s)
	if err != nil {
		return Skewed{}, err
	}
	return Skewed{s.Skew, r.outcome}, nil
}

// cameTo is what a run came to, its times left out: they hang on the clocks.
func (p *Report) cameTo() string {
	all := []string{fmt.Sprintf("%v, %v", p.Ending, p.Verdict)}
	for _, m := range p.Milestones {
		all = append(all, m.Name)
	}
	if p.Pair != nil {
		for _, e := range p.Pair.Events() {
			all = append(all, p.Pair.Tell(e))
		}
	}
	if p.Evening != nil {
		all = append(all, fmt.Sprint(p.Evening.Rows()))
	}
	return strings.Join(all, "; ")
}

// Sweep takes the GOOD from a report where another clock of B came to something else; swept are the trials of a sweep, in
// their order.
func (p *Report) Sweep(swept []Skewed) {
	for n, s := range swept {
		if s.Outcome == p.outcome {
			continue
		}
		p.Swept = fmt.Sprintf("Not the same with other clocks of B. With %s, trial %d: %s", says(s.Clock), n, s.Outcome)
		if p.Verdict == watch.Good {
			p.Verdict = watch.Undecided
		}
		p.LookAt = append(p.LookAt, "what the program asks of the other half, and when: it hangs on their clocks")
		p.ToSettle = append(p.ToSettle, fmt.Sprintf("see that run: the same command with --skew %s", Typed(s.Clock)))
		return
	}
	p.Swept = fmt.Sprintf("The same with %d other clocks of B, up to %d parts in a million slow or fast and begun up to %v later.", len(swept), ppm, latest)
}

// Typed is a clock as a person types it: parts in a million slow, and how much later it began in picoseconds.
func Typed(c duplex.Clock) string { return fmt.Sprintf("%d,%dps", c.Lasts-c.Per, c.Start) }

// says is a clock in words.
func says(c duplex.Clock) string {
	parts, how := c.Lasts-c.Per, "slow"
	if parts < 0 {
		parts, how = -parts, "fast"
	}
	return fmt.Sprintf("a clock %d parts in a million %s, begun %v later", parts, how, c.Start)
}
