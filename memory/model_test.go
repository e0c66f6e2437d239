package memory

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A model is a store as plainly as it can be written: maps, and a loop over columns for everything. A test drives it and a
// Store alike.
type model struct {
	g     Geometry
	fill  uint64
	words map[Addr]Word        // written
	jams  map[Addr]map[int]int // by address and column
	count map[Addr][2]int64    // reads and altered, of jammed words
	marks map[Addr]bool
}

// A look is all that is to be seen of a word.
type look struct {
	stored, seen Word
	st           Status
	jammed       bool
	altered      bool
}

func (m *model) look(a Addr) look {
	area := m.g.Area(a)
	if area == nil {
		return look{st: NoReply}
	}
	w, written := m.words[a]
	l := look{jammed: len(m.jams[a]) > 0}
	if !written {
		w, l.st = Fill(m.fill, uint64(a), area.Width), NeverWritten
	}
	l.stored = w
	var seen []int
	for c := range area.Columns() {
		bit := m.storedColumn(area, w, c)
		if stuck, ok := m.jams[a][c]; ok {
			l.altered = l.altered || stuck != bit
			bit = stuck
		}
		seen = append(seen, bit)
	}
	for i := range area.Width {
		l.seen |= Word(seen[i]) << i
	}
	for c := area.Width; c < area.Columns(); c++ {
		if m.storedColumn(area, l.seen, c) != seen[c] {
			l.st |= ParityWrong
		}
	}
	return l
}

// storedColumn is column c as it is made for the data word w.
func (m *model) storedColumn(area *Area, w Word, c int) int {
	if c < area.Width {
		return int(w >> c & 1)
	}
	p := area.Parity[c-area.Width]
	ones := 0
	for i := p.Lo; i <= p.Hi; i++ {
		ones += int(w >> i & 1)
	}
	if p.Odd {
		ones++
	}
	return ones % 2
}

// A saved is what a model remembers beside a Snapshot.
type saved struct {
	snapshot *Snapshot
	words    map[Addr]Word
	count    map[Addr][2]int64
}

// A driver does the same to a store and to a model, and reports where they part.
type driver struct {
	t     *testing.T
	s     *Store
	m     *model
	addrs []Addr
	saved []saved
	told  []Addr
	log   []string // what was done, for the failure
}

func newDriver(t *testing.T, g Geometry, fill uint64) *driver {
	d := &driver{t: t, s: NewStore(g, fill), m: &model{g: g, fill: fill, words: map[Addr]Word{},
		jams: map[Addr]map[int]int{}, count: map[Addr][2]int64{}, marks: map[Addr]bool{}}}
	d.s.OnChange(func(a Addr) { d.told = append(d.told, a) })
	for _, area := range g.Areas {
		d.addrs = append(d.addrs, area.First, area.First+1, area.Last, area.Last+1)
	}
	d.addrs = append(d.addrs, math.MaxUint64)
	return d
}

// step takes what to do from four numbers, does it to both, and compares.
func (d *driver) step(verb, where, column, value byte) {
	a := d.addrs[int(where)%len(d.addrs)]
	c := int(column)%24 - 1
	w := Word(value) * 0x0101_0101_0101_0101
	before := map[Addr]look{}
	for m := range d.m.marks {
		before[m] = d.m.look(m)
	}
	d.told = nil
	verbs := []func(Addr, int, Word){d.read, d.read, d.write, d.write, d.poke, d.jam, d.jam, d.unjam, d.mark, d.snapshot, d.restore, d.load}
	d.log = append(d.log, fmt.Sprintf("%d(%#x, %d, %#x)", int(verb)%len(verbs), a, c, w))
	verbs[int(verb)%len(verbs)](a, c, w)

	var changed []Addr
	for m, was := range before {
		now := d.m.look(m)
		if d.m.marks[m] && (now.seen != was.seen || now.st != was.st || now.jammed != was.jammed) {
			changed = append(changed, m)
		}
	}
	slices.Sort(changed)
	slices.Sort(d.told)
	d.same("changes told", d.told, changed)
	d.compare(a, c)
}

// compare looks at one word and one of its columns in every way that changes nothing.
func (d *driver) compare(a Addr, c int) {
	l := d.m.look(a)
	stored, seen, st := d.s.Peek(a)
	d.same("Peek", look{stored: stored, seen: seen, st: st}, look{stored: l.stored, seen: l.seen, st: l.st})
	reads, altered := d.s.JamReads(a)
	d.same("JamReads", [2]int64{reads, altered}, d.m.count[a])
	area := d.m.g.Area(a)
	_, sees, ok := d.s.Column(a, c)
	d.same("Column exists", ok, area != nil && c >= 0 && c < area.Columns())
	if stuck, jammed := d.m.jams[a][c]; jammed {
		d.same("Column seen", sees, stuck)
	}
}

func (d *driver) same(what string, got, want any) {
	d.t.Helper()
	if fmt.Sprint(got) != fmt.Sprint(want) {
		d.t.Fatalf("%s: got %v, want %v, after the last of %v", what, got, want, d.log)
	}
}

func (d *driver) read(a Addr, _ int, _ Word) {
	l := d.m.look(a)
	w, st := d.s.Read(a)
	d.same("Read", look{seen: w, st: st}, look{seen: l.seen, st: l.st})
	if l.jammed {
		n := d.m.count[a]
		n[0]++
		if l.altered {
			n[1]++
		}
		d.m.count[a] = n
	}
}

func (d *driver) write(a Addr, _ int, w Word) {
	area, want := d.m.g.Area(a), Status(0)
	switch {
	case area == nil:
		want = NoReply
	case area.Wired:
		want = Protected
	default:
		d.m.words[a] = w & Mask(area.Width)
	}
	d.same("Write", d.s.Write(a, w), want)
}

