package memory

import (
	"math/rand/v2"
	"slices"
)

// A plain is a jammed store as plainly as it can be written: every cell is a number in a map, every jam is asked at every
// step whether it has anything to say.
type plain struct {
	g       Geometry
	fill    uint64
	now     int64
	cells   map[Cell]int
	written map[Addr]bool // units
	jams    []*plainJam   // in the order of compareJams
	sense   map[Cell]int  // by first address of an area
	count   map[Addr][2]int64
}

// A plainJam is a jam and what it remembers.
type plainJam struct {
	Jam
	draws        *rand.PCG
	touched      int64
	met, altered int64
}

func (m *plain) clone() *plain {
	c := &plain{g: m.g, fill: m.fill, now: m.now, cells: map[Cell]int{}, written: map[Addr]bool{}, sense: map[Cell]int{}, count: map[Addr][2]int64{}}
	for k, v := range m.cells {
		c.cells[k] = v
	}
	for k, v := range m.written {
		c.written[k] = v
	}
	for k, v := range m.sense {
		c.sense[k] = v
	}
	for k, v := range m.count {
		c.count[k] = v
	}
	for _, j := range m.jams {
		k, draws := *j, *j.draws
		k.draws = &draws
		c.jams = append(c.jams, &k)
	}
	return c
}

func (m *plain) step() Addr { return Addr(m.g.Step()) }

// cell is what a cell holds: the fill, or its parity, until something changes it.
func (m *plain) cell(a Addr, column int) int {
	if v, ok := m.cells[Cell{a, column}]; ok {
		return v
	}
	area := m.g.Area(a)
	return m.columnOf(area, a, Fill(m.fill, uint64(a), area.Width), column)
}

// columnOf is column c of the data word w as it is made for address a.
func (m *plain) columnOf(area *Area, a Addr, w Word, c int) int {
	return (&model{}).storedColumn(area, a, w, c)
}

// set makes all cells of a word hold numbers.
func (m *plain) set(a Addr, columns []int) {
	for c, v := range columns {
		m.cells[Cell{a, c}] = v
	}
}

func (m *plain) word(a Addr) (columns []int) {
	for c := range m.g.Area(a).Columns() {
		columns = append(columns, m.cell(a, c))
	}
	return columns
}

// acts draws for an intermittent jam.
func (j *plainJam) acts() bool { return j.OneIn < 2 || j.draws.Uint64()%j.OneIn == 0 }

func (j *plainJam) note(altered bool) {
	j.met++
	if altered {
		j.altered++
	}
}

// sameArea is whether a jam on a plug-in is about that of a.
func (m *plain) sameArea(j *plainJam, a Addr) bool { return m.g.Area(j.Addr) == m.g.Area(a) }

// inRow is whether a fading row holds a.
func (m *plain) inRow(j *plainJam, a Addr) bool {
	return j.Fault == Fades && m.sameArea(j, a) && a&j.Rows == j.Addr&j.Rows
}

// about is whether a jam is one of the word's own.
func (m *plain) about(j *plainJam, a Addr) bool {
	switch j.Fault {
	case Stuck, NeverRises, NeverFalls, StuckOpen:
		return j.Addr == a
	case Inverts, Forces, Holds, Shades, Disturbs:
		return j.Addr == a || j.By.Addr == a
	}
	return m.inRow(j, a)
}

func (m *plain) steered() bool {
	return slices.ContainsFunc(m.jams, func(j *plainJam) bool { return j.Fault == AddressLine || j.Fault == AddressTied })
}

