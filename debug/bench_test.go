package debug

import (
	"fmt"
	"testing"
	"time"

	"coldstart/cpu"
)

// settled is a bench whose machine goes round in a few common orders, with milestones still to come or with none.
func settled(t testing.TB, expects bool, lines string) *bench {
	b := newBenchFor(t, nil, expects)
	b.all(t, "key 102 0\n"+lines+"\nroll within 100 orders")
	return b
}

// lasts is the shortest of some times that something takes, in seconds.
func lasts(times int, do func()) float64 {
	best := 0.0
	for range times {
		began := time.Now()
		do()
		if t := time.Since(began).Seconds(); best == 0 || t < best {
			best = t
		}
	}
	return best
}

// BenchmarkRoll gives how fast the desk rolls beside a bare machine in the same run: 1 is as fast.
func BenchmarkRoll(b *testing.B) {
	const few, many = 1 << 20, 1 << 24
	roll := fmt.Sprintf("roll within %d orders", few)
	benches := []struct {
		name   string
		bench  *bench
		line   string
		orders int
	}{
		{"nothing", settled(b, false, ""), fmt.Sprintf("roll within %d orders", many), many},
		{"milestones", settled(b, true, ""), roll, few},
		{"ten-holds", settled(b, false, "hold at 0\nhold at 1\nhold at 2\nhold at 3\nhold at 4\nhold at 5\nhold at 6\nhold at 7\nhold at 10\nhold at 11"), roll, few},
		{"condition", settled(b, false, ""), fmt.Sprintf("roll until store 102 = 7777 and C = 17 within %d orders", few), few},
		{"take", settled(b, false, ""), fmt.Sprintf("take %d", few), few},
	}
	bare := settled(b, false, "").half.Machine
	bare.Observe(nil)
	own := 0.0 // seconds an order
	best := make([]float64, len(benches))
	for b.Loop() {
		if t := lasts(3, func() { bare.Run(many, cpu.Never) }) / many; own == 0 || t < own {
			own = t
		}
		for i, bb := range benches {
			if t := lasts(1, func() { bb.bench.all(b, bb.line) }) / float64(bb.orders); best[i] == 0 || t < best[i] {
				best[i] = t
			}
		}
	}
	for i := range benches {
		b.ReportMetric(own/best[i], benches[i].name+"/bare")
	}
	b.ReportMetric(1/own/1e6, "bare-Morders/s")
}

// BenchmarkBack gives how long it takes to go back one order after ten million, in milliseconds, the worst of several.
func BenchmarkBack(b *testing.B) {
	bench := settled(b, false, "")
	bench.all(b, "roll within 10000000 orders")
	worst := 0.0
	for b.Loop() {
		bench.all(b, "roll within 99991 orders") // further, so that the moment kept before is another time as near
		worst = max(worst, lasts(1, func() { bench.all(b, "back 1") }))
	}
	b.ReportMetric(worst*1000, "worst-ms")
	b.ReportMetric(float64(len(bench.past)), "moments")
}
