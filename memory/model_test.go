package memory

import "math/bits"

// A model is a store as plainly as it can be written: maps by unit, and a loop over columns for everything. A test drives
// it and a Store alike.
type model struct {
	g     Geometry
	fill  uint64
	units map[Addr]Word        // written, a word being one unit where addresses count words
	jams  map[Addr]map[int]int // by address and column
	count map[Addr][2]int64    // reads and altered, of jammed words
	marks map[Addr]bool
}

// unit is how many bits a unit has.
func (m *model) unit() int { return m.g.Width / m.g.Step() }

// own is the address of the word that unit a is in.
func (m *model) own(a Addr) Addr { return a - a%Addr(m.g.Step()) }

// right is how many bits of its word are right of unit a.
func (m *model) right(a Addr) int {
	n := int(a - m.own(a))
	if !m.g.LowFirst {
		n = m.g.Step() - 1 - n
	}
	return n * m.unit()
}

// piece is the units of a piece of so many bits at a, and whether there is such a piece at all.
func (m *model) piece(a Addr, bits int) (units []Addr, ok bool) {
	if bits < 1 || bits > m.g.Width || bits%m.unit() != 0 {
		return nil, false
	}
	for i := range Addr(bits / m.unit()) {
		u := a + i
		if m.g.Unit != 0 && i > 0 {
			u &= Addr(Mask(m.g.AddrBits))
		}
		units = append(units, u)
	}
	return units, true
}

// words is the words that units are in, in the order they are met.
func (m *model) words(units []Addr) (own []Addr) {
	for _, u := range units {
		if w := m.own(u); len(own) == 0 || own[len(own)-1] != w {
			own = append(own, w)
		}
	}
	return own
}

// A look is all that is to be seen of a word.
type look struct {
	stored, seen Word
	st           Status
	jammed       bool
	altered      bool
}

// look looks at the word whose own address is a.
func (m *model) look(a Addr) look {
	area := m.g.Area(a)
	if area == nil {
		return look{st: NoReply}
	}
	l := look{jammed: len(m.jams[a]) > 0}
	for u := a; u-a < Addr(m.g.Step()); u++ {
		unit, written := m.units[u]
		if !written {
			unit = Fill(m.fill, uint64(a), area.Width) >> m.right(u) & Mask(m.unit())
			l.st = NeverWritten
		}
		l.stored |= unit << m.right(u)
	}
	var shown []int
	for c := range area.Columns() {
		bit := m.storedColumn(area, a, l.stored, c)
		if stuck, ok := m.jams[a][c]; ok {
			if area.Inverted {
				stuck = 1 - stuck
			}
			l.altered = l.altered || stuck != bit
			bit = stuck
		}
		shown = append(shown, bit)
	}
	l.seen = wordOf(area, shown)
	if m.fits(area, a, shown) {
		return l
	}
	// Corrected is what becomes right by turning one column round, and by no other.
	var ways []Word
	for c := range shown {
		shown[c] ^= 1
		if area.Corrects && m.fits(area, a, shown) {
			ways = append(ways, wordOf(area, shown))
		}
		shown[c] ^= 1
	}
	if len(ways) == 1 {
		l.seen = ways[0]
		l.st |= Corrected
	} else {
		l.st |= ParityWrong
	}
	return l
}

// wordOf is the data word of columns.
func wordOf(area *Area, columns []int) (w Word) {
	for i := range area.Width {
		w |= Word(columns[i]) << i
	}
	return w
}

// fits is whether the parity of columns is right.
func (m *model) fits(area *Area, a Addr, columns []int) bool {
	for c := area.Width; c < area.Columns(); c++ {
		if m.storedColumn(area, a, wordOf(area, columns), c) != columns[c] {
			return false
		}
	}
	return true
}

// storedColumn is column c as it is made for the data word w at a.
func (m *model) storedColumn(area *Area, a Addr, w Word, c int) int {
	if c < area.Width {
		return int(w >> c & 1)
	}
	p := area.Parity[c-area.Width]
	ones := 0
	for i := range 64 {
		if p.Over>>i&1 == 1 || p.Over == 0 && p.Lo <= i && i <= p.Hi {
			ones += int(w >> i & 1)
		}
	}
	if p.Address {
		ones += bits.OnesCount64(uint64(a))
	}
	if p.Odd {
		ones++
	}
	return ones % 2
}

// peek is a piece as stored and as seen, with nothing counted.
func (m *model) peek(a Addr, bits int) look {
	units, ok := m.piece(a, bits)
	if !ok {
		return look{st: NoReply}
	}
	var l look
	for i, u := range units {
		word := m.look(m.own(u))
		if word.st == NoReply {
			return word
		}
		place := i * m.unit()
		if !m.g.LowFirst {
			place = bits - m.unit() - place
		}
		l.stored |= word.stored >> m.right(u) & Mask(m.unit()) << place
		l.seen |= word.seen >> m.right(u) & Mask(m.unit()) << place
		l.st |= word.st &^ NeverWritten
		if _, written := m.units[u]; !written {
			l.st |= NeverWritten
		}
	}
	return l
}

// read is peek counted.
func (m *model) read(a Addr, bits int) (Word, Status) {
	l := m.peek(a, bits)
	if l.st != NoReply {
		units, _ := m.piece(a, bits)
		for _, w := range m.words(units) {
			if word := m.look(w); word.jammed {
				n := m.count[w]
				n[0]++
				if word.altered {
					n[1]++
				}
				m.count[w] = n
			}
		}
	}
	return l.seen, l.st
}

// write writes a piece.
func (m *model) write(a Addr, bits int, piece Word) Status {
	units, ok := m.piece(a, bits)
	if !ok {
		return NoReply
	}
	for _, u := range units {
		switch area := m.g.Area(u); {
		case area == nil:
			return NoReply
		case area.Wired:
			return Protected
		}
	}
	for i, u := range units {
		place := i * m.unit()
		if !m.g.LowFirst {
			place = bits - m.unit() - place
		}
		m.units[u] = piece >> place & Mask(m.unit()) & (Mask(m.g.Area(u).Width) >> m.right(u))
	}
	return 0
}
