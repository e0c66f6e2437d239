package cpu

import (
	"slices"

	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// Step takes one order, or springs the trap of a timer that has run out. It does nothing to a machine that stands still.
func (m *Machine) Step() {
	if m.halted {
		return
	}
	m.orders++
	if m.bench != nil {
		m.bench.Turn()
	}
	place := m.Place()
	m.begin(place)
	if len(m.stealing) > 0 {
		m.steal()
	}
	m.listen()
	began := m.now
	switch {
	case m.now >= m.next && m.springTimer(place):
	case len(m.interrupts) > 0 && m.interrupted():
		m.pass(1)
	default:
		m.take(place)
		m.age()
	}
	if m.watched {
		m.notice(began)
	}
	if m.observer != nil {
		m.show()
	}
}

// begin readies the record and the values for an order at a place.
func (m *Machine) begin(place memory.Addr) {
	m.spent, m.mended = 0, m.mended[:0]
	m.file.Words[m.file.Here()] = memory.Word(place)
	if m.observer != nil {
		m.step.reset(m.orders, m.now, place)
	}
}

// take fetches the order at a place and carries it out.
func (m *Machine) take(place memory.Addr) {
	b, ok := m.fetch(place)
	if !ok {
		m.pass(1)
		return
	}
	m.carryOut(b, place, b.Next, 0)
}

// carryOut does a bound order from one of its steps on.
func (m *Machine) carryOut(b *plan.Bound, place, next memory.Addr, from int) {
	if m.code.HoldsNext {
		m.count(memory.Word(next))
	} else {
		m.file.Words[m.file.Next()] = memory.Word(next)
	}
	began := m.now
	end := m.exec(b, from)
	m.pass(b.Cost + m.spent)
	switch {
	case end == waits:
		m.count(memory.Word(place))
		m.rest(began)
	case end == done:
		m.waiting = false
		if !m.code.HoldsNext {
			m.count(m.file.Words[m.file.Next()])
		}
	}
	if len(m.mended) > 0 && end != trapped {
		m.named(trapCorrected, false, m.mended[0], -1)
	}
}

// count sets the order counter, as far as its bits let it be set.
func (m *Machine) count(place memory.Word) {
	m.file.Words[m.code.Counter.Number] = place
	if m.logic != nil {
		m.forced(uint16(m.code.Counter.Number))
	}
}

// rest lets time go on to the next thing that can happen to an order that waits and looked around it when it began; where
// nothing can, the machine stands in it for good. What happened while the order was being done has happened since.
func (m *Machine) rest(began Time) {
	m.waiting = true
	next := min(m.next, m.ports.Next(began))
	if next == Never {
		m.stand(false)
		return
	}
	m.now = max(m.now, next)
}

// fetch gives the bound order at a place; false where something came between. A binding holds as long as the words it was
// made from are what the machine sees there.
func (m *Machine) fetch(place memory.Addr) (*plan.Bound, bool) {
	w, ok := m.part(place)
	if m.observer != nil && len(m.step.Words) == 0 {
		m.fetched[0] = w
		m.step.Words = m.fetched[:]
	}
	if !ok {
		return nil, false
	}
	b := m.bounds.at(place)
	if b == nil || b.Words[0] != w {
		return m.bind(place, w)
	}
	for at, i := place, 1; i < len(b.Words); i++ {
		at = m.code.After(at, nil)
		w, ok := m.part(at)
		if !ok {
			m.fetchedOnly(append(slices.Clone(b.Words[:i]), w))
			return nil, false
		}
		if w != b.Words[i] {
			return m.bind(place, append(slices.Clone(b.Words[:i]), w)...)
		}
	}
	m.fetchedAs(b)
	return b, true
}

// part reads what stands at a place; false where a trap came instead.
func (m *Machine) part(place memory.Addr) (memory.Word, bool) {
	a := m.code.WordOf(place)
	if m.bench != nil {
		m.bench.Touch(a)
	}
	w, st := m.bus.Read(a)
	w = m.code.Part(place, w)
	if m.logic != nil {
		w = m.logic.ordered(w)
	}
	return w, st == 0 || !m.doubtfulRead(a, st)
}

// fetchedAs puts the order fetched into the record.
func (m *Machine) fetchedAs(b *plan.Bound) {
	if m.observer != nil {
		m.step.Order, m.step.Words, m.step.Fields = b.Order, b.Words, b.Fields
	}
}

// fetchedOnly puts the words of an order into the record that a trap kept from being fetched whole, the one it came at last.
func (m *Machine) fetchedOnly(words []memory.Word) {
	if m.observer != nil {
		m.step.Words = words
	}
}

// find is the order that reads a word, or what the handbook says of words that none reads; nil where it says nothing.
func (m *Machine) find(w memory.Word) *order.Order {
	if o := m.code.Find(w); o != nil {
		return o
	}
	if o := m.code.FindUndefined(w); o != nil && o.Does != nil {
		return o
	}
	return nil
}

// bind makes the order that stands at a place into steps. Its first words, one at least, are fetched already, and nothing is
// fetched twice: jams count reads.
func (m *Machine) bind(place memory.Addr, fetched ...memory.Word) (*plan.Bound, bool) {
	words := append(make([]memory.Word, 0, 4), fetched...)
	o := m.find(words[0])
	if o == nil {
		m.noOrder(place, words)
		return nil, false
	}
	if o.Unreadable {
		m.stop(trapUnreadable, o, words)
		return nil, false
	}
	at := place
	for i := 1; i < len(o.Patterns); i++ {
		at = m.code.After(at, nil)
		if i < len(words) {
			continue
		}
		w, ok := m.part(at)
		words = append(words, w)
		if !ok {
			m.fetchedOnly(words)
			return nil, false
		}
	}
	if !fits(o, words) {
		m.noOrder(place, words)
		return nil, false
	}
	if m.file.Full() {
		m.forget()
	}
	b := m.binder.Order(o, words, place)
	m.bounds.put(place, b)
	m.fetchedAs(b)
	return b, true
}

// forget drops all bindings and the constants they name.
func (m *Machine) forget() {
	m.bounds.drop()
	for _, x := range m.laid {
		x.forget()
	}
	m.file.Forget()
	m.bindTraps()
}

// fits tells whether the further words of an order are as its patterns draw them.
func fits(o *order.Order, words []memory.Word) bool {
	for i, p := range o.Patterns {
		if words[i]&p.Mask != p.Value {
			return false
		}
	}
	return true
}
