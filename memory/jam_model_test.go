package memory

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// A jamDriver does the same to a jammed store and to a plain one, and reports where they part.
type jamDriver struct {
	t     *testing.T
	r     *rand.Rand
	s     *Store
	m     *plain
	addrs []Addr
	saved []struct {
		snapshot *Snapshot
		m        *plain
	}
	log     []string
	altered map[Fault]int // jams that made a difference
}

// jamShapes are the geometries to jam: parity over data, over the address as well, correction, wired store, units.
func jamShapes() []Geometry {
	words := Geometry{Style: Style{Radix: 8}, Width: 12, AddrBits: 10, Areas: []Area{
		{Name: "A", First: 0, Last: 0o77, Width: 12, Parity: []Parity{{Odd: true, Hi: 5}, {Hi: 11, Lo: 6, Address: true}}},
		{Name: "B", First: 0o100, Last: 0o177, Width: 8, Inverted: true, Corrects: true, Parity: oddColumns(8)},
		{Name: "W", First: 0o200, Last: 0o237, Width: 12, Wired: true, Parity: []Parity{{Odd: true, Hi: 11}}},
		{Name: "C", First: 0o400, Last: 0o477, Width: 12},
	}}
	units := Geometry{Style: Style{Radix: 16}, Width: 16, AddrBits: 9, Unit: 4, LowFirst: true, Areas: []Area{
		{Name: "A", First: 0, Last: 0x3F, Width: 16, Parity: []Parity{{Odd: true, Hi: 15, Address: true}}},
		{Name: "B", First: 0x40, Last: 0x7F, Width: 14, Inverted: true, Parity: []Parity{{Odd: true, Hi: 13}}},
		{Name: "W", First: 0x80, Last: 0x8F, Width: 16, Wired: true},
	}}
	return []Geometry{words, units}
}

func newJamDriver(t *testing.T, g Geometry, seed uint64) *jamDriver {
	d := &jamDriver{t: t, r: rand.New(rand.NewPCG(seed, 3)), s: NewStore(g, seed),
		m: &plain{g: g, fill: seed, cells: map[Cell]int{}, written: map[Addr]bool{}, sense: map[Cell]int{}, count: map[Addr][2]int64{}}}
	d.s.Clock(func() int64 { return d.m.now })
	for _, area := range g.Areas {
		for n := range Addr(2) { // few, so that jams meet
			d.addrs = append(d.addrs, area.First+n*Addr(g.Step()))
		}
	}
	return d
}

// word picks one of the words.
func (d *jamDriver) word() Addr { return d.addrs[d.r.IntN(len(d.addrs))] }

// any picks an address near one of the words, sometimes one where nothing answers.
func (d *jamDriver) any() Addr {
	if d.r.IntN(20) == 0 {
		return Addr(d.r.Uint64N(1 << d.m.g.AddrBits))
	}
	return d.word() + Addr(d.r.IntN(d.m.g.Step()))
}

func (d *jamDriver) same(what string, got, want any) {
	d.t.Helper()
	if fmt.Sprint(got) != fmt.Sprint(want) {
		d.t.Fatalf("%s: got %v, want %v, after\n%v", what, got, want, d.log)
	}
}

func (d *jamDriver) say(format string, args ...any) {
	d.log = append(d.log, fmt.Sprintf(format, args...)+"\n")
}

// jam makes up a jam, mostly a right one.
func (d *jamDriver) jam() Jam {
	g := &d.m.g
	a, by := d.word(), d.word()
	j := Jam{Fault: Fault(d.r.IntN(int(faults))), Addr: a, Column: d.r.IntN(g.Area(a).Columns()), Value: d.r.IntN(2), On: d.r.IntN(2),
		By: Cell{by, d.r.IntN(g.Area(by).Columns())}, Rows: Addr(d.r.IntN(16)), After: 1 + d.r.Int64N(20)}
	if cells := []Fault{NeverRises, NeverFalls, Inverts, Forces, Holds, Shades, Disturbs}; d.r.IntN(2) == 0 {
		j.Fault = cells[d.r.IntN(len(cells))]
	}
	if j.Fault == AddressLine || j.Fault == AddressTied {
		j.Column, j.With = d.r.IntN(g.AddrBits), d.r.IntN(g.AddrBits)
	}
	if d.r.IntN(2) == 0 {
		j.OneIn, j.Seed = 2+d.r.Uint64N(3), d.r.Uint64N(1000)
	}
	return j
}

