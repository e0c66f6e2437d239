package memory

// count notes a read of a word with jams of its own.
func (j *jammed) count(altered bool) {
	j.reads++
	if altered {
		j.altered++
	}
}

// count notes a read of a word for the jams of many words, given what its cells hold.
func (j *areaJams) count(p *placed, stored cells) {
	for _, h := range j.always {
		h.note(true, stored.column(p.Width, h.Column) != h.shows(p))
	}
}

// note notes a read for the jams of many words, given what its cells hold and what their columns gave.
func (j *areaJams) note(p *placed, stored, given cells) {
	j.count(p, stored)
	if j.open > 0 {
		j.sense = given
	}
}

// through shows a word through the chips and read lines that are always stuck; the lines come last.
func (j *areaJams) through(c cells) cells { return j.line.through(j.chip.through(c)) }

// steer is the address that reaches the plug-ins of the one that is sent. Every line draws for itself at every access, whether it
// would change this address or not, so that the draws of one jam do not hang on another's.
func (s *Store) steer(a Addr, counted bool) Addr {
	for _, h := range s.steering {
		if !h.fires(counted) {
			h.note(counted, false)
			continue
		}
		was, bits := a, Addr(1)<<h.Column
		value := h.Value == 1
		if h.Fault == AddressTied {
			bits |= 1 << h.With
			value = a&bits == bits || (h.Value == 1 && a&bits != 0)
		}
		a &^= bits
		if value {
			a |= bits
		}
		h.note(counted, a != was)
	}
	return a
}

// reach finds the word that an access to the one at a comes to; it is NoReply where nothing answers.
func (s *Store) reach(a Addr, counted bool) (p *placed, at Addr, st Status) {
	at = s.steer(a, counted)
	if p = s.place(at); p == nil {
		return nil, at, NoReply
	}
	for _, h := range s.areas[p.number].hooks {
		if h.Fault == NoSelect {
			dead := h.fires(counted)
			h.note(counted, dead)
			if dead {
				return nil, at, NoReply
			}
		}
	}
	return p, at, 0
}

// lookHooked goes on looking at the word at a where jams are more than masks; v is what is stored at that address. A word comes
// to its reader by the same stations as in hardware, each of which may spoil it: the address lines, the select, the cells
// (faded by now, stuck, beside another cell), the chips, the columns, the read lines. Only then is parity checked, over the
// address that was asked for: that is all the reader knows.
//
// A look that is not counted goes the same way and leaves no trace: it shows what the next read would.
func (s *Store) lookHooked(v view, a Addr, counted bool) view {
	p, at, st := s.reach(a, counted)
	v.at = at
	if st != 0 {
		v.shown, v.seen, v.status = cells{}, 0, st
		return v
	}
	slot := p.slot(at)
	j, area := s.jamAt(slot), &s.areas[p.number]
	// The row fades, if it does, before anything reads it: to read it is to refresh it.
	if counted {
		s.refresh(j)
	}
	var c cells
	c, v.status = s.stored(p, at, slot)
	c = s.faded(j, p, c, counted)
	held := c
	c = s.shaded(j, at, j.shows(p, c, counted), counted)
	c = area.chips(p, c, counted)
	c = j.sensed(p, c, area.sense, counted)
	if counted {
		area.note(p, held, c)
	}
	v.shown = area.lines(p, c, counted)
	if counted && j != nil {
		j.count(v.shown != held)
	}
	v.seen, v.status = p.judge(v.shown, a, v.status)
	return v
}

// shows is what the cells of a word show, some of them stuck.
func (j *jammed) shows(p *placed, c cells, counted bool) cells {
	if j == nil {
		return c
	}
	c = j.through(c)
	for _, h := range j.hooks {
		if h.Fault == Stuck {
			c = h.stick(p, c, counted)
		}
	}
	return c
}

// sensed is what is sensed of a word: of its stuck-open cells, what their columns gave last. The column is the sense line of
// one plug-in: what a stuck-open cell repeats comes from another word on it, as the theory of march tests has it.
func (j *jammed) sensed(p *placed, c, last cells, counted bool) cells {
	if j == nil {
		return c
	}
	for _, h := range j.hooks {
		if h.Fault != StuckOpen {
			continue
		}
		open := h.fires(counted)
		before := c
		if open {
			c = c.withColumn(p.Width, h.Column, last.column(p.Width, h.Column))
		}
		h.note(counted, c != before)
	}
	return c
}

