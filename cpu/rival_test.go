package cpu_test

import "coldstart/memory"

// A rival is what somebody would write who had nothing but the training office's processor to run, and wanted it fast: one
// switch over the order code, registers and flip-flops in a struct, the store in a slice. Benchmarks hold the bound plan
// against it. Jams and parity are folded in when a word is stored, so that a read asks one bit; channels are left out.
type rival struct {
	store    []uint32 // by address: 18 bits, and doubt
	reg      [5]uint32
	p        uint32
	page     uint32 // moved left to where it stands in an address
	minus    bool
	zero     bool
	carry    uint32
	check    uint32
	saved    uint32
	reason   uint32
	cycles   int64
	deadline int64 // of the sanity timer, in cycles
	stopped  bool
}

// The registers by their place in reg, and what the switch needs of the machine's shape.
const (
	regA = iota
	regB
	regX1
	regX2
	regX3

	ones18 = 1<<18 - 1
	ones15 = 1<<15 - 1
	doubt  = 1 << 31 // of a stored word: a read may have to be told of
	sanity = 640_000 // cycles of 2.5 us in 1600 ms
)

// newRival takes over what a store holds. Words with wrong parity and words where nothing answers are marked doubtful.
func newRival(s *memory.Store) *rival {
	r := &rival{store: make([]uint32, 1<<15)}
	for a := range r.store {
		_, w, st := s.Peek(memory.Addr(a))
		r.store[a] = uint32(w)
		if st&^memory.NeverWritten != 0 {
			r.store[a] |= doubt
		}
	}
	return r
}

// read is a word of store; where it is doubtful the machine stops, or with no check of parity goes on.
func (r *rival) read(a, here uint32) (uint32, bool) {
	w := r.store[a&ones15]
	if w&doubt == 0 {
		return w, true
	}
	return r.doubted(a, here)
}

// doubted springs the trap of a doubtful word.
func (r *rival) doubted(a, here uint32) (uint32, bool) {
	area := a >> 12
	if area < 4 && r.check == 0 {
		return r.store[a] & ones18, true
	}
	r.saved, r.reason, r.stopped = here, 3, true
	if area < 4 {
		r.reason = 1
	}
	return 0, false
}

// write stores a word; a plain one is right in its parity by the way it is made, and other addresses refuse it.
func (r *rival) write(a, w, here uint32) bool {
	if a>>12 < 4 {
		r.store[a] = w
		return true
	}
	r.saved, r.reason, r.stopped = here, 3, true
	if a >= 0o77400 {
		r.reason = 4
	}
	return false
}

// test notes the sign of a word and whether it is zero.
func (r *rival) test(w uint32) {
	r.minus = w>>17 != 0
	r.zero = w == 0
}

// add is the adder.
func (r *rival) add(a, b, in uint32) uint32 {
	sum := a + b + in
	r.carry = sum >> 18
	return sum & ones18
}

// signed repeats the top bit of a number of n bits.
func signed(w uint32, n uint) uint32 { return uint32(int32(w<<(32-n)) >> (32 - n)) }

// run takes up to n orders and gives how many it took.
func (r *rival) run(n int64) int64 {
	for i := int64(0); i < n; i++ {
		if r.stopped {
			return i
		}
		here := r.p
		if r.cycles >= r.deadline {
			r.saved, r.reason, r.stopped = here, 6, true
			r.cycles++
			continue
		}
		w, ok := r.read(here, here)
		if !ok {
			r.cycles++
			continue
		}
		r.p = (here + 1) & ones15
		r.order(w, here)
	}
	return n
}

// reached is the mode of the orders that reach into store.
func (r *rival) reached(w, here uint32) (uint32, bool) {
	at := r.page | w&0o3777
	if w>>11&1 == 0 {
		return at, true
	}
	for range 16 {
		word, ok := r.read(at, here)
		if !ok {
			return 0, false
		}
		if at >= 0o40 && at <= 0o57 && !r.write(at, (word+1)&ones18, here) {
			return 0, false
		}
		at = word & ones15
		r.cycles++
		if word>>17 == 0 {
			return at, true
		}
	}
	r.saved, r.reason, r.stopped = here, 5, true
	return 0, false
}

// order carries out the order word w.
func (r *rival) order(w, here uint32) {
	op := w >> 14
	switch {
	case op >= 1 && op <= 8:
		r.cycles += 2
		at, ok := r.reached(w, here)
		if ok {
			r.inStore(op, w>>12&3, at, here)
		}
	case op == 9:
		r.inPage(w, here)
	case op == 10:
		r.fromBase(w, here)
	case op == 11:
		r.jump(w, here)
	case op == 12:
		r.near(w)
	case op == 13:
		r.small(w)
	case op == 14 && w>>13&1 == 0:
		r.shift(w)
	case op == 14:
		r.between(w)
	default:
		r.control(w, here)
	}
}

