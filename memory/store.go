package memory

import (
	"fmt"
	"slices"
)

// A Store is an Image made writable and seen through its jams. It keeps the truth, what its cells hold, as raw bits with
// the parity made when they were written; a read shows these bits as the jams let them be seen, and its parity is checked
// as seen. Words are always as they are written and read, whatever an inverted area's cells hold: there a jam alone is turned
// round. It belongs to one goroutine: even a read may count.
type Store struct {
	layout *layout
	fill   uint64

	// By slot. Parity columns are not worked out when read, so that a cell of theirs can be jammed like any other.
	raw     []Word
	columns []uint16 // bit i is column Width+i
	flags   []flag

	direct []flag  // flags where a slot is the address, else nil
	recent *placed // the area last met: most accesses come in runs

	jams     []*jamPage        // by page; nil: no jam in it, nor ever was
	hooks    map[Jam]*hook     // by place, all jams but cells that are always stuck
	resting  map[Jam]hookState // jams out of force for now; nil: none ever were
	areas    []areaJams        // by number of the placed area
	steering []*hook           // of address lines; none: all are good
	clock    func() int64      // nil: time stands still
	onChange func(Addr)
	wrong    wrongness // of the write under way

	dirty []bool  // by page: written since kept was taken
	kept  []*page // by page: what the latest snapshot made or put back has there; nil: nothing written
}

// A flag is the state of one word that decides how it is read and written. Zero is a word never written, or a gap.
type flag uint16

const (
	flagWritten flag = 1 << iota
	flagJammed       // there is a jam on it: its own, or one of many words
	flagHooked       // some of them are more than masks
	flagSpoilt       // its parity columns are not those of its data bits
	flagMarked       // see Mark
	flagOpen         // a processor may write it, all bits of it: see Direct
	flagOwed         // columns do not hold its parity yet: see Direct

	// Only where addresses count units. A word of which not all units were written is kept as if it were, with the fill in
	// the others; flagUnit is in the slots of those that were.
	flagInside // the slot of a unit that no word begins with
	flagBegun  // some unit of the word was written
	flagUnit   // this unit was written by a piece

	flagKept = flagWritten | flagBegun | flagUnit | flagSpoilt // what a snapshot takes
	notPlain = flagJammed | flagSpoilt                         // beside a word never written
)

// NewStore makes a store of geometry g in which no word was ever written: such words read as Fill with the given seed, of
// right parity. Geometry g should be one that Check accepts: an area that it refuses does not answer.
func NewStore(g Geometry, fill uint64) *Store {
	l := newLayout(g)
	s := &Store{
		layout:  l,
		fill:    fill,
		raw:     make([]Word, l.slots),
		columns: make([]uint16, l.slots),
		flags:   make([]flag, l.slots),
		jams:    make([]*jamPage, l.pages()),
		dirty:   make([]bool, l.pages()),
		kept:    make([]*page, l.pages()),
		hooks:   map[Jam]*hook{},
		areas:   make([]areaJams, len(l.placed)),
	}
	if l.direct {
		s.direct = s.flags
	}
	if l.step > 1 {
		s.flagInsides()
	}
	s.open()
	return s
}

// Geometry is the geometry of the store. It is shared: nobody changes it.
func (s *Store) Geometry() *Geometry { return &s.layout.geometry }

// Read gives the word at a as the machine sees it, and what there is to remark about it: NoReply with word 0,
// NeverWritten, ParityWrong, Corrected. Reads of words with a jam are counted. Where addresses count units and a is inside
// a word, the word of units from a on is joined from that word and the next, which is at address 0 after the last address
// there is.
func (s *Store) Read(a Addr) (Word, Status) {
	// A plain word: one flag test and one load.
	if a < Addr(len(s.direct)) && s.direct[a]&(flagWritten|notPlain) == flagWritten {
		return s.raw[a], 0
	}
	return s.readOther(a)
}

