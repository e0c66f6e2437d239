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
	if len(s.steering) > 0 {
		return s.joinFar(shares, a, bits)
	}
	if !s.answers(shares) {
		return 0, NoReply
	}
	var reached [2]Addr
	for i, c := range shares {
		reached[i] = c.addr
		if c.mask != 0 {
			word, remarks := s.readOther(c.addr)
			piece |= c.from(word)
			st |= remarks
		}
	}
	if st&NoReply != 0 {
		return 0, NoReply
	}
	return piece, s.lessWritten(st, shares, reached, a, bits)
}

// joinFar reads a piece down address lines that may lead to other words.
func (s *Store) joinFar(shares [2]share, a Addr, bits int) (piece Word, st Status) {
	var reached [2]Addr
	for i, c := range shares {
		if c.mask != 0 {
			v := s.look(s.place(c.addr), c.addr, true)
			piece |= c.from(v.seen)
			st |= v.status
			reached[i] = v.at
		}
	}
	if st&NoReply != 0 {
		return 0, NoReply
	}
	return piece, s.lessWritten(st, shares, reached, a, bits)
}

// scatter writes a piece.
func (s *Store) scatter(a Addr, bits int, piece Word) Status {
	shares := s.layout.cut(a, bits)
	var targets [2]target
	for i, c := range shares {
		if c.mask == 0 {
			continue
		}
		p, at, st := s.reach(c.addr, true)
		switch {
		case st != 0:
			return st
		case p.Wired:
			return Protected
		}
		targets[i] = target{p, at, c.addr}
	}
	s.flagUnits(targets, a, bits)
	// Whoever is told of a change must find the whole piece in place.
	var before [2]view
	for i, c := range shares {
		if c.mask != 0 {
			before[i] = s.merge(c, targets[i], piece)
		}
	}
	for i, c := range shares {
		if c.mask != 0 {
			s.tell(targets[i].placed, targets[i].addr, before[i])
		}
	}
	return 0
}

// flagUnits flags the units of a piece that is being written. Where all its words are written nobody asks.
func (s *Store) flagUnits(targets [2]target, a Addr, bits int) {
	written := true
	for _, t := range targets {
		written = written && (t.placed == nil || s.flags[t.placed.slot(t.addr)]&flagWritten != 0)
	}
	if written || s.layout.step == 1 {
		return
	}
	for i := range bits / s.layout.unit {
		u := (a + Addr(i)) & Addr(Mask(s.layout.geometry.AddrBits))
		for _, t := range targets {
			if inside := u % s.layout.step; t.placed != nil && t.sent == u-inside {
				slot := t.placed.slot(t.addr) + int(inside)
				s.flags[slot] |= flagUnit
				s.dirty[slot>>pageShift] = true
			}
		}
	}
}

// merge puts the share of a piece into the word it has come to, and gives the word as it was if tell will ask.
func (s *Store) merge(c share, t target, piece Word) (before view) {
	p, slot := t.placed, t.placed.slot(t.addr)
	flags := s.flags[slot]
	if flags&(flagWritten|flagMarked|flagHooked) == flagWritten {
		s.set(p, t.addr, slot, c.into(s.raw[slot], piece)&p.mask, flagWritten)
		s.spoil(p, slot)
		return view{}
	}
	before = s.watch(p, t.addr, slot)
	f := flagBegun
	if flags&flagWritten != 0 || s.layout.step == 1 || s.complete(slot) {
		f = flagWritten
	}
	if flags&flagHooked != 0 {
		s.deposit(t, c.mask, c.into(0, piece), f)
		return before
	}
	old, _ := s.stored(p, t.addr, slot)
	s.set(p, t.addr, slot, c.into(old.data, piece)&p.mask, f)
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

// lessWritten is what there is to remark of a piece, given what there is of the words that were reached for its shares: where
// the units that were never written are others, NeverWritten is taken away.
func (s *Store) lessWritten(st Status, shares [2]share, reached [2]Addr, a Addr, bits int) Status {
	if st&NeverWritten == 0 || s.layout.step == 1 {
		return st
	}
	for i := range bits / s.layout.unit {
		u := (a + Addr(i)) & Addr(Mask(s.layout.geometry.AddrBits))
		inside := u % s.layout.step
		at := reached[0]
		if shares[0].addr != u-inside {
			at = reached[1]
		}
		if word := s.place(at).slot(at); s.flags[word+int(inside)]&flagUnit == 0 && s.flags[word]&flagWritten == 0 {
			return st
		}
	}
	return st &^ NeverWritten
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