func (d *jamDriver) put() {
	j := d.jam()
	was := len(d.s.Jams())
	err := d.s.Put(j)
	d.say("Put(%+v) %v", j, err)
	if len(d.s.Jams()) == was {
		return // it was refused, or is in already
	}
	j = d.s.settled(j)
	p := &plainJam{Jam: j, draws: rand.NewPCG(j.Seed, j.OneIn), touched: d.m.now}
	d.m.jams = append(d.m.jams, p)
	slices.SortFunc(d.m.jams, func(a, b *plainJam) int { return compareJams(a.Jam, b.Jam) })
	if j.Fault == Holds {
		d.m.hold(p)
	}
}

// tally notes what a jam did.
func (d *jamDriver) tally(j *plainJam) {
	if j.altered > 0 {
		d.altered[j.Fault]++
	}
}

func (d *jamDriver) lift() {
	if len(d.m.jams) == 0 {
		return
	}
	i := d.r.IntN(len(d.m.jams))
	j := d.m.jams[i]
	d.say("Lift(%+v)", j.Jam)
	d.same("Lift", d.s.Lift(j.Jam), nil)
	if j.Fault == Fades && j.touched != never && d.m.now-j.touched >= j.After {
		d.m.fade(j)
	}
	d.tally(j)
	d.m.jams = slices.Delete(d.m.jams, i, i+1)
	d.dropState()
}

// dropState forgets what belongs to jams that are out.
func (d *jamDriver) dropState() {
	for a := range d.m.count {
		if !slices.ContainsFunc(d.m.jams, func(j *plainJam) bool { return d.m.about(j, a) }) {
			delete(d.m.count, a)
		}
	}
	for c := range d.m.sense {
		if !slices.ContainsFunc(d.m.jams, func(j *plainJam) bool { return j.Fault == StuckOpen && d.m.sameArea(j, c.Addr) }) {
			delete(d.m.sense, c)
		}
	}
}

// bits picks a width of a piece.
func (d *jamDriver) bits() int {
	return d.m.g.Width / d.m.g.Step() * (1 + d.r.IntN(d.m.g.Step()))
}

// piece is the units of a piece and the words they lie in.
func (d *jamDriver) piece(a Addr, bits int) (units, words []Addr) {
	old := &model{g: d.m.g}
	units, _ = old.piece(a, bits)
	return units, old.words(units)
}

// place is how far left in the piece its unit i is.
func (d *jamDriver) place(i, bits int) int {
	if d.m.g.LowFirst {
		return i * d.unit()
	}
	return bits - d.unit() - i*d.unit()
}

func (d *jamDriver) unit() int { return d.m.g.Width / d.m.g.Step() }

func (d *jamDriver) read() {
	a, bits := d.any(), d.bits()
	w, st := d.s.ReadPart(a, bits)
	if bits == d.m.g.Width && d.r.IntN(2) == 0 {
		d.say("Read(%#x) %#x %v", a, w, st)
	}
	d.say("ReadPart(%#x, %d) %#x %v", a, bits, w, st)
	want, wst := d.plainRead(d.m, a, bits)
	d.same("ReadPart", look{seen: w, st: st}, look{seen: want, st: wst})
}