// chips shows a word through the chips that are stuck.
func (j *areaJams) chips(p *placed, c cells, counted bool) cells {
	return j.stuck(p, j.chip.through(c), ChipStuck, counted)
}

// lines shows a word through the read lines that are stuck.
func (j *areaJams) lines(p *placed, c cells, counted bool) cells {
	return j.stuck(p, j.line.through(c), ReadLine, counted)
}

// stuck shows a word through the jams of a kind that are hooked, those with a chance among them.
func (j *areaJams) stuck(p *placed, c cells, kind Fault, counted bool) cells {
	for _, h := range j.hooks {
		if h.Fault == kind {
			c = h.stick(p, c, counted)
		}
	}
	return c
}

// stick makes the column of the jam its value, if it acts.
func (h *hook) stick(p *placed, c cells, counted bool) cells {
	before := c
	if h.fires(counted) {
		c = c.withColumn(p.Width, h.Column, h.shows(p))
	}
	h.note(counted, c != before)
	return c
}

// withColumn is the cells with one column made a value, in a word of width data bits.
func (c cells) withColumn(width, column, value int) cells {
	if value == 1 {
		return c.with(cellOf(width, column))
	}
	return c.without(cellOf(width, column))
}

// A target is a word that a write has come to.
type target struct {
	placed *placed
	addr   Addr // of the word reached
	sent   Addr // the address asked for
}

// deposit writes the given bits of a word where jams are more than masks. What comes over the write lines is what parity is made
// of, so that a wrong line leaves it right; what the cells then fail to take leaves it wrong. The address it is made over
// is the one that was sent. Couplings come last, when the whole word is in place: they may be of two of its own cells.
func (s *Store) deposit(t target, written, w Word, f flag) {
	p, slot := t.placed, t.placed.slot(t.addr)
	j, area := s.jamAt(slot), &s.areas[p.number]
	s.refresh(j)
	old, _ := s.stored(p, t.addr, slot)
	w = area.driven(w, written)
	want := cells{data: old.data&^written | w&written&p.mask}
	want.columns = p.columns(t.sent, want.data) ^ p.turned(s.wrong)
	now := j.keeps(p, old, want)
	s.keep(p, t.addr, slot, now, f)
	s.disturb(t.addr, p, j, old, now)
}

// driven is what the write lines make of the bits that are written.
func (j *areaJams) driven(w, written Word) Word {
	for _, h := range j.hooks {
		bit := Word(1) << h.Column
		if h.Fault != WriteLine || written&bit == 0 {
			continue
		}
		before := w
		if h.fires(true) {
			w = w&^bit | Word(h.Value)<<h.Column
		}
		h.note(true, w != before)
	}
	return w
}

// keeps is what the cells of a word hold that held old and should hold want.
func (j *jammed) keeps(p *placed, old, want cells) cells {
	if j == nil {
		return want
	}
	now := want
	for _, h := range j.hooks {
		was, new := old.column(p.Width, h.Column), want.column(p.Width, h.Column)
		rises, falls := was != new && p.Cell(new) == 1, was != new && p.Cell(new) == 0
		switch {
		case h.Fault == NeverRises && rises, h.Fault == NeverFalls && falls, h.Fault == StuckOpen:
			stays := h.fires(true)
			if stays {
				now = now.withColumn(p.Width, h.Column, was)
			}
			h.note(true, stays && was != new)
		}
	}
	return now
}

// keep makes the cells of the word at a, which has this slot, hold what they are given, as written or only begun. Plain words are
// read without a look at their parity, so one whose parity does not fit must not be plain, jam or no jam.
func (s *Store) keep(p *placed, a Addr, slot int, c cells, f flag) {
	s.set(p, a, slot, c.data, f)
	if s.columns[slot] != c.columns {
		s.columns[slot] = c.columns
		s.flags[slot] |= flagSpoilt
	}
}
