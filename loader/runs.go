package loader

import (
	"slices"
	"sort"

	"coldstart/memory"
)

// A MapRun is a run of addresses of which the same is to be said.
type MapRun struct {
	Span
	Kind string // one of the words in the key of a map
}

// A mapKind is what a map says of a word. Where words of several kinds share a sign, the highest that is an alarm is shown,
// else the most frequent.
type mapKind uint8

// The kinds there are. The first are those of Use.
const (
	mapBare mapKind = iota + mapKind(useCount)
	mapLoaded
	mapGap
	mapWired
	mapTwice // from here on alarms
	mapDamaged
	mapDoubtful
	mapKinds
)

// mapKeys are the sign of each kind and what it stands for.
var mapKeys = [mapKinds]struct {
	sign byte
	name string
}{
	ProgramReached:    {'R', "program, run"},
	ProgramNotReached: {'p', "program, not run"},
	TableRead:         {'t', "table, read"},
	DataNeverRead:     {'d', "data, never read"},
	mapBare:           {'-', "nothing loaded"},
	mapLoaded:         {'=', "loaded"},
	mapGap:            {'.', "gap between blocks"},
	mapWired:          {'w', "wired"},
	mapTwice:          {'2', "loaded by two blocks"},
	mapDamaged:        {'X', "of a damaged block"},
	mapDoubtful:       {'?', "doubtful"},
}

// A mapped is a run of one kind.
type mapped struct {
	Span
	kind mapKind
}

// A canvas holds the runs of a store in the order of their addresses; between areas there are none.
type canvas []mapped

// paint gives the addresses of s, as far as there is store and it is not wired, another kind; only, where it is not nil,
// says what may be painted over.
func (c *canvas) paint(s Span, kind mapKind, only func(mapKind) bool) {
	at := sort.Search(len(*c), func(i int) bool { return (*c)[i].Last >= s.First })
	var out []mapped
	end := at
	for ; end < len(*c) && (*c)[end].First <= s.Last; end++ {
		r := (*c)[end]
		if r.kind == mapWired || only != nil && !only(r.kind) {
			out = append(out, r)
			continue
		}
		if r.First < s.First {
			out = append(out, mapped{Span{r.First, s.First - 1}, r.kind})
		}
		out = append(out, mapped{Span{max(r.First, s.First), min(r.Last, s.Last)}, kind})
		if r.Last > s.Last {
			out = append(out, mapped{Span{s.Last + 1, r.Last}, r.kind})
		}
	}
	*c = slices.Replace(*c, at, end, out...)
}

// canvas draws all that is known of the store.
func (s *Survey) canvas() canvas {
	g := &s.Map.Geometry
	var c canvas
	for i := range g.Areas {
		kind := mapBare
		if g.Areas[i].Wired {
			kind = mapWired
		}
		c = append(c, mapped{Span{g.Areas[i].First, g.Areas[i].Last}, kind})
	}
	for _, gap := range s.Map.Gaps {
		c.paint(gap, mapGap, nil)
	}
	for i := range s.Rows {
		s.loaded(&c, &s.Rows[i])
	}
	for _, o := range s.Map.Overlaps {
		c.paint(o.Span, mapTwice, nil)
	}
	for i := range s.Rows {
		l := s.Rows[i].Load
		if b := l.Block; !l.Loaded() && !l.Out && b.Addressed && b.Count > 0 {
			last := b.Addr + memory.Addr(b.Count*g.Step()-1)
			c.paint(Span{b.Addr, max(b.Addr, last)}, mapDamaged, func(k mapKind) bool { return k == mapBare || k == mapGap })
		}
	}
	for a := range s.doubts {
		c.paint(Span{a, a + memory.Addr(g.Step()-1)}, mapDoubtful, nil)
	}
	return c.joined()
}

// loaded draws the words of one block, those that another loaded over left out.
func (s *Survey) loaded(c *canvas, r *Row) {
	if !r.Load.Loaded() {
		return
	}
	step := memory.Addr(s.Map.Geometry.Step())
	var run canvas
	for i := range r.Load.Block.Words {
		a := r.Load.Span.First + memory.Addr(i)*step
		if s.Map.owner[a] != r.Load.Block {
			continue
		}
		kind := mapLoaded
		if s.Used {
			kind = mapKind(s.use(a))
		}
		run = append(run, mapped{Span{a, a + step - 1}, kind})
	}
	for _, m := range run.joined() {
		c.paint(m.Span, m.kind, nil)
	}
}

// joined puts neighbours of one kind together.
func (c canvas) joined() canvas {
	var out canvas
	for _, r := range c {
		if last := len(out) - 1; last >= 0 && out[last].kind == r.kind && out[last].Last+1 == r.First {
			out[last].Last = r.Last
			continue
		}
		out = append(out, r)
	}
	return out
}

// Runs gives what a map shows, exactly, in the order of addresses.
func (s *Survey) Runs() []MapRun {
	var all []MapRun
	for _, r := range s.canvas() {
		all = append(all, MapRun{r.Span, mapKeys[r.kind].name})
	}
	return all
}