// plainRead is a read of the plain store.
func (d *jamDriver) plainRead(m *plain, a Addr, bits int) (piece Word, st Status) {
	units, words := d.piece(a, bits)
	for _, own := range words {
		if !m.steered() && m.g.Area(own) == nil {
			return 0, NoReply
		}
	}
	got, reached := map[Addr]Word{}, map[Addr]Addr{}
	for _, own := range words {
		w, remarks, _, at := m.readWord(own)
		got[own], reached[own] = w, at
		st |= remarks
	}
	if st&NoReply != 0 {
		return 0, NoReply
	}
	unwritten := false
	old := &model{g: m.g}
	for i, u := range units {
		piece |= got[old.own(u)] >> old.right(u) & Mask(d.unit()) << d.place(i, bits)
		unwritten = unwritten || !m.written[reached[old.own(u)]+u-old.own(u)]
	}
	if !unwritten {
		st &^= NeverWritten
	}
	return piece, st
}

func (d *jamDriver) write() {
	a, bits, w := d.any(), d.bits(), Word(d.r.Uint64())
	got := d.s.WritePart(a, bits, w)
	d.say("WritePart(%#x, %d, %#x) %v", a, bits, w, got)
	d.same("WritePart", got, d.plainWrite(a, bits, w, false))
}

func (d *jamDriver) writeWrong() {
	a, w := d.any(), Word(d.r.Uint64())
	got := d.s.WriteWrong(a, w, "")
	d.say("WriteWrong(%#x, %#x) %v", a, w, got)
	d.same("WriteWrong", got, d.plainWrite(a, d.m.g.Width, w, true))
}

func (d *jamDriver) plainWrite(a Addr, bits int, w Word, wrong bool) Status {
	units, words := d.piece(a, bits)
	old := &model{g: d.m.g}
	reached := map[Addr]Addr{}
	for _, own := range words {
		if !d.m.steered() && d.m.g.Area(own) == nil {
			return NoReply
		}
		at, st := d.m.reach(own)
		if st != 0 {
			return st
		}
		if d.m.g.Area(at).Wired {
			return Protected
		}
		reached[own] = at
	}
	masks, data := map[Addr]Word{}, map[Addr]Word{}
	for i, u := range units {
		own := old.own(u)
		masks[own] |= Mask(d.unit()) << old.right(u)
		data[own] |= w >> d.place(i, bits) & Mask(d.unit()) << old.right(u)
		d.m.written[reached[own]+u-own] = true
	}
	for _, own := range words {
		d.m.writeWord(own, reached[own], masks[own], data[own], wrong)
	}
	return 0
}

func (d *jamDriver) poke() {
	a, w := d.word(), Word(d.r.Uint64N(256))
	area := d.m.g.Area(a)
	d.say("Poke(%#x, %#x)", a, w)
	d.same("Poke", d.s.Poke(a, w) == nil, !area.Wired)
	if area.Wired {
		return
	}
	for c := range area.Columns() {
		d.m.cells[Cell{a, c}] = d.m.columnOf(area, a, w, c)
	}
	for n := range d.m.step() {
		d.m.written[a+n] = true
	}
}

func (d *jamDriver) snapshot() {
	d.say("Snapshot()")
	d.saved = append(d.saved, struct {
		snapshot *Snapshot
		m        *plain
	}{d.s.Snapshot(), d.m.clone()})
}

func (d *jamDriver) restore() {
	if len(d.saved) == 0 {
		return
	}
	i := d.r.IntN(len(d.saved))
	d.say("Restore(%d)", i)
	d.same("Restore", d.s.Restore(d.saved[i].snapshot), nil)
	old := d.saved[i].m.clone()
	for _, j := range d.m.jams {
		k := slices.IndexFunc(old.jams, func(was *plainJam) bool { return was.Jam == j.Jam })
		if k >= 0 {
			*j = *old.jams[k]
			continue
		}
		*j = plainJam{Jam: j.Jam, draws: rand.NewPCG(j.Seed, j.OneIn), touched: never}
	}
	old.jams, old.now = d.m.jams, d.m.now
	d.m = old
	d.dropState()
}

func (d *jamDriver) wait() { d.m.now += d.r.Int64N(15) }

