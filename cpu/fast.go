package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// A fast is what a machine needs to run fused orders: a store laid open, and the fused orders by slot. A slot is the number
// of a word of store.
type fast struct {
	memory.Direct
	store  *memory.Store
	fuser  *plan.Fuser
	first  []plan.Fused       // by slot, the first step of the order there; Unbound where none is known
	orders []*plan.FusedOrder // by slot
	worst  int64              // cycles: no order spends more, those aside that say they may
}

// fuses tells whether the machine can run fused orders, and readies what it needs to.
func (m *Machine) fuses() bool {
	if m.fast == nil && !m.slow {
		m.fast = m.newFast()
		m.slow = m.fast == nil
	}
	return m.fast != nil
}

// newFast lays the machine's store open; nil where the machine has something that the fast loop does not look at between
// orders or at an access.
func (m *Machine) newFast() *fast {
	c := m.code
	s, ok := m.bus.(*memory.Store)
	if !ok || len(c.Interrupts)+len(c.Protects)+len(c.Mirrors) > 0 || c.PerWord > 1 {
		return nil
	}
	for _, ch := range c.Channels {
		if ch.At != nil {
			return nil
		}
	}
	d, ok := s.Direct()
	if !ok || len(d.Words) == 0 {
		return nil
	}
	x := &fast{
		Direct: d, store: s, worst: 1,
		fuser:  plan.NewFuser(m.code, m.file, len(d.Words)),
		first:  make([]plan.Fused, len(d.Words)),
		orders: make([]*plan.FusedOrder, len(d.Words)),
	}
	s.OnChange(x.changed)
	return x
}

// longestOrder is how many words an order may have and be fused.
const longestOrder = 8

// changed forgets what was made of a word that is no longer what it was.
func (x *fast) changed(a memory.Addr) {
	for n := range memory.Addr(longestOrder) {
		if n <= a {
			x.first[a-n], x.orders[a-n] = plan.Fused{}, nil
		}
	}
	x.store.Unmark(a)
}

// forget drops all fused orders.
func (x *fast) forget() {
	clear(x.first)
	clear(x.orders)
}

// learn fuses the order that was just taken at a place, if it still stands there in plain words.
func (m *Machine) learn(place memory.Addr) {
	x, b := m.fast, m.bounds.at(place)
	if b == nil || place >= memory.Addr(len(x.first)) || x.orders[place] != nil || len(b.Words) > longestOrder {
		return
	}
	plain := true
	for i, w := range b.Words {
		a := place + memory.Addr(i)
		if _, seen, st := x.store.Peek(a); st != 0 || seen != w {
			return
		}
		plain = x.store.Mark(a) && plain
	}
	o := x.fuser.Fuse(b, place, !plain)
	if o == nil {
		o = &plan.FusedOrder{Bound: b, Steps: []plan.Fused{{Form: plan.FormGiveWay}}}
	}
	x.first[place], x.orders[place] = o.Steps[0], o
	x.worst = max(x.worst, int64(o.Steps[0].Cost))
}

// look reads a word that is plain to read.
func (x *fast) look(i memory.Word) (memory.Word, bool) {
	if i < memory.Word(len(x.States)) && x.States[i]&memory.ReadMask == memory.PlainRead {
		return x.Words[i], true
	}
	return 0, false
}

// doubtful reads a word that is not plain, if nothing springs from that.
func (x *fast) doubtful(i memory.Word) (memory.Word, bool) {
	a := memory.Addr(i)
	if _, _, st := x.store.Peek(a); st&^memory.NeverWritten != 0 {
		return 0, false
	}
	w, _ := x.store.Read(a) // some reads are counted
	return w, true
}

// plain tells whether a word can be read and written as it is.
func (x *fast) plain(i memory.Word) bool {
	return i < memory.Word(len(x.States)) && x.States[i]&memory.WriteMask == memory.PlainWrite
}

// set writes a word that is plain.
func (x *fast) set(i, w memory.Word) {
	x.Words[i] = w & x.Mask
	x.Owe(uint64(i))
}

// open writes a word that is not plain, if nothing springs from that and no order stands there.
func (x *fast) open(i, w memory.Word) bool {
	if i >= memory.Word(len(x.States)) || x.States[i]&memory.OpenMask != memory.Open {
		return false
	}
	x.store.Write(memory.Addr(i), w)
	return true
}

// fetch reads the words of an order that stands at an address: some of them have jams, and their reads are counted. They are
// as they were when the order was fused, or the store would have told.
func (x *fast) fetch(a memory.Addr, words uint32) {
	for range words {
		x.store.Read(a)
		a++
	}
}

// allowed is how many orders may be taken before the time is looked at again: none of them can begin when the time is reached
// or a timer has run out, however many cycles each spends.
func (m *Machine) allowed(n int64, until Time) int64 {
	span := min(m.next, until) - m.now
	if span <= 0 {
		return 0
	}
	each := Time(1)
	if m.code.Cycle != 0 {
		each = Time(m.fast.worst) * Time(m.code.Cycle)
	}
	return min(n, int64((span-1)/each)+1)
}

// arrive lets the machine stand where fused orders have brought it.
func (m *Machine) arrive(place memory.Addr, taken, cycles int64) {
	m.file.Words[m.code.Counter.Number] = memory.Word(place)
	if taken == 0 {
		return
	}
	m.waiting = false
	m.orders += taken
	if m.code.Cycle == 0 {
		m.now += Time(taken)
	} else {
		m.now += Time(cycles) * Time(m.code.Cycle)
	}
}

// resume goes on with an order whose fused steps gave way in its midst, at one of its flat steps; next is where the machine
// goes on after it, as far as is known.
func (m *Machine) resume(b *plan.Bound, place, next memory.Addr, from int, spent int64) {
	m.orders++
	m.begin(place)
	m.spent = spent
	m.carryOut(b, place, next, from)
}