// reach sends an address down the lines.
func (m *plain) reach(a Addr) (at Addr, st Status) {
	at = a
	for _, j := range m.jams {
		if j.Fault != AddressLine && j.Fault != AddressTied {
			continue
		}
		was := at
		if j.acts() {
			if j.Fault == AddressLine {
				at = at&^(1<<j.Column) | Addr(j.Value)<<j.Column
			} else {
				one, other := at>>j.Column&1, at>>j.With&1
				both := one & other
				if j.Value == 1 {
					both = one | other
				}
				at = at&^(1<<j.Column)&^(1<<j.With) | both<<j.Column | both<<j.With
			}
		}
		j.note(at != was)
	}
	if m.g.Area(at) == nil {
		return at, NoReply
	}
	for _, j := range m.jams {
		if j.Fault == NoSelect && m.sameArea(j, at) {
			dead := j.acts()
			j.note(dead)
			if dead {
				return at, NoReply
			}
		}
	}
	return at, 0
}

// refresh lets rows fade that were left alone too long, and begins their time anew.
func (m *plain) refresh(at Addr) {
	for _, j := range m.jams {
		if !m.inRow(j, at) {
			continue
		}
		if j.touched != never && m.now-j.touched >= j.After {
			m.fade(j)
		} else {
			j.note(false)
		}
		j.touched = m.now
	}
}

func (m *plain) fade(j *plainJam) {
	acts := j.acts()
	j.note(acts)
	area := m.g.Area(j.Addr)
	for a := area.First; acts && a <= area.Last; a += m.step() {
		if m.inRow(j, a) {
			m.set(a, slices.Repeat([]int{area.Cell(j.Value)}, area.Columns()))
		}
	}
}

// isWritten is the remark on a word.
func (m *plain) isWritten(a Addr) Status {
	for u := a; u-a < m.step(); u++ {
		if !m.written[u] {
			return NeverWritten
		}
	}
	return 0
}

// readWord reads one word; shown is its columns before any correction, at where it was found.
func (m *plain) readWord(a Addr) (w Word, st Status, shown []int, at Addr) {
	at, st = m.reach(a)
	if st != 0 {
		return 0, st, nil, at
	}
	m.refresh(at)
	area := m.g.Area(at)
	shown = m.word(at)
	held := slices.Clone(shown)
	own := false
	stick := func(fault Fault, always bool, concerns func(j *plainJam) bool) {
		for _, j := range m.jams {
			if j.Fault == fault && (j.OneIn < 2) == always && concerns(j) {
				was, value := shown[j.Column], j.Value
				if fault != ReadLine {
					value = area.Cell(value)
				}
				if j.acts() {
					shown[j.Column] = value
				}
				if always {
					j.note(held[j.Column] != value)
				} else {
					j.note(shown[j.Column] != was)
				}
			}
		}
	}
	here := func(j *plainJam) bool { return j.Addr == at }
	area2 := func(j *plainJam) bool { return m.sameArea(j, at) }
	line := func(j *plainJam) bool { return j.Column < area.Width }
	stick(Stuck, true, here)
	stick(Stuck, false, here)
	for _, j := range m.jams {
		if j.Fault == Shades && j.Addr == at && m.on(j) {
			was := shown[j.Column]
			if j.acts() {
				shown[j.Column] = area.Cell(j.Value)
			}
			j.note(shown[j.Column] != was)
		}
	}
	stick(ChipStuck, true, area2)
	stick(ChipStuck, false, area2)
	open := false
	for _, j := range m.jams {
		own = own || m.about(j, at)
		if j.Fault != StuckOpen || !m.sameArea(j, at) {
			continue
		}
		open = true
		if j.Addr == at {
			was := shown[j.Column]
			if j.acts() {
				shown[j.Column] = m.sense[Cell{area.First, j.Column}]
			}
			j.note(shown[j.Column] != was)
		}
	}
	for c, v := range shown {
		if open {
			m.sense[Cell{area.First, c}] = v
		}
	}
	stick(ReadLine, true, line)
	stick(ReadLine, false, line)
	if own {
		n := m.count[at]
		n[0]++
		if !slices.Equal(shown, held) {
			n[1]++
		}
		m.count[at] = n
	}
	w, remark := m.judge(area, a, shown)
	return w, remark | m.isWritten(at), shown, at
}

