package trail

import (
	"maps"
	"slices"

	"coldstart/memory"
)

// Clone is a Record that has seen the same; shown the same from here on, it comes to the same. Pages of what is known of store
// are shared until one of the two alters them, so that many clones of one run take little room.
func (r *Record) Clone() *Record {
	c := *r
	c.pages = maps.Clone(r.pages)
	r.common, c.common = pagesOf(r.pages), pagesOf(r.pages)
	r.near, c.near = [near]nearPage{}, [near]nearPage{}
	c.origins, c.said = slices.Clone(r.origins), slices.Clone(r.said)
	c.moved, c.sources = nil, r.sources.clone()
	c.unknown, c.misread = slices.Clip(r.unknown), slices.Clip(r.misread)
	c.past = maps.Clone(r.past)
	c.tally = Tally{
		Orders: slices.Clone(r.tally.Orders), Undefined: r.tally.Undefined, Traps: slices.Clone(r.tally.Traps),
		Registers: slices.Clone(r.tally.Registers), Channels: maps.Clone(r.tally.Channels),
	}
	c.recent = [near]*Branch{}
	c.branches = make(map[memory.Addr]*Branch, len(r.branches))
	for a, b := range r.branches {
		own := *b
		c.branches[a] = &own
	}
	return &c
}

// pagesOf are the numbers of pages.
func pagesOf(pages map[memory.Addr]*page) map[memory.Addr]bool {
	all := make(map[memory.Addr]bool, len(pages))
	for no := range pages {
		all[no] = true
	}
	return all
}
