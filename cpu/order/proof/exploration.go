package proof

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// An Exploration is what a program came to under an order code: evidence for and against the lines of the machine file.
type Exploration struct {
	Entries []Entry
	Tallies []*Tally       // of the orders met, by line of the machine file
	Never   []*order.Order // those never met
	Unread  []*Unread      // words come to that no order reads, by pattern, those nearest the entry first
	Taken   int            // places whose word was taken as an order
	Loaded  int            // words in the image
	Beyond  int            // places come to where no word is loaded
	Halts   int            // orders after which nothing comes: a trap, or a halt for good
	Passed  int            // halts that the resume key can pass
	Stuck   int            // places that only the resume key leads to, from a halt, where no order stands: evidence for nothing
	Stores  []Overwrite    // stores into words that were taken as orders
	Wild    int            // orders that store at an address known only in a run
	Cut     bool           // a bound was reached: there is more than this

	code       *order.Code
	image      *memory.Image
	tallies    map[*order.Order]*Tally
	taken      map[memory.Addr]*order.Order
	inside     map[memory.Addr]bool // places of later words of the orders taken
	stops      map[memory.Addr]*visit
	jumps      map[[2]memory.Addr]bool
	dry        map[memory.Addr]*order.Order // places with a jump whose target is not known so far
	blind      map[memory.Addr]bool         // places with a jump whose target may be another than those known
	writes     map[[2]memory.Addr]*order.Order
	wildWrites map[memory.Word]bool
	ends       map[memory.Addr]bool
	passed     map[memory.Addr]bool
}

// A Tally is how a program fares under one line of the order code: evidence for and against the line.
type Tally struct {
	Order   *order.Order
	Places  int   // where it was met
	Jumps   int   // from a place to a place, both known
	Outside int   // of these, to a place where no word is loaded
	NoOrder int   // of these, to a word that no order reads
	Data    int   // of these, to a word that an order reads but that is said to be no program
	Into    int   // places where what stands right after it, and is come to no other way, is not loaded or read by no order
	Unknown int   // places where it jumps to what only a run can tell
	Example *Jump // the first that ends where no order is; nil: none does
}

// A Jump is from a place to a place.
type Jump struct{ From, To memory.Addr }

// Bad is how many of its jumps end where no order is.
func (t *Tally) Bad() int { return t.Outside + t.NoOrder + t.Data }

// What speaks strongly against a line. A few jumps to no order are made by program that is only put together in a run; and
// after any order a program may run into data, when a wrong line elsewhere has led it there.
const (
	leastBad = 3
	badJumps = 20 // one in so many jumps ends where no order is
	badInto  = 4  // no order follows in one in so many places
)

// Against tells whether the program speaks strongly against a line: at least three of its jumps and one in twenty end
// where no order is, or in at least three of its places and one in four no order follows it.
func (t *Tally) Against() bool {
	return t.Bad() >= leastBad && t.Bad()*badJumps >= t.Jumps || t.Into >= leastBad && t.Into*badInto >= t.Places
}

// An Unread is a run of words that no order reads, as far as a program comes to some of them.
type Unread struct {
	Mask, Value memory.Word  // how these words begin
	Place       memory.Addr  // of the one nearest the entry
	Word        memory.Word  // what stands there
	Way         string       // how it was come to
	Distance    int          // orders from the entry
	Places      int          // how many such words the program comes to
	InImage     int          // how many words of the image begin so
	Unreadable  *order.Order // the order whose page is unreadable; nil: no order reads the word
	Of          *order.Order // the order that reads its first word but not a later one; nil: none does
}

// Drawing draws how the words begin, the highest bit first; stars are bits that may be 0 or 1.
func (u *Unread) Drawing(c *order.Code) string {
	return drawing(u.Mask, u.Value, c.OrderWidth(), c.Geometry.Style.Radix)
}

