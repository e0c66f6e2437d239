package memory

import (
	"fmt"
	"math/bits"
	"sort"
)

// A layout gives every address that answers a slot, a small number to index slices by. Slots rise with addresses.
//
// Where all areas lie among the first directWords addresses a slot is the address itself, gaps and all, so that a read
// needs no search. Otherwise the areas are packed one behind the other.
//
// Where addresses count units every unit has its slot, and a word is kept in the slot of its first unit. The others hold
// no word: room is given away there so that finding a word by its address costs no division.
type layout struct {
	geometry Geometry
	placed   []placed
	step     Addr // addresses, and so slots, that a word takes
	unit     int  // bits that an address counts
	slots    int
	direct   bool
}

// A placed is an area with what every access to it needs, made ready.
type placed struct {
	*Area
	first  Addr
	length uint64   // addresses
	base   int      // slot of first
	number int      // among the placed
	mask   Word     // of the data bits
	parity []column // as Area.Parity

	addressed uint16   // the parity columns that are over the address, as bits
	syndromes []uint16 // of an area that corrects, by column: the parity columns that fail when it alone is wrong
}

// A column is a Parity made ready: the column is the parity of the bits under mask, turned round by odd.
type column struct {
	mask Word
	odd  uint16 // 0 or 1
}

// newPlaced makes an area ready; base is its first slot.
func newPlaced(area *Area, base int) placed {
	p := placed{Area: area, first: area.First, length: uint64(area.Last-area.First) + 1, base: base, mask: Mask(area.Width)}
	for i := range area.Parity {
		parity := &area.Parity[i]
		c := column{mask: parity.over()}
		if parity.Odd {
			c.odd = 1
		}
		p.parity = append(p.parity, c)
		if parity.Address {
			p.addressed |= 1 << i
		}
	}
	if area.Corrects {
		right := p.columns(0, 0)
		for i := range area.Columns() {
			wrong := cellOf(area.Width, i)
			p.syndromes = append(p.syndromes, p.columns(0, wrong.data)^wrong.columns^right)
		}
	}
	return p
}

// columns makes the parity columns that belong to the data word w at a: bit i is column Width+i.
func (p *placed) columns(a Addr, w Word) uint16 {
	var made uint16
	for i, c := range p.parity {
		made |= (uint16(bits.OnesCount64(uint64(w&c.mask)))&1 ^ c.odd) << i
	}
	if p.addressed != 0 && bits.OnesCount64(uint64(a))&1 == 1 {
		made ^= p.addressed
	}
	return made
}

// directWords is up to where addresses are slots: 2^20 words are 20 megabytes of store at the very worst.
const directWords = 1 << 20

// A page is the unit in which snapshots share, and images grow: pageWords slots.
const (
	pageShift = 8
	pageWords = 1 << pageShift
)

// newLayout places the areas of g. An area that Check refuses is left out: it answers nowhere, and nothing fails later.
func newLayout(g Geometry) *layout {
	l := &layout{geometry: g, step: g.step(), unit: g.Width / g.Step()}
	l.geometry.Areas = append([]Area(nil), g.Areas...)
	l.direct = true
	for i := range l.geometry.Areas {
		area := &l.geometry.Areas[i]
		after := len(l.placed) == 0 || l.placed[len(l.placed)-1].Last < area.First
		if area.check(g.Style) != nil || !g.whole(area) || !after || uint64(area.Last-area.First) >= uint64(mostPlaces-l.slots) {
			continue
		}
		l.placed = append(l.placed, newPlaced(area, l.slots))
		l.placed[len(l.placed)-1].number = len(l.placed) - 1
		l.slots += int(area.Last-area.First) + 1
		l.direct = l.direct && area.Last < directWords
	}
	if n := len(l.placed); l.direct && n > 0 {
		l.slots = int(l.placed[n-1].Last) + 1
		for i := range l.placed {
			l.placed[i].base = int(l.placed[i].First)
		}
	}
	return l
}

// find is the placed area that a lies in, or nil.
func (l *layout) find(a Addr) *placed {
	lo, hi := 0, len(l.placed)
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if l.placed[mid].Last < a {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if lo == len(l.placed) || l.placed[lo].First > a {
		return nil
	}
	return &l.placed[lo]
}

// word is the area of the word whose own address, that of its first unit, is a. The error, one sentence, says that there is
// no such word.
func (l *layout) word(a Addr) (*placed, error) {
	p := l.find(a)
	if p == nil {
		return nil, l.noReply(a)
	}
	if inside := a % l.step; inside != 0 {
		return nil, fmt.Errorf("%s is inside the word at %s: name a word by the first of its %d addresses",
			l.geometry.addr(a), l.geometry.addr(a-inside), l.step)
	}
	return p, nil
}

// slot is the slot of a, which lies in p.
func (p *placed) slot(a Addr) int { return p.base + int(a-p.first) }

// at is the inverse of slot: the area and the address of a slot that some address has.
func (l *layout) at(slot int) (*placed, Addr) {
	i := sort.Search(len(l.placed), func(i int) bool { return l.placed[i].base > slot }) - 1
	p := &l.placed[i]
	return p, p.first + Addr(slot-p.base)
}

// pages is how many pages hold all slots.
func (l *layout) pages() int { return (l.slots + pageWords - 1) >> pageShift }
