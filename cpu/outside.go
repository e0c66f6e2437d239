package cpu

import (
	"slices"

	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// load reads a word of store or a piece of one, or asks the channel that stands at the address; false where a trap sprang.
func (m *Machine) load(s *plan.Step) bool {
	v := m.file.Words
	a := memory.Addr(v[s.A])
	if m.bench != nil {
		m.bench.Touch(a)
	}
	if ch, n := m.mapped(a); ch != nil {
		return m.loadChannel(s, ch, n)
	}
	var w memory.Word
	var st memory.Status
	if s.Op == plan.LoadPart {
		w, st = m.units.ReadPart(a, int(s.N))
	} else {
		w, st = m.bus.Read(a)
	}
	if m.observer != nil {
		m.step.Reads = append(m.step.Reads, Access{a, w, st})
	}
	if st != 0 && m.doubtfulRead(a, st) {
		return false
	}
	v[s.D] = w & s.M
	return true
}

// store writes a word of store or a piece of one, or tells the channel that stands at the address; false where a trap sprang.
func (m *Machine) store(s *plan.Step) bool {
	v := m.file.Words
	a, w := memory.Addr(v[s.A]), v[s.B]
	if m.bench != nil {
		m.bench.Touch(a)
	}
	if ch, n := m.mapped(a); ch != nil {
		return m.storeChannel(ch, n, w)
	}
	var st memory.Status
	switch {
	case m.protected(a):
		st = memory.Protected
	case s.Op == plan.StorePart:
		st = m.units.WritePart(a, int(s.N), w)
	case s.Op == plan.StoreWrong:
		st = m.bus.WriteWrong(a, w, m.column(v[s.C]))
	default:
		st = m.bus.Write(a, w)
	}
	if m.observer != nil {
		told := st
		if s.Op == plan.StoreWrong && st == 0 && m.spoils(a, m.column(v[s.C])) {
			told = memory.ParityWrong
		}
		m.step.Writes = append(m.step.Writes, Access{a, w, told})
	}
	if m.mirror != nil && st == 0 {
		bits := m.code.Geometry.Width
		if s.Op == plan.StorePart {
			bits = int(s.N)
		}
		m.mirrored(a, w, bits)
	}
	return st == 0 || !m.doubtfulWrite(a, st)
}

// column is the name of a parity column of the file by its number from 1 on; empty for 0, which means all.
func (m *Machine) column(n memory.Word) string {
	if n == 0 {
		return ""
	}
	return m.code.ParityColumns[n-1]
}

// spoils tells whether a word that is written with a parity column wrong, or with all, has such a column.
func (m *Machine) spoils(a memory.Addr, column string) bool {
	area := m.code.Geometry.Area(a)
	return area != nil && slices.ContainsFunc(area.Parity, func(p memory.Parity) bool { return column == "" || p.Name == column })
}

// protected tells whether a range protected just now holds the address.
func (m *Machine) protected(a memory.Addr) bool {
	for i, p := range m.code.Protects {
		if a < p.First || a > p.Last {
			continue
		}
		if m.file.Words[m.file.Written()] = memory.Word(a); m.holds(m.protects[i]) {
			return true
		}
	}
	return false
}

// after gives the place behind the order that stands at a place; false where a trap sprang.
func (m *Machine) after(s *plan.Step) bool {
	v := m.file.Words
	place := memory.Addr(v[s.A])
	w, ok := m.part(place)
	if ok {
		v[s.D] = memory.Word(m.code.After(place, m.find(w)))
	}
	return ok
}

// mapped is the channel that stands at a store address, nil where none does, and at which of its places: 0 its words, 1 its
// commands, 2 and up its signs. Where addresses count units each place has as many as a word.
func (m *Machine) mapped(a memory.Addr) (ch *order.Channel, place int) {
	for _, ch := range m.atAddresses {
		if n := (a - *ch.At) / memory.Addr(m.code.Geometry.Step()); a >= *ch.At && n < memory.Addr(2+ch.Signs) {
			return ch, int(n)
		}
	}
	return nil, 0
}

// loadChannel reads one of a channel's store addresses: its word, its command, which reads as zero, or one of its signs.
func (m *Machine) loadChannel(s *plan.Step, ch *order.Channel, n int) bool {
	a := Action{Verb: Receive, Code: ch.Code}
	switch {
	case n == 1:
		m.file.Words[s.D] = 0
		return true
	case n > 1:
		a.Verb, a.Sign = Sign, n-2
	}
	w, ok := m.ask(a)
	if ok {
		m.file.Words[s.D] = w & s.M
	}
	return ok
}

// storeChannel writes one of a channel's store addresses; signs cannot be written, and nothing happens there.
func (m *Machine) storeChannel(ch *order.Channel, n int, w memory.Word) bool {
	a := Action{Verb: Send, Code: ch.Code, Word: w}
	switch {
	case n == 1:
		a.Verb = Command
	case n > 1:
		return true
	}
	_, ok := m.ask(a)
	return ok
}

// exchange carries out a step over a channel; false where a trap sprang because nobody answered.
func (m *Machine) exchange(s *plan.Step) bool {
	v := m.file.Words
	a := Action{Code: int(v[s.A])}
	switch s.Op {
	case plan.Receive:
		a.Verb = Receive
	case plan.Sign:
		a.Verb, a.Sign = Sign, int(v[s.B])
	case plan.Send:
		a.Verb, a.Word = Send, v[s.B]
	case plan.Command:
		a.Verb, a.Word = Command, v[s.B]
	}
	w, ok := m.ask(a)
	if ok && (s.Op == plan.Receive || s.Op == plan.Sign) {
		v[s.D] = w & s.M
	}
	return ok
}

// do carries out an action as the program means it, and gives the reply as the program reads it, whatever the lines between
// are held at.
func (m *Machine) do(a Action) Reply {
	for _, ch := range m.trueLow {
		if ch.Code != a.Code {
			continue
		}
		if a.Verb == Send || a.Verb == Command {
			a.Word = ch.Passed(a.Word)
		}
		r := m.ports.Do(a, m.now)
		switch {
		case r.None:
		case a.Verb == Receive || a.Verb == Steal:
			r.Word = ch.Passed(r.Word)
		case a.Verb == Sign:
			r.Word = ch.Shown(a.Sign, r.Word)
		}
		return r
	}
	return m.ports.Do(a, m.now)
}

// ask puts an action to its channel; false where nobody answers and that is a trap.
func (m *Machine) ask(a Action) (memory.Word, bool) {
	r := m.do(a)
	if m.observer != nil {
		m.step.Exchanges = append(m.step.Exchanges, Exchange{a, r})
	}
	return r.Word, !r.None || !m.noAnswer(a.Code)
}
