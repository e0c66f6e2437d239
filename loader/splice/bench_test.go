package splice

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// BenchmarkNinePasses splices nine passes of 4 MB: 5,360 blocks, of which each pass has every fiftieth damaged in its own way.
// What it holds at the end, recordings and merge together, is given as a multiple of the bytes read.
func BenchmarkNinePasses(b *testing.B) {
	const blocks, passes = 5360, 9
	source := fmt.Sprintf("layout large\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\n"+
		"field number\nfield address\nfield count\ndata 256 words\nsum add over number address count data\nblocks 00000 to %05o", blocks-1)
	l, err := tape.ReadLayout("large.layout", []byte(source))
	if err != nil {
		b.Fatal(list.Report(err))
	}
	m := &maker{Rand: rand.New(rand.NewPCG(9, 9))}
	s := &tapeSet{layout: l}
	files := make([][]byte, passes)
	for n := range blocks {
		words := make([]memory.Word, 256)
		for i := range words {
			words[i] = memory.Word(m.Uint64()) & memory.Mask(18)
		}
		raw := m.record(l, n, memory.Addr(n*256&0o777777), words)
		for p := range files {
			worn := 0
			if m.IntN(50) == 0 {
				worn = 100
			}
			for _, bits := range m.damaged(s, raw, worn, nil) {
				files[p] = append(files[p], m.pack(l, bits)...)
			}
		}
	}
	size := 0
	for _, f := range files {
		size += len(f)
	}
	b.SetBytes(int64(size))
	b.ReportAllocs()
	for b.Loop() {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		var all []Pass
		for p, f := range files {
			all = append(all, pass(b, l, fmt.Sprintf("p%d", p), f))
		}
		merged, err := Merge(l, all, nil, Bounds{})
		if err != nil {
			b.Fatal(err)
		}
		runtime.GC()
		runtime.ReadMemStats(&after)
		b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/float64(size), "held/input")
		if slices.ContainsFunc(merged.Blocks, func(x *Block) bool { return x.State != Settled && len(x.Remarks) == 0 && x.Tried == 0 }) {
			b.Fatal("a block that nine passes hold is lost")
		}
		runtime.KeepAlive(all)
	}
}
