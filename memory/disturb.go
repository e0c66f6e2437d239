package memory

import "iter"

// Clock gives the store the time to ask for, in any unit, never falling but when a snapshot is put back; nil takes it away,
// and time stands still. It is asked only where a row fades.
func (s *Store) Clock(now func() int64) { s.clock = now }

// disturb does what couplings do after a write to the word at a, the jams of which are j. An aggressor is felt as it is, not as it
// was to be: one that is stuck never changes, and so disturbs nothing.
func (s *Store) disturb(a Addr, p *placed, j *jammed, old, now cells) {
	if j == nil {
		return
	}
	was, is := j.through(old), j.through(now)
	for _, h := range j.hooks {
		by := h.By.Addr == a
		on := p.Cell(h.On)
		becomes := by && was.column(p.Width, h.By.Column) != on && is.column(p.Width, h.By.Column) == on
		switch {
		case h.Fault == Inverts && becomes, h.Fault == Disturbs && by:
			s.strike(h, true)
		case h.Fault == Forces && becomes:
			s.strike(h, false)
		case h.Fault == Holds:
			s.hold(h)
		}
	}
}

// hold makes the victim of a state coupling what it must be.
func (s *Store) hold(h *hook) {
	if h.Fault == Holds && s.on(h) {
		s.strike(h, false)
	}
}

// on is whether the aggressor of a state coupling is as it must be to act.
func (s *Store) on(h *hook) bool {
	p := s.layout.find(h.By.Addr)
	slot := p.slot(h.By.Addr)
	c, _ := s.stored(p, h.By.Addr, slot)
	j := s.jamAt(slot)
	return j.through(s.faded(j, p, c, false)).column(p.Width, h.By.Column) == p.Cell(h.On)
}

// shaded is what the cells of the word at a show beside aggressors that are on.
func (s *Store) shaded(j *jammed, a Addr, c cells, counted bool) cells {
	if j == nil {
		return c
	}
	for _, h := range j.hooks {
		if h.Fault == Shades && h.Addr == a && s.on(h) {
			c = h.stick(s.place(a), c, counted)
		}
	}
	return c
}

// strike turns the victim of a coupling round, or makes it the value of the jam, if that acts. The victim's parity is left as it
// was, which is how such a fault is noticed; a victim never written is not written by this, though its cells are set.
func (s *Store) strike(h *hook, round bool) {
	p := s.layout.find(h.Addr)
	slot := p.slot(h.Addr)
	before := s.watch(p, h.Addr, slot)
	c, _ := s.stored(p, h.Addr, slot)
	was := c.column(p.Width, h.Column)
	to := p.Cell(h.Value)
	if round {
		to = 1 - was
	}
	acts := h.fires(true)
	h.note(true, acts && to != was)
	if acts && to != was {
		s.keep(p, h.Addr, slot, c.withColumn(p.Width, h.Column, to), flagBegun)
		s.tell(p, h.Addr, before)
	}
}

// watch is the look of a word if tell will ask for it.
func (s *Store) watch(p *placed, a Addr, slot int) view {
	if s.onChange == nil || s.flags[slot]&flagMarked == 0 {
		return view{}
	}
	return s.view(p, a)
}

// row goes through the addresses of the words that fade with a jam.
func (s *Store) row(j Jam) iter.Seq[Addr] {
	return func(yield func(Addr) bool) {
		p := s.layout.find(j.Addr)
		if p == nil {
			return
		}
		for n := uint64(0); n < p.length; n += uint64(s.layout.step) {
			if a := p.first + Addr(n); a&j.Rows == j.Addr&j.Rows && !yield(a) {
				return
			}
		}
	}
}

// due is whether a row has been left alone for too long.
func (s *Store) due(h *hook) bool {
	return h.touched != never && s.clock != nil && s.clock()-h.touched >= h.After
}

// refresh is a read or write of a word of rows that fade: what is due has happened before it, and time begins anew. Nothing is
// done when the time comes, only when somebody next looks: the store need not be told that time goes by.
func (s *Store) refresh(j *jammed) {
	if j == nil {
		return
	}
	for _, h := range j.hooks {
		if h.Fault == Fades {
			s.fade(h)
			if s.clock != nil {
				h.touched = s.clock()
			}
		}
	}
}

// fade lets a row fade if that is due, and if the jam acts.
func (s *Store) fade(h *hook) {
	if !s.due(h) {
		h.note(true, false)
		return
	}
	acts := h.fires(true)
	h.note(true, acts)
	if !acts {
		return
	}
	for a := range s.row(h.Jam) {
		p := s.place(a)
		slot := p.slot(a)
		before := s.watch(p, a, slot)
		s.keep(p, a, slot, p.all(h.Value), flagBegun)
		s.tell(p, a, before)
	}
}

// faded is what cells hold by now that nobody has read since they faded.
func (s *Store) faded(j *jammed, p *placed, c cells, counted bool) cells {
	if j == nil || counted {
		return c // refresh has seen to it
	}
	for _, h := range j.hooks {
		if h.Fault == Fades && s.due(h) && h.fires(false) {
			c = p.all(h.Value)
		}
	}
	return c
}

// all is a word of p all cells of which hold one value.
func (p *placed) all(value int) cells {
	if p.Cell(value) == 0 {
		return cells{}
	}
	return cells{p.mask, uint16(Mask(len(p.Parity)))}
}
