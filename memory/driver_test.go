package memory

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A saved is what a model remembers beside a Snapshot.
type saved struct {
	snapshot *Snapshot
	units    map[Addr]Word
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
	d := &driver{t: t, s: NewStore(g, fill), m: &model{g: g, fill: fill, units: map[Addr]Word{},
		jams: map[Addr]map[int]int{}, count: map[Addr][2]int64{}, marks: map[Addr]bool{}}}
	d.s.OnChange(func(a Addr) { d.told = append(d.told, a) })
	for _, area := range g.Areas {
		step := Addr(g.Step())
		d.addrs = append(d.addrs, area.First, area.First+1, area.First+step, area.Last-step+1, area.Last, area.Last+1)
	}
	d.addrs = append(d.addrs, math.MaxUint64)
	return d
}

// step takes what to do from four numbers, does it to both, and compares.
func (d *driver) step(verb, where, column, value byte) {
	a := d.addrs[int(where)%len(d.addrs)]
	c := int(column)%24 - 1
	w := Word(value) * 0x9E37_79B9_7F4A_7C15 // odd, so that the lowest bit is that of value
	before := map[Addr]look{}
	for m := range d.m.marks {
		before[m] = d.m.look(m)
	}
	d.told = nil
	verbs := []func(Addr, int, Word){d.read, d.read, d.write, d.write, d.poke, d.readPart, d.writePart, d.jam, d.jam, d.unjam, d.mark, d.snapshot, d.restore, d.load}
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
	l := d.m.peek(a, d.m.g.Width)
	stored, seen, st := d.s.Peek(a)
	d.same("Peek", look{stored: stored, seen: seen, st: st}, l)
	reads, altered := d.s.JamReads(a)
	d.same("JamReads", [2]int64{reads, altered}, d.m.count[a])
	area := d.m.g.Area(a)
	_, sees, ok := d.s.Column(a, c)
	d.same("Column exists", ok, area != nil && c >= 0 && c < area.Columns() && a == d.m.own(a))
	if stuck, jammed := d.m.jams[a][c]; jammed {
		if area.Inverted {
			sees = 1 - sees
		}
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
	w, st := d.s.Read(a)
	want, remarks := d.m.read(a, d.m.g.Width)
	d.same("Read", look{seen: w, st: st}, look{seen: want, st: remarks})
}

func (d *driver) write(a Addr, _ int, w Word) {
	want := d.m.write(a, d.m.g.Width, w)
	d.same("Write", d.s.Write(a, w), want)
}

// partBits makes the width of a piece of a column number: half of them are widths that a piece may have.
func (d *driver) partBits(c int) int { return c * d.m.unit() / 2 }

func (d *driver) readPart(a Addr, c int, _ Word) {
	w, st := d.s.ReadPart(a, d.partBits(c))
	want, remarks := d.m.read(a, d.partBits(c))
	d.same("ReadPart", look{seen: w, st: st}, look{seen: want, st: remarks})
}

func (d *driver) writePart(a Addr, c int, w Word) {
	want := d.m.write(a, d.partBits(c), w)
	d.same("WritePart", d.s.WritePart(a, d.partBits(c), w), want)
}

func (d *driver) poke(a Addr, _ int, w Word) {
	area := d.m.g.Area(a)
	w >>= 56 // an octet: too wide for the narrowest area only
	fits := area != nil && !area.Wired && w <= Mask(area.Width) && a == d.m.own(a)
	if fits {
		d.m.write(a, d.m.g.Width, w)
	}
	d.same("Poke accepts", d.s.Poke(a, w) == nil, fits)
}

func (d *driver) jam(a Addr, c int, w Word) {
	area, v := d.m.g.Area(a), int(w&1)
	there := area != nil && c >= 0 && c < area.Columns() && a == d.m.own(a)
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
			want = append(want, Jam{Addr: a, Column: c, Value: d.m.jams[a][c]})
		}
	}
	d.same("Jams", d.s.Jams(), want)
}

func (d *driver) mark(a Addr, _ int, w Word) {
	units, _ := d.m.piece(a, d.m.g.Width)
	plain := true
	there := d.m.peek(a, d.m.g.Width).st != NoReply
	for _, own := range d.m.words(units) {
		l := d.m.look(own)
		plain = plain && there && l.st&NeverWritten == 0 && !l.jammed
		if there {
			d.m.marks[own] = true
		}
		if there && w&1 == 0 {
			delete(d.m.marks, own)
		}
	}
	if w&1 == 0 {
		d.s.Unmark(a)
		return
	}
	d.same("Mark says plain", d.s.Mark(a), plain)
}

