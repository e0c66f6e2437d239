// Package trail keeps what a machine did: the last orders, who wrote each word of store and which tape block the word came
// from, which words were run, read or written, and the loop a machine is turning in. It watches and never interferes.
package trail

import (
	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// kept is how many orders a Record remembers. A turn longer than a third of it is not recognised.
const kept = 512

// A Record watches one machine. It is a cpu.Observer.
type Record struct {
	code    *order.Code
	image   *memory.Image // what stood in store before the run
	ring    [kept]Entry
	orders  int64
	pages   map[memory.Addr]*page
	near    [near]nearPage       // pages looked at last, by the lower bits of their numbers
	common  map[memory.Addr]bool // pages that a clone has too, and that are copied before they change
	origins []source             // of what each register holds
	moved   []source             // of what an order sets registers to and writes
	sources sources
	brief   bool
	unknown []Unknown
	misread []Misread
	said    []bool // registers already in unknown

	tally    Tally
	forks    []bool // by Order.Number: the order branches
	branches map[memory.Addr]*Branch
	recent   [near]*Branch  // branches run last, by the lower bits of their places
	past     map[source]Use // of tape words written over since
}

// An Entry is one order as remembered: the first words only, and the last channel action.
type Entry struct {
	Number   int64
	At       cpu.Time
	Place    memory.Addr
	Order    *order.Order // nil: no order was read
	Words    [2]memory.Word
	Length   int // words fetched; 0 where the fetch itself failed
	Exchange cpu.Exchange
	Asked    bool // an Exchange took place
	Others   bool // and others before it
	Wrote    bool
	Trap     *cpu.Trap
}

// A Use says what a run did with a word of store.
type Use uint8

// What a run can do with a word; a Use may hold several.
const (
	Run  Use = 1 << iota // taken as an order, or as a further word of one
	Read                 // read as data
	Written
)

// A Write says who wrote a word last.
type Write struct {
	Number  int64 // of the order; 0: no order wrote the word
	At      cpu.Time
	Place   memory.Addr
	Stolen  bool // a device put it there itself, before that order was begun; Channel is its code
	Channel int
	Word    memory.Word   // as asked to be written, cut to the width of the store there
	Origin  memory.Origin // where the value came from, if it came unchanged from a tape or another known place
}

// An Unknown is the first read of something that nothing wrote since power-up.
type Unknown struct {
	Register *order.Register // nil: a store word
	Addr     memory.Addr
	Place    memory.Addr // of the order that read it
	Number   int64
}

// A Misread is the first read of a word that came back otherwise than it was written.
type Misread struct {
	Addr    memory.Addr
	Written Write
	Read    memory.Word
	Place   memory.Addr // of the order that read it
	Number  int64
	At      cpu.Time
}

// misreads is how many words a Record lists that came back wrong; a store that is all wrong needs no longer list.
const misreads = 64

// spot is what is known of one address.
type spot struct {
	use     Use
	held    Use   // of the word that stands here now
	stood   bool  // something was written here, or stood here before the run
	warned  bool  // already in unknown or misread
	lastRun int64 // number of the order last run here, and when it began
	lastAt  cpu.Time
	write   written
}

// A written is a Write as it is kept.
type written struct {
	number int64
	at     cpu.Time
	place  memory.Addr
	word   memory.Word
	from   source
	stolen int32 // 1 and the code of the channel whose device put it there itself; 0: an order wrote it
}

// near is how many pages are found without a look into the map: orders, data and lamps mostly lie in a few.
const near = 16

// A nearPage is a page looked at last; nil: none yet.
type nearPage struct {
	no   memory.Addr
	page *page
}

// page holds the spots of 256 addresses.
type page [256]spot

// New makes a Record for a machine of the code. Image is what stands in store before the run.
func New(code *order.Code, image *memory.Image) *Record {
	r := &Record{
		code: code, image: image, past: map[source]Use{}, sources: newSources(),
		pages:   map[memory.Addr]*page{},
		origins: make([]source, len(code.Registers)),
		said:    make([]bool, len(code.Registers)),
	}
	r.newTally()
	return r
}

// Brief lets the record keep the last orders alone, which is quicker.
func (r *Record) Brief() { r.brief = true }

// Observe takes one step into the record.
func (r *Record) Observe(s *cpu.Step) {
	e := &r.ring[r.orders%kept]
	r.orders++
	e.Number, e.At, e.Place, e.Order, e.Length = s.Number, s.At, s.Place, s.Order, len(s.Words)
	e.Wrote, e.Trap, e.Asked, e.Others = len(s.Writes) > 0, s.Trap, len(s.Exchanges) > 0, len(s.Exchanges) > 1
	copy(e.Words[:], s.Words)
	if e.Asked { // an exchange is large: of an order without one, what an older order left here stays, and Last leaves it out
		e.Exchange = s.Exchanges[len(s.Exchanges)-1]
	}
	if r.brief {
		return
	}
	r.count(s)
	r.fetches(s)
	r.reads(s)
	r.follow(s)
}

// fetches notes where the order stood, and words fetched that nothing wrote or that came back wrong.
func (r *Record) fetches(s *cpu.Step) {
	place := s.Place
	for i := range max(1, len(s.Words)) {
		if i > 0 {
			place = r.code.After(place, nil)
		}
		a := r.code.WordOf(place)
		p := r.spot(a)
		p.lastRun, p.lastAt = s.Number, s.At
		if s.Order != nil {
			p.use |= Run
		}
		if i < len(s.Words) {
			p.held |= Run // the machine took it for an order, whether or not one reads it
		}
		switch {
		case i >= len(s.Words):
		case !p.stood:
			r.unwritten(p, a, s)
		case s.Words[i] != r.code.Part(place, p.write.word):
			r.wrong(p, a, r.code.Put(place, p.write.word, s.Words[i]), s)
		}
	}
}

// unwritten notes the first read of a word that nothing wrote; where there is no store there is no such word.
func (r *Record) unwritten(p *spot, a memory.Addr, s *cpu.Step) {
	if p.warned || r.code.Geometry.Area(a) == nil {
		return
	}
	p.warned = true
	r.unknown = append(r.unknown, Unknown{Addr: a, Place: s.Place, Number: s.Number})
}

// reads notes which words were read, and the first reads of what nothing wrote.
func (r *Record) reads(s *cpu.Step) {
	for i := range s.Reads {
		a := &s.Reads[i]
		p := r.spot(a.Addr)
		p.use |= Read
		p.held |= Read
		if a.Status&memory.NeverWritten != 0 {
			r.unwritten(p, a.Addr, s)
		}
		if p.stood && a.Word != p.write.word {
			r.wrong(p, a.Addr, a.Word, s)
		}
	}
	for i := range s.Uses {
		u := &s.Uses[i]
		if u.Unknown && !r.said[u.Register.Number] {
			r.said[u.Register.Number] = true
			r.unknown = append(r.unknown, Unknown{Register: u.Register, Place: s.Place, Number: s.Number})
		}
	}
}

// wrong notes a word that came back otherwise than it was written.
func (r *Record) wrong(p *spot, a memory.Addr, read memory.Word, s *cpu.Step) {
	if p.warned || len(r.misread) == misreads || r.code.Geometry.Unit > 0 {
		return // of a word that orders write piece by piece, nobody has told how much of it was written
	}
	p.warned = true
	r.misread = append(r.misread, Misread{Addr: a, Written: r.told(p.write), Read: read, Place: s.Place, Number: s.Number, At: s.At})
}

// spot is the place for what is known of an address.
func (r *Record) spot(a memory.Addr) *spot {
	no := a >> 8
	n := &r.near[no%near]
	if n.page == nil || n.no != no {
		*n = nearPage{no, r.pages[no]}
		switch {
		case n.page == nil:
			n.page = r.fresh(no)
			r.pages[no] = n.page
		case r.common[no]:
			own := *n.page
			n.page, r.pages[no] = &own, &own
			delete(r.common, no)
		}
	}
	return &n.page[a&255]
}

// fresh is a page as the run found it.
func (r *Record) fresh(no memory.Addr) *page {
	p := new(page)
	if r.image == nil {
		return p
	}
	for i := range p {
		p[i] = r.found(no<<8 | memory.Addr(i))
	}
	return p
}

// found is what is known of an address before the run.
func (r *Record) found(a memory.Addr) (s spot) {
	if r.image != nil {
		w, from, stood := r.image.At(a)
		s.write.word, s.write.from, s.stood = w, r.sources.number(from), stood
	}
	return s
}

// peek is what is known of an address, without making room for it.
func (r *Record) peek(a memory.Addr) spot {
	if p := r.pages[a>>8]; p != nil {
		return p[a&255]
	}
	return r.found(a)
}

// Orders is how many steps the record has seen.
func (r *Record) Orders() int64 { return r.orders }

// Use tells what the run did with a word.
func (r *Record) Use(a memory.Addr) Use { return r.peek(a).use }

// Unknown lists the first reads of what nothing wrote, in the order they happened.
func (r *Record) Unknown() []Unknown { return r.unknown }

// Misread lists words that came back otherwise than they were written, in the order they first did.
func (r *Record) Misread() []Misread { return r.misread }

// Last gives the last n orders, the oldest first; fewer where fewer are remembered.
func (r *Record) Last(n int) []Entry {
	n = int(min(int64(n), r.orders, kept))
	out := make([]Entry, 0, n)
	for i := r.orders - int64(n); i < r.orders; i++ {
		e := r.ring[i%kept]
		clear(e.Words[min(e.Length, len(e.Words)):])
		if !e.Asked {
			e.Exchange = cpu.Exchange{}
		}
		out = append(out, e)
	}
	return out
}
