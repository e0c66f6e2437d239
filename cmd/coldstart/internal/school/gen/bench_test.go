package main

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"coldstart/cpu"
)

// BenchmarkEvening gives how many calls of the evening are played in a second, from the first call to the last, by one half with
// its mate standing still, beside a network of one frame and of sixteen; and how much longer the big one takes in the same run.
func BenchmarkEvening(b *testing.B) {
	const first, last = 6 * cpu.Second, 70 * cpu.Second
	frames := []int{1, 16}
	best := make([]float64, len(frames))
	calls := 0
	for b.Loop() {
		for i, n := range frames {
			read := func(name string) ([]byte, error) {
				src, err := readOffice(name)
				return bytes.ReplaceAll(src, []byte("pulser frames 1 "), fmt.Appendf(nil, "pulser frames %d ", n)), err
			}
			pair, x := playingIn(b, read)
			if got := x.Spec().Frames; got != n {
				b.Fatalf("%d frames, want %d", got, n)
			}
			pair.Run(cpu.Forever, first)
			began := time.Now()
			pair.Run(cpu.Forever, last)
			if t := time.Since(began).Seconds(); best[i] == 0 || t < best[i] {
				best[i] = t
			}
			calls = agree(b, pair.Half(0), x, pair.Now()).Released
		}
	}
	for i, n := range frames {
		b.ReportMetric(float64(calls)/best[i], fmt.Sprintf("calls/s-%d-frames", n))
	}
	b.ReportMetric(best[1]/best[0], "sixteen/one")
	b.ReportMetric(float64((last-first)/cpu.Second)/best[0], "simulated-s/s")
}
