package overlay

import (
	"iter"

	"coldstart/memory"
)

// A Dump is what was read out of a store: its words, and the parity columns that stood beside them where the way they were
// read gives those too.
type Dump struct {
	Words *memory.Image
	// Columns are the parity columns by the address of their word: bit i is parity column i of its area, as in
	// memory.Area.ParityBits. A word that is not in it was dumped without.
	Columns map[memory.Addr]memory.Word
}

// Of dumps a whole store of geometry g, wired areas too, as a reader of its cells finds it: every column through the jams
// that are in, none corrected, words that nothing wrote with what they hold. The store is not altered, and no read counted.
func Of(g memory.Geometry, s *memory.Store) *Dump {
	d := &Dump{Words: memory.NewImage(g), Columns: map[memory.Addr]memory.Word{}}
	for area, a := range words(&g) {
		var w, columns memory.Word
		for c := range area.Columns() {
			_, bit, _ := s.Column(a, c)
			if c < area.Width {
				w |= memory.Word(bit) << c
			} else {
				columns |= memory.Word(bit) << (c - area.Width)
			}
		}
		if d.Words.Set(a, w, memory.Origin{}) == nil && len(area.Parity) > 0 {
			d.Columns[a] = columns
		}
	}
	return d
}

// words goes through all words of a store in the order of their addresses.
func words(g *memory.Geometry) iter.Seq2[*memory.Area, memory.Addr] {
	step := memory.Addr(g.Step())
	return func(yield func(*memory.Area, memory.Addr) bool) {
		for i := range g.Areas {
			area := &g.Areas[i]
			n := (uint64(area.Last-area.First) + 1) / uint64(step)
			for k := range n {
				if !yield(area, area.First+memory.Addr(k)*step) {
					return
				}
			}
		}
	}
}
