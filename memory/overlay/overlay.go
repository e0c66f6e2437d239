// Package overlay lays a dump of a store over the image of what should stand in it. A dump of a machine that ran differs
// from its tape in hundreds of words that say nothing; so the store is parted by what it holds, and only what must not
// differ is searched: by word, bit, direction, plug-in, chip and address bits, with counts that a reader can make again.
//
// Before anything is blamed on the store, the way the dump was taken is: see Suspicion. Parity is the great divider (trade
// practice, no source): a wrong word whose parity is wrong went bad in the store; one whose parity is right was wrong before
// its parity was made, was written there, or is so on the tape.
package overlay

import (
	"cmp"
	"slices"

	"coldstart/memory"
)

// A Rule says what it means that a word is not as on the tape.
type Rule uint8

// The rules, in the order their parts are told of.
const (
	Fixed    Rule = iota // nothing writes it once it is loaded: it must not differ
	Judged               // it may have been changed on purpose: a person has to say
	Unlisted             // nobody said what stands there: a person has to say as well
	Free                 // it changes as the machine works, or is not on the tape: it is not searched
)

// A Part is a run of addresses that holds one kind of thing.
type Part struct {
	Kind        string // such as "program"
	Name        string // may be empty
	Rule        Rule
	First, Last memory.Addr
}

// A Tally counts the words of one kind.
type Tally struct {
	Kind     string
	Rule     Rule
	Words    int // of the store
	OnTape   int // of these, on the tape
	Compared int // of these, in the dump too
	Differ   int // of these, otherwise than on the tape
	BadRead  int // words of the dump whose parity is wrong, on the tape or not
}

// Parity is what the parity columns of a word of the dump say of it.
type Parity uint8

// What parity says.
const (
	NotRead  Parity = iota // there is none in the dump, or it is not to be trusted
	FitsDump               // right for the word as dumped
	FitsTape               // wrong for the word as dumped, right for the one on the tape
	FitsNone               // wrong for both
)

// A Difference is a word of the dump that is not as on the tape, or whose data are and whose parity is not.
type Difference struct {
	Addr       memory.Addr
	Part       Part
	Area       *memory.Area
	Tape, Dump memory.Word
	Origin     memory.Origin // of the word on the tape
	Bits       memory.Word   // a one for each data bit that differs
	Parity     Parity
	Columns    memory.Word // parity columns as dumped
	Made       memory.Word // parity columns that belong to the word on the tape
}

// An Overlay is what a dump laid over a tape image shows.
type Overlay struct {
	Geometry    memory.Geometry
	Words       int // of the dump
	StoreWords  int
	Tallies     []Tally      // of each kind that the store has, by Rule and then by address
	Differences []Difference // by address, of all rules but Free
	Groups      []Group      // the bits that must not differ and do
	Suspicions  []Suspicion  // of the dump itself
	Readings    []Reading    // the dump read in other ways, the first as it is, the others by how well they fit
	Searched    string       // what the Readings are counted over, such as "that must not differ"
	PathBits    memory.Word  // data bits that are alike at every address of the dump: they are left out of all other counts
	ParityRead  int          // words of the dump with parity
	ParityRight int          // of these, right

	alikeRead, alikeRight int // words with parity that are as on the tape, and how many of these have it right

	tape  *memory.Image
	dump  *Dump
	parts []Part
	pairs []pair // words that are on the tape and in the dump
	blank map[*memory.Area]bool
	free  map[memory.Word]int // how often a word stands in parts that are listed as free,
	spare map[memory.Word]int // and where nothing is listed
}

// A pair is a word of the tape and what the dump has in its place.
type pair struct {
	addr       memory.Addr
	area       *memory.Area
	part       Part
	tape, dump memory.Word
	origin     memory.Origin
}

// Lay lays a dump over a tape image, both of a store of geometry g. Parts, which may come in any order and must not overlap,
// say what stands where; what is in none of them is Unlisted as far as it is on the tape.
func Lay(g memory.Geometry, tape *memory.Image, d *Dump, parts []Part) *Overlay {
	o := &Overlay{Geometry: g, Words: d.Words.Len(), tape: tape, dump: d, blank: map[*memory.Area]bool{},
		free: map[memory.Word]int{}, spare: map[memory.Word]int{}}
	o.parts = slices.Clone(parts)
	slices.SortFunc(o.parts, func(a, b Part) int { return cmp.Compare(a.First, b.First) })
	for area, a := range words(&o.Geometry) {
		o.take(area, a)
	}
	slices.SortStableFunc(o.Tallies, func(a, b Tally) int { return cmp.Compare(a.rank(), b.rank()) })
	o.suspect()
	o.differ()
	o.group()
	return o
}