func (d *driver) snapshot(Addr, int, Word) {
	d.saved = append(d.saved, saved{d.s.Snapshot(), maps.Clone(d.m.units), maps.Clone(d.m.count)})
}

func (d *driver) restore(_ Addr, _ int, w Word) {
	if len(d.saved) == 0 {
		return
	}
	old := d.saved[int(w&0xFF)%len(d.saved)]
	d.m.units = maps.Clone(old.units)
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
	d.same("Set accepts", im.Set(a, w, Origin{}) == nil, a == d.m.own(a))
	if a != d.m.own(a) {
		return
	}
	// Wired store too: the model's write would refuse.
	units, _ := d.m.piece(a, d.m.g.Width)
	for _, u := range units {
		d.m.units[u] = w >> d.m.right(u) & Mask(d.m.unit())
	}
	d.same("Load refuses", d.s.Load(im), nil)
}

// shapes are the geometries to drive: see odd and units.
func shapes() []Geometry {
	return []Geometry{odd(false), odd(true), units(false, 0), units(true, 0), units(false, 1<<40), units(true, 1<<40)}
}

// odd is a geometry with words of several widths; scattered over far more than a store could hold if spread is set.
func odd(spread bool) Geometry {
	g := Geometry{Style: Style{Radix: 16}, Width: 64, AddrBits: 64, Areas: []Area{
		{Name: "N", First: 3, Last: 9, Width: 5, Parity: []Parity{{Hi: 4}}},
		{Name: "W", First: 10, Last: 600, Width: 64, Parity: []Parity{{Odd: true, Hi: 63, Lo: 32}, {Hi: 31}, {Odd: true, Hi: 40, Lo: 20}}},
		{Name: "R", First: 1000, Last: 1300, Width: 18, Wired: true, Inverted: true, Parity: []Parity{{Odd: true, Hi: 17}}},
		{Name: "E", First: 2000, Last: 2255, Width: 22, Inverted: true},
	}}
	if spread {
		g.Areas[3].First, g.Areas[3].Last = math.MaxUint64-255, math.MaxUint64
	}
	return g
}

// units is a geometry of 24-bit words of three units, with parity and correction of all kinds, at both ends of its addresses
// and so that its areas touch, from base on.
func units(lowFirst bool, base Addr) Geometry {
	g := Geometry{Style: Style{Radix: 16}, Width: 24, AddrBits: 48, Unit: 8, LowFirst: lowFirst}
	if base == 0 {
		g.AddrBits = 12
	}
	base -= base % 3
	top := Addr(Mask(g.AddrBits)) // a multiple of three, so that the last word ends two units above it: none is there
	g.Areas = []Area{
		{Name: "A", First: base, Last: base + 299, Width: 24, Parity: []Parity{{Odd: true, Hi: 23, Address: true}, {Over: 0xF0F0F0}}},
		{Name: "C", First: base + 300, Last: base + 599, Width: 16, Corrects: true, Inverted: true, Parity: oddColumns(16)},
		{Name: "R", First: base + 600, Last: base + 608, Width: 24, Wired: true, Parity: []Parity{{Hi: 23}}},
		{Name: "H", First: base + 609, Last: base + 617, Width: 20, Parity: []Parity{{Hi: 19, Lo: 5, Odd: true}}},
		{Name: "T", First: top - 300, Last: top - 1, Width: 24},
	}
	return g
}

// TestStoreModel drives store and model through long random runs.
func TestStoreModel(t *testing.T) {
	runs := uint64(12)
	if testing.Short() {
		runs = 3
	}
	for n, g := range shapes() {
		if err := g.Check(); err != nil {
			t.Fatalf("shape %d: %v", n, err)
		}
		for run := range runs {
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
	for shape := range shapes() {
		f.Add([]byte{7, 0, 3, 1, 2, 0, 0, 7, 0, 0, 0, 0}, byte(shape))
		f.Add([]byte{11, 0, 0, 0, 2, 4, 0, 255, 12, 0, 0, 0, 0, 4, 0, 0, 6, 7, 3, 9, 5, 7, 5, 0}, byte(shape))
	}
	f.Fuzz(func(t *testing.T, ops []byte, shape byte) {
		all := shapes()
		d := newDriver(t, all[int(shape)%len(all)], 3)
		for op := range slices.Chunk(ops[:min(len(ops), 2000)], 4) {
			if len(op) == 4 {
				d.step(op[0], op[1], op[2], op[3])
			}
		}
	})
}