// inStore is the orders with a register and a word of store.
func (r *rival) inStore(op, n, at, here uint32) {
	if op == 2 {
		r.write(at, r.reg[n], here)
		return
	}
	v, ok := r.read(at, here)
	if !ok {
		return
	}
	reg := &r.reg[n]
	switch op {
	case 1:
		*reg = v
	case 3:
		*reg = r.add(*reg, v, 0)
	case 4:
		*reg = r.add(*reg, v^ones18, 1)
	case 5:
		*reg &= v
	case 6:
		*reg |= v
	case 7:
		*reg ^= v
	case 8:
		r.compare(*reg, v)
		return
	}
	r.test(*reg)
}

// compare sets the flip-flops by two words.
func (r *rival) compare(a, b uint32) {
	r.add(a, b^ones18, 1)
	r.minus = int32(signed(a, 18)) < int32(signed(b, 18))
	r.zero = a == b
}

// inPage is the orders that work in the page without a register field.
func (r *rival) inPage(w, here uint32) {
	at := r.page | w&0o3777
	op := w >> 11 & 7
	r.cycles += 2
	if op < 4 {
		r.cycles++
	}
	switch op {
	case 4:
		r.write(at, 0, here)
		return
	case 6:
		r.write(at, r.reg[regX3], here)
		return
	}
	v, ok := r.read(at, here)
	if !ok {
		return
	}
	switch op {
	case 0, 1:
		v = (v + 1 - 2*op) & ones18
		if r.write(at, v, here) {
			r.test(v)
		}
	case 2:
		r.write(at, v&^r.reg[regB]|r.reg[regA]&r.reg[regB], here)
	case 3:
		if r.write(at, r.reg[regA], here) {
			r.reg[regA] = v
		}
	case 5:
		r.reg[regX3] = v
	case 7:
		r.reg[regA] = r.add(r.reg[regA], v, r.carry)
		r.test(r.reg[regA])
	}
}

// fromBase is the orders with a base and a distance, and those that reach page zero.
func (r *rival) fromBase(w, here uint32) {
	at := w & 0o3777
	if x := w >> 11 & 3; x != 0 {
		at = (at + r.reg[x+1]) & ones15
	}
	r.cycles += 2
	if w>>13&1 == 1 {
		r.write(at, r.reg[regA], here)
		return
	}
	if v, ok := r.read(at, here); ok {
		r.reg[regA] = v
		r.test(v)
	}
}

// jump is the jumps that always happen.
func (r *rival) jump(w, here uint32) {
	at := r.page | w&0o3777
	r.cycles++
	switch w >> 11 & 7 {
	case 0:
		r.p = at
	case 1:
		r.cycles++
		v, ok := r.read(at, here)
		if !ok || at >= 0o40 && at <= 0o57 && !r.write(at, (v+1)&ones18, here) {
			return
		}
		r.p = v & ones15
	case 2:
		r.cycles++
		if r.write(at, r.p, here) {
			r.p = (at + 1) & ones15
		}
	case 3:
		r.cycles++
		if v, ok := r.read(at, here); ok {
			r.p = v & ones15
		}
	case 4:
		r.p = (r.p + signed(w, 11)) & ones15
	case 5:
		r.reg[regX3] = r.p
		r.p = (r.p + signed(w, 11)) & ones15
	case 6:
		r.p = w & 0o3777
	case 7:
		if x := w & 3; x != 0 {
			r.p = r.reg[x+1] & ones15
		}
	}
}

// near is the jumps on a condition.
func (r *rival) near(w uint32) {
	r.cycles++
	var met bool
	switch w >> 10 & 15 {
	case 0:
		met = r.zero
	case 1:
		met = !r.zero
	case 2:
		met = r.minus
	case 3:
		met = !r.minus
	case 4:
		met = r.carry != 0
	case 5:
		met = r.carry == 0
	case 6:
		met = r.reg[regA]&1 != 0
	case 7:
		met = r.reg[regB] == 0
	case 9, 10, 11:
		x := &r.reg[w>>10&3+1]
		*x = (*x - 1) & ones18
		met = *x != 0
	}
	if met {
		r.p = (r.p + signed(w, 10)) & ones15
	}
}

// small is the orders with a small number.
func (r *rival) small(w uint32) {
	r.cycles++
	reg, n := &r.reg[w>>12&3], signed(w, 11)&ones18
	if w>>11&1 == 0 {
		*reg = n
	} else {
		*reg = r.add(*reg, n, 0)
	}
	r.test(*reg)
}

// control is the orders about the processor itself that need no channel.
func (r *rival) control(w, here uint32) {
	r.cycles++
	switch w >> 10 & 15 {
	case 5:
		r.page = w >> 6 & 15 << 11
	case 6:
		r.reg[w>>8&3] = r.page >> 11
	case 7:
		r.cycles++
		v, ok := r.read(r.p, here)
		if !ok {
			return
		}
		r.p = (r.p + 1) & ones15
		r.reg[w>>8&3] = v
		r.test(v)
	case 8:
		r.deadline = r.cycles - 1 + sanity
	case 11:
		if w>>9&1 == 0 {
			r.carry = w & 1
		} else {
			r.check = w & 1
		}
	case 12:
		r.reg[regA] = r.reason<<15 | r.saved
	default:
		r.stopped = true
	}
}