// judge is the data word of columns, corrected if one turn of one column, and no other, makes them right.
func (m *plain) judge(area *Area, a Addr, shown []int) (Word, Status) {
	old := &model{}
	if old.fits(area, a, shown) {
		return wordOf(area, shown), 0
	}
	var ways []Word
	for c := range shown {
		turned := slices.Clone(shown)
		turned[c] ^= 1
		if area.Corrects && old.fits(area, a, turned) {
			ways = append(ways, wordOf(area, turned))
		}
	}
	if len(ways) == 1 {
		return ways[0], Corrected
	}
	return wordOf(area, shown), ParityWrong
}

// writeWord writes the given bits of the word that was reached by another address, perhaps.
func (m *plain) writeWord(sent, at Addr, written, w Word, wrong bool) {
	m.refresh(at)
	area := m.g.Area(at)
	for _, j := range m.jams {
		if j.Fault == WriteLine && j.Column < area.Width && written>>j.Column&1 == 1 {
			was := w
			if j.acts() {
				w = w&^(1<<j.Column) | Word(j.Value)<<j.Column
			}
			j.note(w != was)
		}
	}
	old := m.word(at)
	data := wordOf(area, old)&^written | w&written&Mask(area.Width)
	now := make([]int, area.Columns())
	for c := range now {
		now[c] = m.columnOf(area, sent, data, c)
		if wrong && c >= area.Width {
			now[c] ^= 1
		}
	}
	want := slices.Clone(now)
	for _, j := range m.jams {
		if j.Addr != at {
			continue
		}
		was, new := area.Cell(old[j.Column]), area.Cell(want[j.Column])
		if j.Fault == NeverRises && was < new || j.Fault == NeverFalls && was > new || j.Fault == StuckOpen {
			stays := j.acts()
			if stays {
				now[j.Column] = old[j.Column]
			}
			j.note(stays && was != new)
		}
	}
	m.set(at, now)
	for _, j := range m.jams {
		if !m.about(j, at) || j.Fault == Fades {
			continue
		}
		on := area.Cell(j.On)
		becomes := j.By.Addr == at && m.held(at, old, j.By.Column) != on && m.held(at, now, j.By.Column) == on
		victim := Cell{j.Addr, j.Column}
		switch {
		case j.Fault == Inverts && becomes, j.Fault == Disturbs && j.By.Addr == at:
			m.strike(j, 1-m.cell(victim.Addr, victim.Column))
		case j.Fault == Forces && becomes:
			m.strike(j, m.g.Area(j.Addr).Cell(j.Value))
		case j.Fault == Holds:
			m.hold(j)
		}
	}
}

// held is what a cell that may be stuck is like to its neighbours.
func (m *plain) held(a Addr, columns []int, c int) int {
	for _, j := range m.jams {
		if j.Fault == Stuck && j.OneIn < 2 && j.Addr == a && j.Column == c {
			return m.g.Area(a).Cell(j.Value)
		}
	}
	return columns[c]
}

func (m *plain) hold(j *plainJam) {
	if m.on(j) {
		m.strike(j, m.g.Area(j.Addr).Cell(j.Value))
	}
}

// on is whether an aggressor is in the state that couples, faded as it may be by now.
func (m *plain) on(j *plainJam) bool {
	by, area := j.By, m.g.Area(j.By.Addr)
	columns := m.word(by.Addr)
	for _, f := range m.jams {
		if m.inRow(f, by.Addr) && f.touched != never && m.now-f.touched >= f.After {
			draws := *f.draws
			if f.OneIn < 2 || draws.Uint64()%f.OneIn == 0 {
				columns = slices.Repeat([]int{area.Cell(f.Value)}, area.Columns())
			}
		}
	}
	return m.held(by.Addr, columns, by.Column) == area.Cell(j.On)
}

func (m *plain) strike(j *plainJam, v int) {
	was, acts := m.cell(j.Addr, j.Column), j.acts()
	j.note(acts && was != v)
	if acts {
		m.set(j.Addr, m.word(j.Addr))
		m.cells[Cell{j.Addr, j.Column}] = v
	}
}
