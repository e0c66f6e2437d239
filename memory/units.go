package memory

// A share is what one word has of a piece of store that may lie in two.
type share struct {
	addr  Addr // of the word
	mask  Word // the bits of the word that belong to the piece; 0: none
	shift int  // how far left of its place in the piece a bit is in the word
}

// from is what a word gives to the piece.
func (c share) from(word Word) Word { return shifted(word&c.mask, -c.shift) }

// into is a word with its share of the piece put into it.
func (c share) into(word, piece Word) Word { return word&^c.mask | shifted(piece, c.shift)&c.mask }

// shifted is w moved left, or right where the number of bits is negative.
func shifted(w Word, left int) Word {
	if left < 0 {
		return w >> uint(-left)
	}
	return w << uint(left)
}

// cuts is whether pieces of so many bits can be had.
func (l *layout) cuts(bits int) bool {
	return bits > 0 && bits <= l.geometry.Width && bits%l.unit == 0
}

// cut finds the words that the units of a piece from a on lie in: the word that a lies in, and the next one, which has no
// share unless the piece runs past the end of the first.
//
// One counts the bits from the end of the words that the units begin at: laid side by side as they are addressed, the
// right-hand word's bits are shifted as they lie, the other's by the width of a word more.
func (l *layout) cut(a Addr, bits int) [2]share {
	if l.step == 1 {
		return [2]share{{addr: a, mask: ^Word(0)}}
	}
	g := &l.geometry
	skipped := int(a%l.step) * l.unit // bits of the first word before the piece
	first := share{addr: a - a%l.step, shift: skipped}
	next := share{addr: (first.addr + l.step) & Addr(Mask(g.AddrBits)), shift: skipped - g.Width}
	if !g.LowFirst {
		first.shift = g.Width - skipped - bits
		next.shift = first.shift + g.Width
	}
	first.mask = shifted(Mask(bits), first.shift) & Mask(g.Width)
	next.mask = shifted(Mask(bits), next.shift) & Mask(g.Width)
	return [2]share{first, next}
}

// ReadPart gives the piece of the given bits that begins at a, right-aligned, and what there is to remark. Parity is of
// whole words, so a piece has the parity trouble of every word it lies in, and a read of it counts as one of the word;
// NeverWritten is remarked of the units of the piece alone. A width that is not a number of units, or more than a word, is
// not to be had: NoReply.
func (s *Store) ReadPart(a Addr, bits int) (Word, Status) {
	if !s.layout.cuts(bits) {
		return 0, NoReply
	}
	if bits == s.layout.geometry.Width {
		return s.Read(a)
	}
	return s.join(a, bits)
}

// WritePart stores the low bits of w from a on, cut to the width of the area, and makes the parity of the words they lie
// in anew from what is stored: the cells of other units stay as they are, jams or not. It gives NoReply, as ReadPart does,
// or Protected where any of it is wired store, and then changes nothing.
func (s *Store) WritePart(a Addr, bits int, w Word) Status {
	if !s.layout.cuts(bits) {
		return NoReply
	}
	if bits == s.layout.geometry.Width {
		return s.Write(a, w)
	}
	return s.scatter(a, bits, w)
}

// answers is whether all words of a piece answer.
func (s *Store) answers(shares [2]share) bool {
	for _, c := range shares {
		if c.mask != 0 && s.place(c.addr) == nil {
			return false
		}
	}
	return true
}

// join reads a piece.
func (s *Store) join(a Addr, bits int) (piece Word, st Status) {
	shares := s.layout.cut(a, bits)
	if !s.answers(shares) {
		return 0, NoReply
	}
	for _, c := range shares {
		if c.mask != 0 {
			word, remarks := s.readOther(c.addr)
			piece |= c.from(word)
			st |= remarks
		}
	}
	return piece, s.lessWritten(st, a, bits)
}

// scatter writes a piece.
func (s *Store) scatter(a Addr, bits int, piece Word) Status {
	shares := s.layout.cut(a, bits)
	for _, c := range shares {
		if c.mask == 0 {
			continue
		}
		switch p := s.place(c.addr); {
		case p == nil:
			return NoReply
		case p.Wired:
			return Protected
		}
	}
	s.flagUnits(shares, a, bits)
	// Whoever is told of a change must find the whole piece in place.
	var before [2]view
	for i, c := range shares {
		if c.mask != 0 {
			before[i] = s.merge(c, piece)
		}
	}
	for i, c := range shares {
		if c.mask != 0 {
			s.tell(s.place(c.addr), c.addr, before[i])
		}
	}
	return 0
}

// flagUnits flags the units of a piece that is being written. Where all its words are written nobody asks.
func (s *Store) flagUnits(shares [2]share, a Addr, bits int) {
	written := true
	for _, c := range shares {
		written = written && (c.mask == 0 || s.flags[s.place(c.addr).slot(c.addr)]&flagWritten != 0)
	}
	if written {
		return
	}
	for i := range bits / s.layout.unit {
		slot := s.unitSlot(a, i)
		s.flags[slot] |= flagUnit
		s.dirty[slot>>pageShift] = true
	}
}

// merge puts the share of a piece into its word, and gives the word as it was if tell will ask.
func (s *Store) merge(c share, piece Word) (before view) {
	p := s.place(c.addr)
	slot := p.slot(c.addr)
	if s.flags[slot]&(flagWritten|flagMarked) == flagWritten {
		s.set(p, c.addr, slot, c.into(s.raw[slot], piece)&p.mask, flagWritten)
		s.spoil(p, slot)
		return view{}
	}
	before = s.view(p, c.addr)
	f := flagBegun
	if before.status&NeverWritten == 0 || s.complete(slot) {
		f = flagWritten
	}
	s.set(p, c.addr, slot, c.into(before.stored.data, piece)&p.mask, f)
	s.spoil(p, slot)
	return before
}

// complete is whether pieces have written all units of the word of a slot.
func (s *Store) complete(slot int) bool {
	for _, f := range s.flags[slot : slot+int(s.layout.step)] {
		if f&flagUnit == 0 {
			return false
		}
	}
	return true
}

// lessWritten is what there is to remark of a piece, given what there is of its words: where the units that were never
// written are others, NeverWritten is taken away.
func (s *Store) lessWritten(st Status, a Addr, bits int) Status {
	if st&NeverWritten == 0 || s.layout.step == 1 {
		return st
	}
	for i := range bits / s.layout.unit {
		slot := s.unitSlot(a, i)
		word := slot - int((a+Addr(i))%s.layout.step)
		if s.flags[slot]&flagUnit == 0 && s.flags[word]&flagWritten == 0 {
			return st
		}
	}
	return st &^ NeverWritten
}

// unitSlot is the slot of unit i of a piece that begins at a, all of which answers.
func (s *Store) unitSlot(a Addr, i int) int {
	a = (a + Addr(i)) & Addr(Mask(s.layout.geometry.AddrBits))
	return s.place(a).slot(a)
}

// flagInsides flags the slots that no word begins with, so that an access at the address of one needs no division to tell.
func (s *Store) flagInsides() {
	for i := range s.layout.placed {
		p := &s.layout.placed[i]
		for n := range p.length {
			if Addr(n)%s.layout.step != 0 {
				s.flags[p.base+int(n)] |= flagInside
			}
		}
	}
}
