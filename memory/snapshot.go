package memory

import (
	"errors"
	"reflect"
)

// A Snapshot is the whole state of a Store: every word as stored, parity columns included, and which words were written.
// Jams are not part of it: a fault in the hardware stays where it is while time goes back. What is part of it is what jams
// remember, and how often each jammed word was read, so that a run repeated from a snapshot meets the same again and counts
// no read twice.
//
// A snapshot never changes. Pages of words not written between two snapshots are shared by both.
type Snapshot struct {
	layout *layout
	fill   uint64
	pages  []*page        // nil: no word of it written
	counts map[int]counts // by slot of the jammed words
	hooks  map[Jam]hookState
	sense  []cells // by area
}

// A page is the state of pageWords slots.
type page struct {
	raw     [pageWords]Word
	columns [pageWords]uint16
	flags   [pageWords]flag // those of flagKept
}

// Snapshot takes the state of the store; the cost goes with the pages written since the last snapshot made or put back.
func (s *Store) Snapshot() *Snapshot {
	for n, dirty := range s.dirty {
		if dirty {
			s.kept[n] = s.copyPage(n)
			s.dirty[n] = false
		}
	}
	sn := &Snapshot{s.layout, s.fill, append([]*page(nil), s.kept...), s.jamCounts(), s.hookStates(), nil}
	for i := range s.areas {
		sn.sense = append(sn.sense, s.areas[i].sense)
	}
	return sn
}

// Restore puts a snapshot back, of this store or of another with the same geometry and fill; of any other kind it is
// refused. Jams and marks stay, and jams put in since count from 0. Marked words that changed are told of after all words
// are in place.
func (s *Store) Restore(sn *Snapshot) error {
	if sn.fill != s.fill || (sn.layout != s.layout && !reflect.DeepEqual(sn.layout.geometry, s.layout.geometry)) {
		return errors.New("this snapshot is of a store with another geometry or another fill: take one of this store")
	}
	var marked []watched
	for n, p := range sn.pages {
		if s.dirty[n] || s.kept[n] != p {
			marked = s.watchedIn(n, marked)
			s.restorePage(n, p)
		}
	}
	for slot, j := range s.jammedWords() {
		j.counts = sn.counts[slot]
	}
	s.recallHooks(sn)
	for i, sense := range sn.sense {
		s.areas[i].sense = cells{}
		if s.areas[i].open > 0 {
			s.areas[i].sense = sense
		}
	}
	for _, w := range marked {
		s.tell(w.placed, w.addr, w.before)
	}
	return nil
}

// copyPage is a copy of page n.
func (s *Store) copyPage(n int) *page {
	first, last := s.pageSlots(n)
	for slot := first; slot < last; slot++ {
		if s.flags[slot]&flagOwed != 0 {
			area, a := s.layout.at(slot)
			s.settle(area, a, slot)
		}
	}
	p := new(page)
	copy(p.raw[:], s.raw[first:last])
	copy(p.columns[:], s.columns[first:last])
	for i, f := range s.flags[first:last] {
		p.flags[i] = f & flagKept
	}
	return p
}

// restorePage makes page n what p says, nil being a page never written.
func (s *Store) restorePage(n int, p *page) {
	s.kept[n], s.dirty[n] = p, false
	if p == nil {
		p = new(page)
	}
	first, last := s.pageSlots(n)
	copy(s.raw[first:last], p.raw[:])
	copy(s.columns[first:last], p.columns[:])
	for i := range s.flags[first:last] {
		f := &s.flags[first+i]
		*f = *f&^(flagKept|flagOwed) | p.flags[i]
	}
}

// pageSlots is the slots of page n, the last not included; the last page may be short.
func (s *Store) pageSlots(n int) (first, last int) {
	first = n << pageShift
	return first, min(first+pageWords, len(s.flags))
}

// A watched is a marked word as it looked before a change of many words at once.
type watched struct {
	placed *placed
	addr   Addr
	before view
}

// watchedIn adds the marked words of page n to list.
func (s *Store) watchedIn(n int, list []watched) []watched {
	first, last := s.pageSlots(n)
	for slot := first; slot < last; slot++ {
		if s.flags[slot]&flagMarked != 0 {
			p, a := s.layout.at(slot)
			list = append(list, watched{p, a, s.view(p, a)})
		}
	}
	return list
}