// LookUp says what to look for in the handbook.
func (u *Unread) LookUp(c *order.Code) string {
	switch {
	case u.Unreadable != nil:
		return fmt.Sprintf("what order %s does%s", u.Unreadable.Name, onPage(u.Unreadable.Page))
	case u.Of != nil:
		return fmt.Sprintf("the further words of order %s%s", u.Of.Name, onPage(u.Of.Page))
	}
	if rest := memory.Mask(c.OrderWidth()) &^ u.Mask; rest&(rest+1) != 0 { // not all of it at the right
		return "the orders whose words look like " + u.Drawing(c)
	}
	return "the orders whose words begin " + strings.TrimRight(u.Drawing(c), " *")
}

// onPage names the page of the handbook, where there is one.
func onPage(page string) string {
	if page == "" {
		return ""
	}
	return ", page " + page
}

// An Overwrite is an order that stores into a word that is taken as an order.
type Overwrite struct {
	Order    *order.Order
	From, To memory.Addr  // To is an address
	Over     *order.Order // the order that the word is taken as
}

// newExploration is one that nothing is known of yet.
func newExploration(code *order.Code, image *memory.Image) *Exploration {
	return &Exploration{
		code: code, image: image, Loaded: image.Len(),
		tallies: map[*order.Order]*Tally{}, taken: map[memory.Addr]*order.Order{}, inside: map[memory.Addr]bool{}, stops: map[memory.Addr]*visit{},
		jumps: map[[2]memory.Addr]bool{}, dry: map[memory.Addr]*order.Order{}, blind: map[memory.Addr]bool{},
		writes: map[[2]memory.Addr]*order.Order{}, wildWrites: map[memory.Word]bool{}, ends: map[memory.Addr]bool{}, passed: map[memory.Addr]bool{},
	}
}

// tally gives the tally of an order.
func (x *Exploration) tally(o *order.Order) *Tally {
	t := x.tallies[o]
	if t == nil {
		t = &Tally{Order: o}
		x.tallies[o] = t
	}
	return t
}

// take notes that a word was taken as an order.
func (x *Exploration) take(v *visit, o *order.Order) {
	if x.taken[v.place] == nil {
		x.taken[v.place] = o
		x.tally(o).Places++
		for i := 1; i < o.Length(); i++ {
			x.inside[v.place+memory.Addr(i*x.code.Step())] = true
		}
	}
}

// stop notes that the program comes to a place where it cannot go on. Visits come nearest first; those past a halt say less.
func (x *Exploration) stop(v *visit) {
	if first := x.stops[v.place]; first == nil || first.resumed && !v.resumed {
		x.stops[v.place] = v
	}
}

// unknown notes that an order jumps to a place that only a run can tell.
func (x *Exploration) unknown(v *visit, o *order.Order, besides bool) {
	if besides {
		x.blind[v.place] = true
	}
	x.dry[v.place] = o
}

// An ending is what a jump ends at.
type ending uint8

const (
	onOrder   ending = iota
	onNothing        // no word is loaded
	onUnread         // no order reads the word
	onData           // an order reads it, but it is said to be no program
)

// jump notes a jump to a known place.
func (x *Exploration) jump(v *visit, o *order.Order, to memory.Addr, ends ending) {
	if x.jumps[[2]memory.Addr{v.place, to}] {
		return
	}
	x.jumps[[2]memory.Addr{v.place, to}] = true
	if !x.blind[v.place] {
		delete(x.dry, v.place)
	}
	t := x.tally(o)
	t.Jumps++
	switch ends {
	case onOrder:
		return
	case onNothing:
		t.Outside++
	case onUnread:
		t.NoOrder++
	case onData:
		t.Data++
	}
	if t.Example == nil {
		t.Example = &Jump{v.place, to}
	}
}

// finish adds up what was noted.
func (x *explorer) finish() {
	r := x.result
	r.Taken = len(r.taken)
	r.Wild = len(r.wildWrites)
	r.Halts, r.Passed = len(r.ends), len(r.passed)
	for _, o := range r.dry {
		r.tally(o).Unknown++
	}
	r.blame()
	for _, o := range r.code.Orders {
		if t := r.tallies[o]; t != nil {
			r.Tallies = append(r.Tallies, t)
		} else {
			r.Never = append(r.Never, o)
		}
	}
	slices.SortStableFunc(r.Tallies, byLine)
	r.unread(x)
	r.overwrites()
}

