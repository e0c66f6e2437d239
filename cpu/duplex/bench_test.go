package duplex_test

import (
	"strings"
	"testing"
	"time"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// loop is a program of common orders that goes on for ever and stays in fused orders.
const loop = "at 0\nstart: load 300\nadd one\nstore 300\nadd 301\nstore 301\njump-not-zero start\njump start\none: words 1\n"

// looping makes one half and a pair that both run it, without mirrored ranges, whose writes cost more.
func looping(b *testing.B) (*duplex.Half, *duplex.Pair) {
	src := []byte{}
	for _, line := range strings.Split(string(file("tandem.machine")), "\n") {
		if !strings.HasPrefix(line, "mirror") {
			src = append(src, strings.Replace(line, "300 us", "86400 s", 1)+"\n"...)
		}
	}
	code, err := order.Read("tandem.machine", src)
	check(err)
	program, err := assemble.Assemble(code, assemble.Source{Name: "loop", Text: []byte(loop)})
	check(err)
	image, err := program.Image(code.Geometry)
	check(err)
	h := duplex.NewHalf("A", code, new(channel.Rack), 1)
	p, err := duplex.NewPair(code, new(channel.Rack), new(channel.Rack), 1)
	check(err)
	for _, s := range []*memory.Store{h.Store, p.Half(0).Store, p.Half(1).Store} {
		check(s.Load(image))
		check(s.Poke(0o300, 0))
		check(s.Poke(0o301, 0))
	}
	return h, p
}

// BenchmarkHaltedMate gives how much longer a running half takes for its orders when a halted mate stands beside it, both measured
// in the same run, and how much longer two running halves take for an order of either.
func BenchmarkHaltedMate(b *testing.B) {
	h, p := looping(b)
	_, q := looping(b)
	h.Machine.Boot()
	p.Boot(false)
	q.Boot(true)
	const orders = 200_000
	best := [3]float64{}
	for b.Loop() {
		for i, run := range []func(){
			func() { h.Machine.Run(orders, cpu.Never) },
			func() { p.Run(orders, cpu.Never) },
			func() { q.Run(orders, cpu.Never) },
		} {
			if t := seconds(run); best[i] == 0 || t < best[i] {
				best[i] = t
			}
		}
	}
	b.ReportMetric(best[1]/best[0], "halted-mate/alone")
	b.ReportMetric(best[2]/best[0], "both/alone")
}

// seconds is how long something takes.
func seconds(run func()) float64 {
	began := time.Now()
	run()
	return time.Since(began).Seconds()
}
