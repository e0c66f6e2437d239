package memory

// A Direct is a store's words laid open, for a processor core that takes orders in great number: plain words can be read and
// written without a call. Word i stands at address First+i. The slices belong to the store and stay the same as long as it
// lives.
//
// Whoever uses it keeps three rules. A word is read only where its State is PlainRead under ReadMask; it is written only
// where its State is PlainWrite under WriteMask, within Mask; and a write goes with Owe. What is not plain goes by Read and
// Write.
type Direct struct {
	First  Addr
	Words  []Word
	States []State
	Mask   Word   // of a word's data bits
	dirty  []bool // by page
}

// A State is what decides how a word is read and written.
type State = flag

// What a State is held against.
const (
	ReadMask   = flagWritten | flagJammed
	PlainRead  = flagWritten
	WriteMask  = flagWritten | flagJammed | flagMarked | flagOpen
	PlainWrite = flagWritten | flagOpen

	// A word is Open under OpenMask where Write stores it and nobody is told.
	OpenMask = flagOpen | flagMarked
	Open     = flagOpen
)

// Direct lays the words open; not ok where the addresses of the store are too far apart for that, or count units of a word.
func (s *Store) Direct() (d Direct, ok bool) {
	g := &s.layout.geometry
	if !s.layout.direct || g.Unit != 0 {
		return Direct{}, false
	}
	return Direct{Words: s.raw, States: s.flags, Mask: Mask(g.Width), dirty: s.dirty}, true
}

// open marks the words that a processor may write as they come.
func (s *Store) open() {
	for i := range s.layout.placed {
		p := &s.layout.placed[i]
		if p.Wired || p.Width != s.layout.geometry.Width {
			continue
		}
		for slot := p.base; slot < p.base+int(p.length); slot++ {
			s.flags[slot] |= flagOpen
		}
	}
}

// Owe notes that word i was written: its parity is owed, to be made when somebody asks for it, and a snapshot must take it.
func (d *Direct) Owe(i uint64) {
	d.States[i] |= flagOwed
	d.dirty[i>>pageShift] = true
}

// settle makes the parity that is owed for the word at a, which has this slot.
func (s *Store) settle(p *placed, a Addr, slot int) {
	if s.flags[slot]&flagOwed != 0 {
		s.columns[slot] = p.columns(a, s.raw[slot])
		s.flags[slot] &^= flagOwed
	}
}