// byLine sorts tallies by the lines of their orders.
func byLine(a, b *Tally) int {
	return cmp.Or(cmp.Compare(a.Order.Line, b.Order.Line), cmp.Compare(a.Order.Number, b.Order.Number))
}

// blame charges each place where the program cannot go on, and that it did not jump to, to the order before it.
func (x *Exploration) blame() {
	for _, v := range x.stops {
		if v.from != nil && !v.jumped && !v.kept && !v.resumed {
			x.tally(x.taken[v.from.place]).Into++
		}
	}
}

// unread gathers the words come to that no order reads by how they begin.
func (x *Exploration) unread(from *explorer) {
	holes, common := Holes(x.code), ^memory.Word(0)
	for _, o := range x.code.Orders {
		common &= o.Patterns[0].Mask
	}
	common &= memory.Mask(x.code.OrderWidth())
	groups := map[space]*Unread{}
	var stops []*visit
	for _, v := range x.stops {
		stops = append(stops, v)
	}
	slices.SortFunc(stops, func(a, b *visit) int {
		return cmp.Or(cmp.Compare(a.phase, b.phase), cmp.Compare(a.distance, b.distance), cmp.Compare(a.place, b.place))
	})
	for _, v := range stops {
		if v.resumed {
			x.Stuck++
			continue
		}
		w, loaded := from.word(v.place)
		if !loaded {
			x.Beyond++
			continue
		}
		s := beginning(holes, common, w)
		u := &Unread{Mask: s.mask, Value: s.value, Place: v.place, Word: w, Way: x.way(v), Distance: v.distance}
		if o := x.code.Find(w); o != nil {
			u.Mask, u.Value = o.Patterns[0].Mask, o.Patterns[0].Value
			if o.Unreadable {
				u.Unreadable = o
			} else {
				u.Of = o
			}
		}
		key := space{u.Mask, u.Value}
		if groups[key] == nil {
			groups[key] = u
			u.InImage = x.begin(key)
			x.Unread = append(x.Unread, u)
		}
		groups[key].Places++
	}
}

// beginning is the run of words that an unread word belongs to: the hole it lies in, told apart at least as finely as
// every order tells its words.
func beginning(holes []Hole, common, w memory.Word) space {
	for _, h := range holes {
		if w&h.Mask == h.Value {
			mask := h.Mask | common
			return space{mask, w & mask}
		}
	}
	return space{common, w & common}
}

// begin counts the words of the image that begin so; where words hold two orders, each half counts.
func (x *Exploration) begin(s space) int {
	n := 0
	for a, e := range x.image.All() {
		first := x.code.PlaceOf(a)
		for place := first; x.code.WordOf(place) == a && place < first+2; place++ {
			if part := x.code.Part(place, e.Word); part&s.mask == s.value {
				n++
			}
			if x.code.PerWord < 2 {
				break
			}
		}
	}
	return n
}

// way says how a place was come to.
func (x *Exploration) way(v *visit) string {
	switch g := x.code.Geometry.Style; {
	case v.from == nil:
		return v.entry + " begins there"
	case v.kept:
		return fmt.Sprintf("%s at %s keeps the place to come back to", x.taken[v.from.place].Name, g.Addr(v.from.place, x.code.PlaceBits()))
	case v.jumped:
		return fmt.Sprintf("%s at %s goes there", x.taken[v.from.place].Name, g.Addr(v.from.place, x.code.PlaceBits()))
	default:
		return fmt.Sprintf("it follows %s at %s", x.taken[v.from.place].Name, g.Addr(v.from.place, x.code.PlaceBits()))
	}
}

// overwrites gathers the stores into words that are taken as orders.
func (x *Exploration) overwrites() {
	for at, o := range x.writes {
		place := x.code.PlaceOf(at[1])
		for range max(1, x.code.PerWord) {
			if over := x.taken[place]; over != nil {
				x.Stores = append(x.Stores, Overwrite{Order: o, From: at[0], To: at[1], Over: over})
				break
			}
			place++
		}
	}
	slices.SortFunc(x.Stores, func(a, b Overwrite) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
}
