package memory

// OnChange has f called after every change of a marked word, once for each. There is one such f: a later one takes its
// place, nil takes it away. While f runs it may read, mark and unmark, but not write or jam.
func (s *Store) OnChange(f func(a Addr)) { s.onChange = f }

// Mark asks for the word at a to be watched, until Unmark; where a is inside a word, both words that Read joins there, each
// told of by its own address. It reports whether the word is plain: written, with no jam on it. As long as no change is
// told of a plain word, Read gives the same word with nothing to remark, and no read of it is counted, so that whoever
// knows the word need not read it again. Words that are not marked cost nothing.
//
// A change is: another word seen, another thing to remark (the first write is one, whatever is written), the first jam of the
// word put in or its last taken out, whether it alters the word or not, or that it becomes Hooked or is so no longer. Where
// nothing answers, to any part of it, there is nothing to mark. Of a word that is Hooked what time, chance or a wrong
// address line does is not told.
func (s *Store) Mark(a Addr) (plain bool) {
	shares := s.layout.cut(a, s.layout.geometry.Width)
	if !s.answers(shares) {
		return false
	}
	plain = true
	for _, c := range shares {
		if c.mask != 0 {
			f := &s.flags[s.place(c.addr).slot(c.addr)]
			*f |= flagMarked
			plain = plain && *f&(flagWritten|notPlain) == flagWritten
		}
	}
	return plain
}

// Unmark ends the watching of what Mark watches at a.
func (s *Store) Unmark(a Addr) {
	shares := s.layout.cut(a, s.layout.geometry.Width)
	if !s.answers(shares) {
		return
	}
	for _, c := range shares {
		if c.mask != 0 {
			s.flags[s.place(c.addr).slot(c.addr)] &^= flagMarked
		}
	}
}

// tell calls the hook if the word at a is marked and no longer looks as it did before.
func (s *Store) tell(p *placed, a Addr, before view) {
	if s.onChange == nil || s.flags[p.slot(a)]&flagMarked == 0 {
		return
	}
	after := s.view(p, a)
	if after.seen != before.seen || after.status != before.status || after.jams != before.jams {
		s.onChange(a)
	}
}