// readOther reads a word that is not plain, or is not found by its address alone.
func (s *Store) readOther(a Addr) (Word, Status) {
	p := s.place(a)
	if p == nil {
		return s.readNowhere(a)
	}
	slot := p.slot(a)
	f := s.flags[slot]
	if f&(flagWritten|notPlain) == flagWritten {
		return s.raw[slot], 0
	}
	if f&flagInside != 0 {
		return s.join(a, s.layout.geometry.Width)
	}
	v := s.look(p, a, true)
	return v.seen, v.status
}

// readNowhere reads where nothing answers, unless a wrong address line leads from there to some word.
func (s *Store) readNowhere(a Addr) (Word, Status) {
	switch {
	case len(s.steering) == 0:
		return 0, NoReply
	case a%s.layout.step != 0:
		return s.join(a, s.layout.geometry.Width)
	}
	v := s.look(nil, a, true)
	return v.seen, v.status
}

// Write stores w at a, cut to the width of the area, and makes its parity. It gives NoReply or, in a wired area,
// Protected, and then changes nothing. Where a is inside a word, w is parted between the words that Read joins.
func (s *Store) Write(a Addr, w Word) Status {
	p := s.place(a)
	if p == nil {
		if len(s.steering) > 0 {
			return s.scatter(a, s.layout.geometry.Width, w)
		}
		return NoReply
	}
	slot := p.slot(a)
	switch f := s.flags[slot] & (flagMarked | flagInside | flagHooked); {
	case f&(flagInside|flagHooked) != 0:
		return s.scatter(a, s.layout.geometry.Width, w)
	case p.Wired:
		return Protected
	case f == 0:
		s.set(p, a, slot, w&p.mask, flagWritten)
	default:
		s.put(p, a, w&p.mask)
	}
	return 0
}

// Poke stores w at a as a person keys it in. The error, one sentence, says that nothing answers there, that a is inside
// a word, that the store is wired, or that w is too wide.
func (s *Store) Poke(a Addr, w Word) error {
	p, err := s.layout.word(a)
	switch {
	case err != nil:
		return err
	case p.Wired:
		return fmt.Errorf("%s at %s is wired store: it cannot be written", p.Name, s.layout.geometry.addr(a))
	case w&^p.mask != 0:
		return s.layout.tooWide(p, a, w)
	}
	s.put(p, a, w)
	return nil
}

// Load puts the words of an image in place, into wired areas too, and leaves all other words as they are. An image with a
// word that does not fit this store is refused whole.
func (s *Store) Load(im *Image) error {
	for a, e := range im.All() {
		p, err := s.layout.word(a)
		if err != nil {
			return err
		}
		if e.Word&^p.mask != 0 {
			return s.layout.tooWide(p, a, e.Word)
		}
	}
	for a, e := range im.All() {
		s.put(s.place(a), a, e.Word)
	}
	return nil
}

// Peek is the data word at a, or joined from a on, as its cells hold it and as the machine would see it, and what a read
// would remark. It counts nothing and changes nothing.
func (s *Store) Peek(a Addr) (stored, seen Word, st Status) {
	shares := s.layout.cut(a, s.layout.geometry.Width)
	var reached [2]Addr
	for i, c := range shares {
		if c.mask == 0 {
			continue
		}
		p := s.place(c.addr)
		if p == nil && len(s.steering) == 0 {
			return 0, 0, NoReply
		}
		v := s.view(p, c.addr)
		stored |= c.from(v.stored.data)
		seen |= c.from(v.seen)
		st |= v.status
		reached[i] = v.at
	}
	if st&NoReply != 0 {
		return stored, 0, NoReply
	}
	return stored, seen, s.lessWritten(st, shares, reached, a, s.layout.geometry.Width)
}

// Column is one column of the word at a, a data bit or Width+i for parity column i, as it is stored and as the jams show it,
// before any correction: 0 or 1, as it is written and read. It is not ok where there is no such column, or a is inside a
// word.
func (s *Store) Column(a Addr, column int) (stored, seen int, ok bool) {
	p, err := s.cell(a, column)
	if err != nil {
		return 0, 0, false
	}
	v := s.view(p, a)
	return v.stored.column(p.Width, column), v.shown.column(p.Width, column), true
}

