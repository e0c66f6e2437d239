package memory

// A wrongness is which parity columns the write under way makes wrong on purpose; zero: none.
type wrongness struct {
	on     bool
	column string // by name; empty: every one
}

// WriteWrong does as Write does, but makes parity column column of the word wrong, or every one where no column is named: a
// read then shows it as it shows a word that went bad. Where the area corrects, the check bits point where such columns
// point: at the column itself if it is one, else at whatever bit they all point at together, or at none. Where a is inside a
// word, both words that it lies in are made wrong. The next write of any part of the word makes its parity right.
func (s *Store) WriteWrong(a Addr, w Word, column string) Status {
	s.wrong = wrongness{true, column}
	st := s.scatter(a, s.layout.geometry.Width, w)
	s.wrong = wrongness{}
	return st
}

// spoil makes the parity of a word of p that was just set wrong, where that is wanted.
func (s *Store) spoil(p *placed, slot int) {
	if turned := p.turned(s.wrong); turned != 0 {
		s.columns[slot] ^= turned
		s.flags[slot] |= flagSpoilt
	}
}

// turned is the parity columns that are to be wrong, as bits.
func (p *placed) turned(w wrongness) (columns uint16) {
	if !w.on {
		return 0
	}
	for i := range p.Parity {
		if w.column == "" || w.column == p.Parity[i].Name {
			columns |= 1 << i
		}
	}
	return columns
}
