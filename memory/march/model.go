package march

// mostCells is the size of the largest model.
const mostCells = 8

// A model is a memory of a few bits with one fault, or two that are linked.
type model struct {
	cells [mostCells]uint8
	bound []bound

	open  int   // the cell that is stuck open, or -1
	sense uint8 // what was last read

	reach [mostCells][]int // by address, where the decoder is at fault: the cells that it reaches; nil: its own
	wired bool             // the decoder is at fault
	and   bool             // two cells read together give their AND, else their OR
	none  uint8            // what a read of no cell gives
}

// start puts a content in place, cell 0 at the right.
func (m *model) start(content, sense uint8) {
	for i := range m.cells {
		m.cells[i] = content >> i & 1
	}
	m.sense = sense
	m.settle()
}

// write writes to an address.
func (m *model) write(a int, value uint8) {
	if !m.wired {
		m.writeCell(a, value)
		return
	}
	for _, c := range m.reach[a] {
		m.writeCell(c, value)
	}
}

// read reads an address.
func (m *model) read(a int) uint8 {
	if !m.wired {
		return m.readCell(a)
	}
	if len(m.reach[a]) == 0 {
		return m.none
	}
	got := m.readCell(m.reach[a][0])
	for _, c := range m.reach[a][1:] {
		if m.and {
			got &= m.readCell(c)
		} else {
			got |= m.readCell(c)
		}
	}
	return got
}

func (m *model) writeCell(c int, value uint8) {
	m.change(c, value)
	m.settle()
}

// change is a write that is not settled yet: one bit of a word of several.
func (m *model) change(c int, value uint8) {
	if c == m.open {
		return
	}
	before := m.cells
	m.cells[c] = value
	m.disturb(before, c, W0|Op(value))
}

func (m *model) readCell(c int) uint8 {
	if c == m.open {
		return m.sense
	}
	before := m.cells
	m.sense = before[c]
	if gives := m.disturb(before, c, R0); gives != unknown {
		m.sense = gives
	}
	m.settle()
	return m.sense
}

// disturb does what the primitives say of an operation on a cell; it gives what a read is made to give, or unknown. All
// primitives are judged by what the cells held before: those of linked faults do not see each other's work within it.
func (m *model) disturb(before [mostCells]uint8, c int, op Op) (gives uint8) {
	gives = unknown
	for i := range m.bound {
		b := &m.bound[i]
		switch {
		case b.coupled && b.aggressor.op != 0:
			if c == b.a && b.aggressor.met(before[b.a], op) && before[b.v] == b.victim.state {
				m.cells[b.v] = b.becomes
			}
		case b.victim.op != 0:
			if c == b.v && b.victim.met(before[b.v], op) && (!b.coupled || before[b.a] == b.aggressor.state) {
				m.cells[b.v] = b.becomes
				gives = b.gives
			}
		}
	}
	return gives
}

// settle does what the primitives without an operation say.
func (m *model) settle() {
	for i := range m.bound {
		b := &m.bound[i]
		if b.victim.op != 0 || (b.coupled && b.aggressor.op != 0) {
			continue
		}
		if m.cells[b.v] == b.victim.state && (!b.coupled || m.cells[b.a] == b.aggressor.state) {
			m.cells[b.v] = b.becomes
		}
	}
}

// detects runs a test on so many cells; choice has a bit for each element, a one sending an either down.
func (m *model) detects(t *Test, cells int, choice uint) bool {
	for n, e := range t.Elements {
		down := e.Order == Down || (e.Order == Either && choice>>n&1 == 1)
		for i := range cells {
			if down {
				i = cells - 1 - i
			}
			for _, op := range e.Ops {
				if op.writes() {
					m.write(i, op.value())
				} else if m.read(i) != op.value() {
					return true
				}
			}
		}
	}
	return false
}
