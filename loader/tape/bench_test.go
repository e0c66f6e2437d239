package tape_test

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// trained is a layout in the shape of the training tape's.
func trained(b testing.TB) *tape.Layout {
	l, err := build("word 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\nfield number\nfield address\nfield count\n" +
		"data 256 words\nsum add over number address count data\nblocks 000 to 1777")
	if err != nil {
		b.Fatal(err)
	}
	return l
}

// recorded is a recording of so many blocks of random words, some of them harmed.
func recorded(b testing.TB, l *tape.Layout, blocks int, harm func(n int, block []byte) []byte) (src []byte) {
	random := rand.New(rand.NewPCG(3, 4))
	words := make([]memory.Word, 256)
	for n := range blocks {
		for i := range words {
			words[i] = memory.Word(random.Uint64()) & memory.Mask(l.Width())
		}
		block, err := l.Append(nil, n, memory.Addr(n), words)
		if err != nil {
			b.Fatal(err)
		}
		src = append(src, harm(n, block)...)
	}
	return src
}

// BenchmarkRead reads recordings of 512 blocks: all good, every eighth with a word lost, every eighth with three bits lost
// so that each one behind it stands apart, rubbish, and rubbish in which marks seem to stand at every other bit.
func BenchmarkRead(b *testing.B) {
	l := trained(b)
	tests := []struct {
		name string
		harm func(n int, block []byte) []byte
	}{
		{"good", func(_ int, block []byte) []byte { return block }},
		{"words lost", func(n int, block []byte) []byte {
			if n%8 == 3 {
				return append(block[:300:300], block[303:]...)
			}
			return block
		}},
		{"bits lost", func(n int, block []byte) []byte {
			if n%8 == 3 {
				block = append(block[:300:300], block[301:]...)
			}
			return block
		}},
		{"rubbish", func(_ int, block []byte) []byte {
			for i := range block {
				block[i] &= 037
			}
			return block
		}},
		{"like marks", func(_ int, block []byte) []byte { return bytes.Repeat([]byte{025}, len(block)) }},
		{"zeros", func(_ int, block []byte) []byte { return make([]byte, len(block)) }},
	}
	for _, tt := range tests {
		b.Run(tt.name, func(b *testing.B) {
			src := recorded(b, l, 512, tt.harm)
			b.SetBytes(int64(len(src)))
			b.ReportAllocs()
			read := 0
			for b.Loop() {
				r := tape.NewReader(l, "x", bytes.NewReader(src))
				for r.Scan() {
					if !r.Block().Missing() {
						read++
					}
				}
				if r.Err() != nil {
					b.Fatal(r.Err())
				}
			}
			b.ReportMetric(float64(read)/b.Elapsed().Seconds(), "blocks/s")
		})
	}
}