func (d *driver) poke(a Addr, _ int, w Word) {
	area := d.m.g.Area(a)
	w >>= 56 // an octet: too wide for the narrowest area only
	fits := area != nil && !area.Wired && w <= Mask(area.Width)
	if fits {
		d.m.words[a] = w
	}
	d.same("Poke accepts", d.s.Poke(a, w) == nil, fits)
}

func (d *driver) jam(a Addr, c int, w Word) {
	area, v := d.m.g.Area(a), int(w&1)
	there := area != nil && c >= 0 && c < area.Columns()
	stuck, jammed := d.m.jams[a][c]
	if there && !jammed {
		if d.m.jams[a] == nil {
			d.m.jams[a] = map[int]int{}
		}
		d.m.jams[a][c] = v
	}
	d.same("Jam accepts", d.s.Jam(a, c, v) == nil, there && (!jammed || stuck == v))
	d.compareJams()
}

func (d *driver) unjam(a Addr, c int, _ Word) {
	_, jammed := d.m.jams[a][c]
	delete(d.m.jams[a], c)
	if len(d.m.jams[a]) == 0 {
		delete(d.m.count, a)
	}
	d.same("Unjam accepts", d.s.Unjam(a, c) == nil, jammed)
	d.compareJams()
}

func (d *driver) compareJams() {
	var want []Jam
	for _, a := range slices.Sorted(maps.Keys(d.m.jams)) {
		for _, c := range slices.Sorted(maps.Keys(d.m.jams[a])) {
			want = append(want, Jam{a, c, d.m.jams[a][c]})
		}
	}
	d.same("Jams", d.s.Jams(), want)
}

func (d *driver) mark(a Addr, _ int, w Word) {
	if w&1 == 0 {
		d.s.Unmark(a)
		delete(d.m.marks, a)
		return
	}
	_, written := d.m.words[a]
	if d.m.g.Area(a) != nil {
		d.m.marks[a] = true
	}
	d.same("Mark says plain", d.s.Mark(a), written && len(d.m.jams[a]) == 0)
}

func (d *driver) snapshot(Addr, int, Word) {
	d.saved = append(d.saved, saved{d.s.Snapshot(), maps.Clone(d.m.words), maps.Clone(d.m.count)})
}

func (d *driver) restore(_ Addr, _ int, w Word) {
	if len(d.saved) == 0 {
		return
	}
	old := d.saved[int(w&0xFF)%len(d.saved)]
	d.m.words = maps.Clone(old.words)
	for a := range d.m.count {
		delete(d.m.count, a)
	}
	for a, n := range old.count {
		if len(d.m.jams[a]) > 0 {
			d.m.count[a] = n
		}
	}
	d.same("Restore refuses", d.s.Restore(old.snapshot), nil)
	for _, a := range d.addrs {
		d.compare(a, 0)
	}
}

func (d *driver) load(a Addr, _ int, w Word) {
	im := NewImage(d.m.g)
	area := d.m.g.Area(a)
	if area == nil {
		return
	}
	w &= Mask(area.Width)
	d.same("Set refuses", im.Set(a, w, Origin{}), nil)
	d.m.words[a] = w
	d.same("Load refuses", d.s.Load(im), nil)
}

// odd is a geometry with words of several widths; scattered over far more than a store could hold if spread is set.
func odd(spread bool) Geometry {
	g := Geometry{Style: Style{Radix: 16}, Width: 64, AddrBits: 64, Areas: []Area{
		{Name: "N", First: 3, Last: 9, Width: 5, Parity: []Parity{{Hi: 4}}},
		{Name: "W", First: 10, Last: 600, Width: 64, Parity: []Parity{{Odd: true, Hi: 63, Lo: 32}, {Hi: 31}, {Odd: true, Hi: 40, Lo: 20}}},
		{Name: "R", First: 1000, Last: 1300, Width: 18, Wired: true, Parity: []Parity{{Odd: true, Hi: 17}}},
		{Name: "E", First: 2000, Last: 2255, Width: 22},
	}}
	if spread {
		g.Areas[3].First, g.Areas[3].Last = math.MaxUint64-255, math.MaxUint64
	}
	return g
}

// TestStoreModel drives store and model through long random runs.
func TestStoreModel(t *testing.T) {
	for _, spread := range []bool{false, true} {
		g := odd(spread)
		if err := g.Check(); err != nil {
			t.Fatal(err)
		}
		for run := range uint64(60) {
			r := rand.New(rand.NewPCG(run, 7))
			d := newDriver(t, g, run)
			for range 400 {
				d.step(byte(r.Uint32()), byte(r.Uint32()), byte(r.Uint32()), byte(r.Uint32()))
			}
		}
	}
}

// FuzzStoreModel holds that no run of reads, writes, keyed words, jams, marks, snapshots and loads parts store and model.
func FuzzStoreModel(f *testing.F) {
	f.Add([]byte{5, 0, 3, 1, 2, 0, 0, 7, 0, 0, 0, 0}, true)
	f.Add([]byte{9, 0, 0, 0, 2, 4, 0, 255, 10, 0, 0, 0, 0, 4, 0, 0}, false)
	f.Fuzz(func(t *testing.T, ops []byte, spread bool) {
		d := newDriver(t, odd(spread), 3)
		for op := range slices.Chunk(ops[:min(len(ops), 2000)], 4) {
			if len(op) == 4 {
				d.step(op[0], op[1], op[2], op[3])
			}
		}
	})
}
