package tape_test

import (
	"bytes"
	"runtime"
	"testing"

	"coldstart/loader/tape"
)

// A recording takes a small multiple of its file in memory: a word of 18 bits in three bytes there becomes eight bytes, and
// the bytes are kept besides. Of what is no block only the beginning is kept, however long it is; there it is the blocks
// missing that take room.
func TestMemoryOfRecordings(t *testing.T) {
	l := trained(t)
	tests := []struct {
		name string
		src  []byte
		most float64 // bytes kept for one of the file
	}{
		{"good blocks", recorded(t, l, 512, func(_ int, block []byte) []byte { return block }), 6},
		{"bits lost", recorded(t, l, 512, func(n int, block []byte) []byte {
			if n%8 == 3 {
				block = append(block[:300:300], block[301:]...)
			}
			return block
		}), 6},
		{"no block", bytes.Repeat([]byte{021, 042, 014}, 1_000_000), 0.3},
	}
	for _, tt := range tests {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		rec, err := tape.Read(l, "x", bytes.NewReader(tt.src))
		if err != nil {
			t.Fatal(err)
		}
		runtime.GC()
		runtime.ReadMemStats(&after)
		kept := float64(int64(after.HeapAlloc) - int64(before.HeapAlloc))
		if ratio := kept / float64(len(tt.src)); ratio > tt.most {
			t.Errorf("%s: %.0f bytes kept for a file of %d, %.1f times as many; want at most %.1f times", tt.name, kept, len(tt.src), ratio, tt.most)
		} else {
			t.Logf("%s: %.2f times the file", tt.name, ratio)
		}
		runtime.KeepAlive(rec)
	}
}
