package memory

// Copy stores at a what the cells of another store of the same layout hold there, its parity columns as they are. It gives
// NoReply or, in a wired area, Protected, and then changes nothing. Where a jam that remembers is in the way, or a is no word,
// parity is made anew.
func (s *Store) Copy(from *Store, a Addr) Status {
	p, q := s.place(a), from.place(a)
	switch {
	case p == nil || q == nil:
		return NoReply
	case p.Wired:
		return Protected
	}
	slot := p.slot(a)
	c, _ := from.stored(q, a, q.slot(a))
	if s.flags[slot]&(flagInside|flagHooked) != 0 {
		return s.Write(a, c.data)
	}
	before := s.view(p, a)
	s.keep(p, a, slot, c, flagWritten)
	s.tell(p, a, before)
	return 0
}