// place is the area a lies in, or nil.
func (s *Store) place(a Addr) *placed {
	if p := s.recent; p != nil && uint64(a-p.first) < p.length {
		return p
	}
	p := s.layout.find(a)
	if p != nil {
		s.recent = p
	}
	return p
}

// put stores w, which fits, at a in p, and tells of the change if the word is marked.
func (s *Store) put(p *placed, a Addr, w Word) {
	before := s.view(p, a)
	s.set(p, a, p.slot(a), w, flagWritten)
	s.tell(p, a, before)
}

// set stores w and the parity that belongs to it at a, which has this slot, as written or only begun.
func (s *Store) set(p *placed, a Addr, slot int, w Word, f flag) {
	s.raw[slot] = w
	s.columns[slot] = p.columns(a, w)
	s.flags[slot] = s.flags[slot]&^(flagOwed|flagSpoilt) | f
	s.dirty[slot>>pageShift] = true
}

// A cells is all columns of one word.
type cells struct {
	data    Word
	columns uint16
}

// column is one column, 0 or 1, of a word of width data bits.
func (c cells) column(width, column int) int {
	if column < width {
		return int(c.data >> column & 1)
	}
	return int(c.columns >> (column - width) & 1)
}

// A view is a word both ways: the truth and the look of it.
type view struct {
	stored, shown cells
	seen          Word // what shows, corrected where the area does that
	status        Status
	at            Addr // the word that was reached
	jams          flag // whether there is some jam, and one that is more than a mask
}

// view looks at the word at a in p without being noticed.
func (s *Store) view(p *placed, a Addr) view { return s.look(p, a, false) }

// look looks at the word at a in p, as a read that is counted or not.
func (s *Store) look(p *placed, a Addr, counted bool) view {
	if p == nil { // only address lines lead on from here
		return s.lookHooked(view{jams: flagJammed | flagHooked}, a, counted)
	}
	slot := p.slot(a)
	v := view{at: a}
	v.stored, v.status = s.stored(p, a, slot)
	v.shown, v.seen = v.stored, v.stored.data
	f := s.flags[slot]
	if f&notPlain == 0 {
		return v
	}
	v.jams = f & (flagJammed | flagHooked)
	if f&flagHooked != 0 {
		return s.lookHooked(v, a, counted)
	}
	j, area := s.jamAt(slot), &s.areas[p.number]
	if j != nil {
		v.shown = j.through(v.shown)
	}
	if len(area.always) > 0 {
		v.shown = area.through(v.shown)
		if counted {
			area.count(p, v.stored)
		}
	}
	if counted && j != nil {
		j.count(v.shown != v.stored)
	}
	v.seen, v.status = p.judge(v.shown, a, v.status)
	return v
}

// stored is what the cells of the word at a, which has this slot, hold, and whether they were written.
func (s *Store) stored(p *placed, a Addr, slot int) (cells, Status) {
	s.settle(p, a, slot)
	switch f := s.flags[slot]; {
	case f&flagWritten != 0:
		return cells{s.raw[slot], s.columns[slot]}, 0
	case f&flagBegun != 0:
		return cells{s.raw[slot], s.columns[slot]}, NeverWritten
	}
	w := Fill(s.fill, uint64(a), p.Width)
	return cells{w, p.columns(a, w)}, NeverWritten
}

// judge checks the parity of what shows, for a reader that asked for address a, and adds what there is to remark.
func (p *placed) judge(shown cells, a Addr, st Status) (Word, Status) {
	seen, remark := p.check(a, shown)
	return seen, st | remark
}

// check is the data word that a reader gets of the cells of the word at a, and what their parity columns say of it.
func (p *placed) check(a Addr, shown cells) (Word, Status) {
	failing := p.columns(a, shown.data) ^ shown.columns
	if failing == 0 {
		return shown.data, 0
	}
	// An area that does not correct has no syndromes; in one that does they are all different.
	column := slices.Index(p.syndromes, failing)
	if column < 0 {
		return shown.data, ParityWrong
	}
	return shown.data ^ cellOf(p.Width, column).data, Corrected
}
