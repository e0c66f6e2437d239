package overlay_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"coldstart/memory"
	"coldstart/memory/overlay"
)

// BenchmarkLay lays a dump with parity over a tape that fills the store, one word in a hundred wrong.
func BenchmarkLay(b *testing.B) {
	for _, size := range []memory.Addr{1 << 14, 1 << 20} {
		b.Run(fmt.Sprintf("%d words", size), func(b *testing.B) {
			g := memory.Geometry{Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 24, Areas: []memory.Area{{Name: "ST0", Last: size - 1, Width: 18,
				Parity: []memory.Parity{{Name: "right", Odd: true, Hi: 8}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}}}}
			r := rand.New(rand.NewPCG(1, 2))
			tape, d := memory.NewImage(g), &overlay.Dump{Words: memory.NewImage(g), Columns: map[memory.Addr]memory.Word{}}
			for a := range size {
				w := memory.Word(r.Uint64()) & memory.Mask(18)
				had := w
				if a%100 == 7 {
					had ^= 1 << r.IntN(18)
				}
				if tape.Set(a, w, memory.Origin{}) != nil || d.Words.Set(a, had, memory.Origin{}) != nil {
					b.Fatal("a word does not fit")
				}
				d.Columns[a] = g.Areas[0].ParityBits(a, w)
			}
			parts := []overlay.Part{{Kind: "program", Rule: overlay.Fixed, Last: size - 1}}
			for b.Loop() {
				if o := overlay.Lay(g, tape, d, parts); len(o.Groups) != 36 {
					b.Fatalf("%d groups, want 36", len(o.Groups))
				}
			}
		})
	}
}
