package memory

// A Direct is a run of a store's words laid open, for a processor core that takes orders in great number: plain words can be
// read and written without a call. What stands at address First+i has index i; where addresses count units, a word has the
// index of its first unit, and the others are never plain. The slices belong to the store and stay the same as long as it
// lives.
//
// Whoever uses it keeps three rules. A word is read only where its State is PlainRead under ReadMask; it is written only
// where its State is PlainWrite under WriteMask, within Mask; and a write goes with Owe. What is not plain goes by Read and
// Write.
type Direct struct {
	First  Addr
	Words  []Word
	States []State
	Mask   Word // of a word's data bits
	layout *layout
	base   uint64 // slot of the first
	dirty  []bool // by page
}

// A State is what decides how a word is read and written.
type State = flag

// What a State is held against.
const (
	ReadMask   = flagWritten | notPlain
	PlainRead  = flagWritten
	WriteMask  = flagWritten | notPlain | flagMarked | flagOpen
	PlainWrite = flagWritten | flagOpen

	// A word is Open under OpenMask where Write stores it and nobody is told.
	OpenMask = flagOpen | flagMarked
	Open     = flagOpen
)

// Direct lays open the words round a: all of the store where its addresses are near one another, else the area that a lies
// in. It is not ok where nothing answers at a.
func (s *Store) Direct(a Addr) (d Direct, ok bool) {
	p := s.place(a)
	if p == nil {
		return Direct{}, false
	}
	d = Direct{Words: s.raw, States: s.flags, Mask: Mask(s.layout.geometry.Width), layout: s.layout, dirty: s.dirty}
	if !s.layout.direct {
		last := p.base + int(p.length)
		d.First, d.base, d.Words, d.States = p.first, uint64(p.base), s.raw[p.base:last:last], s.flags[p.base:last:last]
	}
	return d, true
}

// Part finds the piece of the given bits that begins at unit a: the index of the word it lies in, and how far left in it. It is
// not ok where it lies in two words, or in none of these.
func (d *Direct) Part(a Addr, bits int) (i uint64, left int, ok bool) {
	inside := a % d.layout.step
	left = int(inside) * d.layout.unit
	over := d.layout.geometry.Width - left - bits
	if !d.layout.geometry.LowFirst {
		left = over
	}
	i = uint64(a - inside - d.First)
	return i, left, over >= 0 && i < uint64(len(d.Words))
}

// open marks the words that a processor may write as they come.
func (s *Store) open() {
	for i := range s.layout.placed {
		p := &s.layout.placed[i]
		if p.Wired || p.Width != s.layout.geometry.Width {
			continue
		}
		for slot := p.base; slot < p.base+int(p.length); slot += int(s.layout.step) {
			s.flags[slot] |= flagOpen
		}
	}
}

// Close lets the words from first to last be plain to read at most, from now on: whoever uses a Direct writes them by Write.
func (s *Store) Close(first, last Addr) {
	for i := range s.layout.placed {
		p := &s.layout.placed[i]
		for a := max(first, p.first); a <= last && a-p.first < Addr(p.length); a++ {
			s.flags[p.slot(a)] &^= flagOpen
		}
	}
}

// Owe notes that the word of index i was written: its parity is owed, to be made when somebody asks for it, and a snapshot
// must take it.
func (d *Direct) Owe(i uint64) {
	d.States[i] |= flagOwed
	d.dirty[(d.base+i)>>pageShift] = true
}

// CountRead counts a read of the word at a, as Read does, for whoever knows already what Read would give.
func (s *Store) CountRead(a Addr) {
	p := s.place(a)
	if p == nil {
		return
	}
	slot := p.slot(a)
	switch f := s.flags[slot]; {
	case f&flagJammed == 0 && f&flagInside == 0:
	case f&flagWritten == 0 || f&flagHooked != 0:
		s.Read(a)
	default:
		s.settle(p, a, slot)
		area, stored, j := &s.areas[p.number], cells{s.raw[slot], s.columns[slot]}, s.jamAt(slot)
		if len(area.always) == 0 {
			j.count(j.through(stored) != stored)
			return
		}
		if j != nil {
			j.count(area.through(j.through(stored)) != stored)
		}
		area.count(p, stored)
	}
}

// Hooked tells whether a read or write of the word at a is more than it seems: a jam there remembers something, or asks for
// the time. Such a word is read and written by Read and Write alone, each once.
func (s *Store) Hooked(a Addr) bool {
	if len(s.hooks) == 0 {
		return false
	}
	for _, c := range s.layout.cut(a, s.layout.geometry.Width) {
		if p := s.place(c.addr); c.mask != 0 && p != nil && s.flags[p.slot(c.addr)]&flagHooked != 0 {
			return true
		}
	}
	return len(s.steering) > 0
}

// settle makes the parity that is owed for the word at a, which has this slot.
func (s *Store) settle(p *placed, a Addr, slot int) {
	if s.flags[slot]&flagOwed != 0 {
		s.columns[slot] = p.columns(a, s.raw[slot])
		s.flags[slot] &^= flagOwed
	}
}