// compare looks at one word in every way that changes nothing.
func (d *jamDriver) compare() {
	a := d.word()
	want, wst := d.plainRead(d.m.clone(), a, d.m.g.Width)
	held := wordOf(d.m.g.Area(a), d.m.word(a))
	_, _, shown, _ := d.m.clone().readWord(a)
	stored, seen, st := d.s.Peek(a)
	// A row that has faded by now is only found so by the next access.
	if !slices.ContainsFunc(d.m.jams, func(j *plainJam) bool { return d.m.inRow(j, a) }) {
		d.same(fmt.Sprintf("Peek(%#x) stored", a), stored, held)
	}
	d.same(fmt.Sprintf("Peek(%#x)", a), look{seen: seen, st: st}, look{seen: want, st: wst})
	// Down wrong address lines stand words of other columns.
	if c := d.r.IntN(d.m.g.Area(a).Columns()); shown != nil && !d.m.steered() {
		_, sees, _ := d.s.Column(a, c)
		d.same(fmt.Sprintf("Column(%#x, %d)", a, c), sees, shown[c])
	}
	reads, altered := d.s.JamReads(a)
	d.same(fmt.Sprintf("JamReads(%#x)", a), [2]int64{reads, altered}, d.m.count[a])
	var jams []Jam
	for _, j := range d.m.jams {
		jams = append(jams, j.Jam)
		if j.Fault != Stuck || j.OneIn > 1 {
			met, altered := d.s.Effect(j.Jam)
			d.same(fmt.Sprintf("Effect(%+v)", j.Jam), [2]int64{met, altered}, [2]int64{j.met, j.altered})
		}
	}
	d.same("Jams", d.s.Jams(), jams)
}

// act does one thing to both, and compares.
func (d *jamDriver) act() {
	verbs := []func(){d.put, d.put, d.read, d.read, d.read, d.read, d.write, d.write, d.write, d.writeWrong, d.poke, d.wait, d.snapshot, d.restore, d.lift}
	verbs[d.r.IntN(len(verbs))]()
	d.compare()
}

// TestJamModel drives store and model through long random runs under jams of every kind.
func TestJamModel(t *testing.T) {
	runs := uint64(25)
	if testing.Short() {
		runs = 10
	}
	altered := map[Fault]int{}
	for _, g := range jamShapes() {
		if err := g.Check(); err != nil {
			t.Fatal(err)
		}
		for seed := range runs {
			d := newJamDriver(t, g, seed)
			d.altered = altered
			for range 300 {
				d.act()
			}
			for _, j := range d.m.jams {
				d.tally(j)
			}
		}
	}
	for f := range faults {
		if altered[f] == 0 && !testing.Short() {
			t.Errorf("no jam of fault %d made a difference in any run", f)
		}
	}
}

// A choices gives numbers as a fuzzer has them, and then others: noughts alone would keep a generator waiting.
type choices struct {
	bytes []byte
	then  *rand.PCG
}

func (c *choices) Uint64() (n uint64) {
	if len(c.bytes) < 3 {
		c.bytes = nil
		return c.then.Uint64()
	}
	n = uint64(c.bytes[0])<<56 | uint64(c.bytes[1])<<48 | uint64(c.bytes[2])<<40 // generators choose by the left of a number
	c.bytes = c.bytes[3:]
	return n | 0x5555555555
}

// FuzzJamModel holds that no run of jams, reads, writes and states put back parts store and plain store.
func FuzzJamModel(f *testing.F) {
	r := rand.New(rand.NewPCG(9, 9))
	for shape := range jamShapes() {
		numbers := make([]byte, 900)
		for i := range numbers {
			numbers[i] = byte(r.Uint32())
		}
		f.Add(numbers, byte(shape))
	}
	f.Fuzz(func(t *testing.T, numbers []byte, shape byte) {
		shapes := jamShapes()
		from := &choices{numbers[:min(len(numbers), 3000)], rand.NewPCG(1, 1)}
		d := newJamDriver(t, shapes[int(shape)%len(shapes)], 3)
		d.r, d.altered = rand.New(from), map[Fault]int{}
		for len(from.bytes) > 0 {
			d.act()
		}
	})
}
