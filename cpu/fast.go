package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// A fast is what a machine needs to run fused orders: words of store laid open, and the fused orders by slot. Slots count
// addresses from First on.
type fast struct {
	memory.Direct
	store  *memory.Store
	step   memory.Addr // how far the slots of words are apart
	fuser  *plan.Fuser
	first  []plan.Fused       // by slot, the first step of the order there; Unbound where none is known
	orders []*plan.FusedOrder // by slot
	worst  int64              // cycles: no order spends more, those aside that say they may

	mirrored func(a, w memory.Word) // passes a write on; nil: there is no mirrored range
}

// fusable gives the store that fused orders can run in; nil where the machine has something that their loop does not look at
// between orders or at an access.
func (m *Machine) fusable() *memory.Store {
	c := m.code
	if len(c.Interrupts)+len(c.Protects)+len(m.requests)+len(m.stealing) > 0 || c.PerWord > 1 || m.mirror != nil && c.MirrorsByCounter() {
		return nil
	}
	for _, ch := range c.Channels {
		if ch.At != nil {
			return nil
		}
	}
	s, _ := m.bus.(*memory.Store)
	return s
}

// enter readies the fused orders of the words among which the next order stands; false where there are none.
func (m *Machine) enter() bool {
	at := m.Place()
	if m.fast != nil && m.fast.holds(at) {
		return true
	}
	for _, x := range m.laid {
		if x.holds(at) {
			m.fast = x
			return true
		}
	}
	d, ok := m.cells.Direct(at)
	if !ok {
		return false
	}
	m.fast = &fast{
		Direct: d, store: m.cells, step: memory.Addr(m.code.Step()), worst: 1,
		fuser:  plan.NewFuser(m.code, m.file, d.First, len(d.Words)),
		first:  make([]plan.Fused, len(d.Words)),
		orders: make([]*plan.FusedOrder, len(d.Words)),
	}
	if m.mirror != nil {
		width := m.code.Geometry.Width
		m.fast.mirrored = func(a, w memory.Word) { m.mirrored(memory.Addr(a), w, width) }
	}
	m.laid = append(m.laid, m.fast)
	m.cells.OnChange(m.changed)
	return true
}

// holds tells whether an address has a slot.
func (x *fast) holds(a memory.Addr) bool { return a-x.First < memory.Addr(len(x.first)) }

// longestOrder is how many words an order may have and be fused.
const longestOrder = 8

// changed forgets what was made of a word that is no longer what it was.
func (m *Machine) changed(a memory.Addr) {
	m.cells.Unmark(a)
	for _, x := range m.laid {
		for n := range memory.Addr(longestOrder) {
			if at := a - n*x.step; x.holds(at) {
				x.first[at-x.First], x.orders[at-x.First] = plan.Fused{}, nil
			}
		}
	}
}

// forget drops all fused orders.
func (x *fast) forget() {
	clear(x.first)
	clear(x.orders)
}

// learn fuses the order that was just taken at a place, if it still stands there.
func (m *Machine) learn(place memory.Addr) {
	x, b := m.fast, m.bounds.at(place)
	slot := place - x.First
	// Fused orders may have led out of the words laid open: then what was just taken stands elsewhere.
	if b == nil || !x.holds(place) || x.orders[slot] != nil || place%x.step != 0 || len(b.Words) > longestOrder {
		return
	}
	plain := true
	for i, w := range b.Words {
		a := place + memory.Addr(i)*x.step
		// A word with a jam that remembers is fetched anew each time.
		if _, seen, st := x.store.Peek(a); st != 0 || seen != w || !x.holds(a) || x.store.Hooked(a) {
			return
		}
		plain = x.store.Mark(a) && plain
	}
	o := x.fuser.Fuse(b, place, !plain)
	if o == nil || m.turns(b) {
		o = &plan.FusedOrder{Bound: b, Steps: []plan.Fused{{Form: plan.FormGiveWay}}}
	}
	x.first[slot], x.orders[slot] = o.Steps[0], o
	x.worst = max(x.worst, int64(o.Steps[0].Cost))
}

// look reads a word that is plain to read.
func (x *fast) look(a memory.Word) (memory.Word, bool) {
	i := a - memory.Word(x.First)
	if i < memory.Word(len(x.States)) && x.States[i]&memory.ReadMask == memory.PlainRead {
		return x.Words[i], true
	}
	return 0, false
}

// doubtful reads a word that is not plain, if nothing springs from that and no jam on it remembers the read or asks for the
// time, which is not known between fused orders.
func (x *fast) doubtful(at memory.Word) (memory.Word, bool) {
	a := memory.Addr(at)
	_, seen, st := x.store.Peek(a)
	if st&^memory.NeverWritten != 0 || x.store.Hooked(a) {
		return 0, false
	}
	x.store.CountRead(a)
	return seen, true
}

// plain gives the slot of a word that can be read and written as it is.
func (x *fast) plain(a memory.Word) (slot memory.Word, ok bool) {
	i := a - memory.Word(x.First)
	return i, i < memory.Word(len(x.States)) && x.States[i]&memory.WriteMask == memory.PlainWrite
}

// part reads a piece of a plain word.
func (x *fast) part(a memory.Word, bits uint8) (memory.Word, bool) {
	i, left, ok := x.Part(memory.Addr(a), int(bits))
	if !ok || x.States[i]&memory.ReadMask != memory.PlainRead {
		return 0, false
	}
	return x.Words[i] >> left & memory.Mask(int(bits)), true
}

// setPart writes a piece of a plain word.
func (x *fast) setPart(a memory.Word, bits uint8, w memory.Word) bool {
	i, left, ok := x.Part(memory.Addr(a), int(bits))
	if !ok || x.States[i]&memory.WriteMask != memory.PlainWrite {
		return false
	}
	m := memory.Mask(int(bits)) << left
	x.set(memory.Word(i), x.Words[i]&^m|w<<left&m)
	return true
}

// set writes a word that is plain.
func (x *fast) set(slot, w memory.Word) {
	x.Words[slot] = w & x.Mask
	x.Owe(uint64(slot))
}

// open writes a word that is not plain, if nothing springs from that and no order stands there. What closed a word that is in
// store is that it may be mirrored.
func (x *fast) open(a, w memory.Word) bool {
	i := a - memory.Word(x.First)
	if i >= memory.Word(len(x.States)) || x.store.Hooked(memory.Addr(a)) {
		return false
	}
	switch x.States[i] & memory.OpenMask {
	case memory.Open:
		x.store.Write(memory.Addr(a), w)
		return true
	case 0:
		if x.mirrored != nil && memory.Addr(a)%x.step == 0 && x.store.Write(memory.Addr(a), w) == 0 {
			x.mirrored(a, w)
			return true
		}
	}
	return false
}

// count adds to a word that is not plain to write, if that is all that happens.
func (x *fast) count(a, by, mask memory.Word) (w memory.Word, ok bool) {
	if w, ok = x.look(a); !ok {
		return 0, false
	}
	w = (w + by) & mask
	return w, x.open(a, w)
}

// fetch counts a read of each word of an order that stands at an address: some of them have jams. They are as they were when
// the order was fused, or the store would have told.
func (x *fast) fetch(a memory.Addr, words uint32) {
	for range words {
		x.store.CountRead(a)
		a += x.step
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
	began := m.now
	m.carryOut(b, place, next, from)
	if m.watched {
		m.notice(began)
	}
}