// part says what stands at an address.
func (o *Overlay) part(area *memory.Area, a memory.Addr, onTape bool) Part {
	i, found := slices.BinarySearchFunc(o.parts, a, func(p Part, a memory.Addr) int {
		switch {
		case p.Last < a:
			return -1
		case p.First > a:
			return 1
		}
		return 0
	})
	switch {
	case found:
		return o.parts[i]
	case onTape && area.Wired:
		return Part{Kind: "wired", Rule: Fixed}
	case onTape:
		return Part{Kind: "not listed", Rule: Unlisted}
	}
	return Part{Kind: unused, Rule: Free}
}

// unused is the kind of what is in no list and on no tape.
const unused = "unused"

// take counts one word of the store.
func (o *Overlay) take(area *memory.Area, a memory.Addr) {
	tape, origin, onTape := o.tape.At(a)
	dump, _, dumped := o.dump.Words.At(a)
	part := o.part(area, a, onTape)
	t := o.tally(part)
	o.StoreWords++
	t.Words++
	if columns, read := o.dump.Columns[a]; read && dumped {
		o.ParityRead++
		if columns == area.ParityBits(a, dump) {
			o.ParityRight++
		} else {
			t.BadRead++
		}
	}
	switch {
	case !dumped || part.Rule != Free:
	case part.Kind == unused:
		o.spare[dump]++
	default:
		o.free[dump]++
	}
	if !onTape {
		return
	}
	t.OnTape++
	if !dumped {
		return
	}
	t.Compared++
	columns, read := o.dump.Columns[a]
	switch {
	case tape != dump:
		t.Differ++
	case read && columns == area.ParityBits(a, dump):
		o.alikeRight++
		fallthrough
	case read:
		o.alikeRead++
	}
	o.pairs = append(o.pairs, pair{a, area, part, tape, dump, origin})
}

// tally is that of the kind of a part.
func (o *Overlay) tally(p Part) *Tally {
	for i := range o.Tallies {
		if t := &o.Tallies[i]; t.Kind == p.Kind && t.Rule == p.Rule {
			return t
		}
	}
	o.Tallies = append(o.Tallies, Tally{Kind: p.Kind, Rule: p.Rule})
	return &o.Tallies[len(o.Tallies)-1]
}

// rank puts kinds in the order they are told of: by rule, and last what is in no list and on no tape.
func (t *Tally) rank() int {
	if t.Kind == unused {
		return int(Free) + 1
	}
	return int(t.Rule)
}

// differ lists the words that are not as on the tape. What a bit of the dump path explains is not one of them.
func (o *Overlay) differ() {
	for _, p := range o.pairs {
		if p.part.Rule == Free || o.blank[p.area] {
			continue
		}
		d := Difference{Addr: p.addr, Part: p.part, Area: p.area, Tape: p.tape, Dump: p.dump, Origin: p.origin,
			Bits: (p.tape ^ p.dump) &^ o.PathBits, Made: p.area.ParityBits(p.addr, p.tape)}
		d.Parity, d.Columns = o.parity(p)
		wrongAlone := p.tape == p.dump && d.Parity == FitsNone
		if d.Bits != 0 || wrongAlone {
			o.Differences = append(o.Differences, d)
		}
	}
}

// parity is what the parity columns of a pair say.
func (o *Overlay) parity(p pair) (Parity, memory.Word) {
	columns, read := o.dump.Columns[p.addr]
	switch {
	case !read || !o.ParityUsed():
		return NotRead, 0
	case columns == p.area.ParityBits(p.addr, p.dump):
		return FitsDump, columns
	case columns == p.area.ParityBits(p.addr, p.tape):
		return FitsTape, columns
	}
	return FitsNone, columns
}

// ParityUsed tells whether there is parity, and whether it is right often enough to be parity at all: columns that were made
// up, or read with the other sense, are wrong in half of all words or in all. Words that are as on the tape show it: in
// those that nothing wrote since power-up, parity of a real store is anything.
func (o *Overlay) ParityUsed() bool {
	if o.alikeRead == 0 {
		return o.ParityRead > 0
	}
	return 4*o.alikeRight > 3*o.alikeRead
}
