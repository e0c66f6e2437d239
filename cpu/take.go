package cpu

import (
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
	place := m.Place()
	m.begin(place)
	if m.now >= m.next {
		m.springTimer(place)
	} else {
		m.take(place)
	}
	if m.observer != nil {
		m.show()
	}
}

// begin readies the record and the values for an order at a place.
func (m *Machine) begin(place memory.Addr) {
	m.spent = 0
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
	counter := &m.file.Words[m.code.Counter.Number]
	if m.code.HoldsNext {
		*counter = memory.Word(b.Next)
	} else {
		m.file.Words[m.file.Next()] = memory.Word(b.Next)
	}
	end := m.exec(b)
	m.pass(b.Cost + m.spent)
	switch {
	case end == waits:
		*counter = memory.Word(place)
		m.rest()
	case end == done:
		m.waiting = false
		if !m.code.HoldsNext {
			*counter = m.file.Words[m.file.Next()]
		}
	}
}

// rest lets time go on to the next thing that can happen to an order that waits; where nothing can, the machine stands
// in it for good.
func (m *Machine) rest() {
	m.waiting = true
	next := min(m.next, m.ports.Next(m.now))
	if next == Never {
		m.halted = true
		return
	}
	m.now = max(m.now, next)
}

// fetch gives the bound order at a place; false where a trap came instead. A binding holds as long as the words it was
// made from are what the machine sees there.
func (m *Machine) fetch(place memory.Addr) (*plan.Bound, bool) {
	w, st := m.bus.Read(place)
	if m.observer != nil {
		m.fetched[0] = w
		m.step.Words = m.fetched[:]
	}
	if st != 0 && m.doubtfulRead(place, st) {
		return nil, false
	}
	b := m.bounds.at(place)
	if b == nil || b.Words[0] != w {
		return m.bind(place, w)
	}
	for i := 1; i < len(b.Words); i++ {
		a := place + memory.Addr(i)
		w, st := m.bus.Read(a)
		if st != 0 && m.doubtfulRead(a, st) {
			return nil, false
		}
		if w != b.Words[i] {
			return m.bind(place, b.Words[0])
		}
	}
	if m.observer != nil {
		m.step.Order, m.step.Words, m.step.Fields = b.Order, b.Words, b.Fields
	}
	return b, true
}

// bind makes the order that stands at a place, its first word already fetched, into steps.
func (m *Machine) bind(place memory.Addr, first memory.Word) (*plan.Bound, bool) {
	words := append(make([]memory.Word, 0, 4), first)
	o := m.code.Find(first)
	if o == nil {
		m.noOrder(place, words)
		return nil, false
	}
	mask := memory.Addr(memory.Mask(m.code.Geometry.AddrBits))
	for i := 1; i < len(o.Patterns); i++ {
		a := (place + memory.Addr(i)) & mask
		w, st := m.bus.Read(a)
		if st != 0 && m.doubtfulRead(a, st) {
			return nil, false
		}
		words = append(words, w)
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
	if m.observer != nil {
		m.step.Order, m.step.Words, m.step.Fields = b.Order, b.Words, b.Fields
	}
	return b, true
}

// forget drops all bindings and the constants they name.
func (m *Machine) forget() {
	m.bounds.drop()
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
