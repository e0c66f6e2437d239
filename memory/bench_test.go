package memory

import (
	"fmt"
	"testing"
)

// packed is two areas too far apart for a slot to be the address.
func packed() Geometry {
	g := halves()
	g.AddrBits = 40
	g.Areas = append(g.Areas, Area{Name: "FAR", First: 1 << 32, Last: 1<<32 + 0o7777, Width: 18, Parity: g.Areas[0].Parity})
	return g
}

func BenchmarkStore(b *testing.B) {
	tests := []struct {
		name string
		g    Geometry
		jam  string
	}{
		{"direct", halves(), ""},
		{"packed", packed(), ""},
		{"jammed", halves(), "on each word"},
		{"beside", halves(), "on other words"},
		{"slow", halves(), "with memory"},
		{"units", octets(true), ""},
	}
	for _, tt := range tests {
		s := NewStore(tt.g, 1)
		step := Addr(tt.g.Step())
		for a := Addr(0); a < 1024*step; a += step {
			s.Write(a, Word(a))
			for _, j := range map[string][]Jam{
				"on each word":   {{Addr: a, Column: 7, Value: 1}},
				"on other words": {{Addr: a + 0o4000, Column: 7, Value: 1}, {Fault: NeverRises, Addr: a + 0o4000, Column: 3}},
				"with memory":    {{Fault: NeverRises, Addr: a, Column: 3}},
			}[tt.jam] {
				if err := s.Put(j); err != nil {
					b.Fatal(err)
				}
			}
		}
		b.Run(tt.name+"/read", func(b *testing.B) {
			b.ReportAllocs()
			var sum Word
			var a Addr
			for b.Loop() {
				w, _ := s.Read(a & (1024*step - 1))
				sum += w
				a += step
			}
			_ = sum
		})
		b.Run(tt.name+"/write", func(b *testing.B) {
			b.ReportAllocs()
			var a Addr
			for b.Loop() {
				s.Write(a&(1024*step-1), Word(a))
				a += step
			}
		})
	}
}

// BenchmarkPieces reads and writes where the store has to cut words up.
func BenchmarkPieces(b *testing.B) {
	s := NewStore(octets(true), 1)
	for a := Addr(0); a < 4096; a += 4 {
		s.Write(a, Word(a))
	}
	for _, bits := range []int{8, 16, 32} {
		b.Run(fmt.Sprintf("read %d", bits), func(b *testing.B) {
			b.ReportAllocs()
			for a := Addr(0); b.Loop(); a += 3 {
				s.ReadPart(a&2047|1, bits)
			}
		})
		b.Run(fmt.Sprintf("write %d", bits), func(b *testing.B) {
			b.ReportAllocs()
			for a := Addr(0); b.Loop(); a += 3 {
				s.WritePart(a&2047|1, bits, Word(a))
			}
		})
	}
}

// BenchmarkSnapshot takes a snapshot after each write to one page of 16,384 words: the other pages are shared.
func BenchmarkSnapshot(b *testing.B) {
	s := NewStore(halves(), 1)
	for b.Loop() {
		s.Write(5, 5)
		s.Snapshot()
	}
}
