package plan

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Fuser fuses the orders of one machine.
type Fuser struct {
	file      *File
	twos      bool
	word      memory.Word // the mask of a word of store
	counterTo uint16      // where the address of the next order goes
	counterAt uint16
	first     memory.Addr // the address of slot 0
	slots     memory.Addr // how many there are: orders elsewhere are not fused
	step      memory.Addr // how far the slots of words are apart
}

// NewFuser makes a Fuser for a Code and the File its orders are bound to; there are so many slots from an address on.
func NewFuser(c *order.Code, f *File, first memory.Addr, slots int) *Fuser {
	u := &Fuser{
		file: f, twos: AdderOf(c.Complement) == TwosComplement, word: memory.Mask(c.Geometry.Width),
		first: first, slots: memory.Addr(slots), step: memory.Addr(c.Step()),
		counterAt: uint16(c.Counter.Number), counterTo: uint16(c.Counter.Number),
	}
	if !c.HoldsNext {
		u.counterTo = f.Next()
	}
	return u
}

// A fuser is the fusing of one order.
type fuser struct {
	*Fuser
	steps []Step // flat; those that make what nothing reads are left out
	from  []int  // by these steps: which of all the flat steps each is
	label []bool // by flat step: a jump goes there
	at    []int  // by flat step: the fused step it begins, -1 where it begins none
	out   []Fused
	jumps []int // fused steps whose K is a flat step yet
}

// Fuse makes the fused steps of an order bound at an address; nil where it is better left to its flat steps. Where fetch is
// set, its words are read each time it is done.
func (u *Fuser) Fuse(b *Bound, at memory.Addr, fetch bool) *FusedOrder {
	f := &fuser{Fuser: u, steps: b.Steps}
	f.prune()
	f.label = make([]bool, len(f.steps))
	if !f.survey() {
		return nil
	}
	f.straighten()
	f.at = make([]int, len(f.steps))
	for i := range f.at {
		f.at[i] = -1
	}
	if fetch {
		f.emit(Fused{Form: FormFetch, K: uint32(len(b.Words))})
	}
	if b.Next != at+u.step { // the loop goes on to the next slot by itself
		slot, ok := u.slot(memory.Word(b.Next))
		if !ok {
			return nil
		}
		f.emit(Fused{Form: FormGo, K: slot})
	}
	cost := b.Cost + f.cutSpend()
	for i := 0; i < len(f.steps); {
		f.at[i] = len(f.out)
		from := len(f.out)
		next := f.take(i)
		if next < 0 {
			return nil
		}
		for n := range f.out[from:] {
			f.out[from+n].Cost = uint16(f.from[i])
		}
		i = next
	}
	if !f.link() || cost >= 1<<16 {
		return nil
	}
	f.out[0].Cost = uint16(cost)
	return &FusedOrder{b, f.out}
}

// prune leaves out the steps that make what nothing reads.
func (f *fuser) prune() {
	var kept []Step
	now := make([]uint16, len(f.steps)) // what index each step has, or would have
	for i := range f.steps {
		now[i] = uint16(len(kept))
		if s := &f.steps[i]; !s.Op.Computes() || !f.scratch(s.D) || f.live(s.D, i+1) {
			kept = append(kept, *s)
			f.from = append(f.from, i)
		}
	}
	for i := range kept {
		switch s := &kept[i]; s.Op {
		case Jump, JumpZero, Count:
			s.J = now[s.J]
		}
	}
	f.steps = kept
}

// straighten brings the flat steps into the shape that the table of forms is written in: constants to the right where it does
// not matter, and what is worked out first and then moved into its place goes there at once. It keeps to runs of steps that
// no jump leads into or out of and that cannot give way, so that nobody sees the difference.
func (f *fuser) straighten() {
	for i := range f.steps {
		s := &f.steps[i]
		if slices.Contains(swappable, s.Op) {
			_, left := f.constant(s.A)
			_, right := f.constant(s.B)
			if left && !right {
				s.A, s.B = s.B, s.A
			}
		}
	}
	for i := 0; i < len(f.steps); i++ {
		if at := f.made(i); at >= 0 {
			f.steps[at].D = f.steps[i].D
			f.steps = slices.Delete(f.steps, i, i+1)
			f.from = slices.Delete(f.from, i, i+1)
			f.label = slices.Delete(f.label, i, i+1)
			f.closeUp(i)
			i--
		}
	}
}

// swappable are the ops that make the same of A and B either way round.
var swappable = []Op{And, Or, Xor, Plus, Equal, Unequal}

// closeUp lets jumps go where they went before step i was taken out.
func (f *fuser) closeUp(i int) {
	for n := range f.steps {
		switch s := &f.steps[n]; s.Op {
		case Jump, JumpZero, Count:
			if int(s.J) > i {
				s.J--
			}
		}
	}
}

// made is the step that makes what step i moves into its place and could as well make it there; -1 where there is none.
func (f *fuser) made(i int) int {
	move := f.steps[i]
	if move.Op != Move || f.label[i] || !f.scratch(move.A) || f.live(move.A, i+1) {
		return -1
	}
	for at := i - 1; at >= 0; at-- {
		s := &f.steps[at]
		a, b, c := s.Op.Reads()
		switch {
		case !s.Op.Computes() || s.Op == Put:
			return -1
		case s.D == move.A:
			return at
		case s.D == move.D, f.label[at]:
			return -1
		case a && (s.A == move.A || s.A == move.D), b && (s.B == move.A || s.B == move.D), c && (s.C == move.A || s.C == move.D):
			return -1
		}
	}
	return -1
}

// survey finds the labels. An order that reads its own place while it runs, or jumps to its first step, is left alone.
func (f *fuser) survey() bool {
	for i := range f.steps {
		s := &f.steps[i]
		a, b, c := s.Op.Reads()
		if a && f.own(s.A) || b && f.own(s.B) || c && f.own(s.C) {
			return false
		}
		switch s.Op {
		case Jump, JumpZero, Count:
			f.label[s.J] = true
		}
	}
	return !f.label[0]
}

// own tells whether a place holds where the machine is; while fused orders run it does not.
func (f *fuser) own(place uint16) bool {
	return place == f.counterAt || place == f.counterTo || place == f.file.Here()
}

// cutSpend takes off a spend of a known number of cycles that stands last, and gives that number.
func (f *fuser) cutSpend() int64 {
	n := len(f.steps)
	if n < 2 || f.label[n-1] || f.label[n-2] || f.steps[n-2].Op != Spend {
		return 0
	}
	w, fixed := f.constant(f.steps[n-2].A)
	if !fixed || w >= 1<<16 {
		return 0
	}
	f.steps = append(f.steps[:n-2:n-2], Step{Op: End})
	return int64(w)
}

// take makes the next fused step or steps, and gives the flat step to go on at; -1 where the order cannot be fused.
func (f *fuser) take(i int) int {
	for p := range patterns {
		if s, next, ok := f.match(&patterns[p], i); ok {
			f.emit(s)
			return next
		}
	}
	return f.single(i)
}

// emit adds a fused step.
func (f *fuser) emit(s Fused) { f.out = append(f.out, s) }

// singles are the forms of flat steps that are often met; other values are made by Compute.
var singles = map[Op]Form{
	Move: FormMove, Plus: FormPlus, Minus: FormMinus, And: FormAnd, Or: FormOr, Xor: FormXor,
	Equal: FormEqual, Unequal: FormUnequal, Below: FormBelow, AtMost: FormAtMost, Bits: FormBits, Join: FormJoin, Put: FormPut,
}

// single makes one flat step a fused one.
func (f *fuser) single(i int) int {
	s := f.steps[i]
	o := Fused{N: s.N, D: s.D, A: s.A, B: s.B, C: s.C, M: s.M}
	switch s.Op {
	case End:
		o.Form = FormSkip
	case Jump:
		o.Form = FormSkip
		f.jumps = append(f.jumps, len(f.out))
		o.K = uint32(s.J)
	case JumpZero, Count:
		o.Form = FormUnless
		if s.Op == Count {
			o.Form = FormCount
		}
		f.jumps = append(f.jumps, len(f.out))
		o.K = uint32(s.J)
	case Spend:
		o.Form = FormSpend
	case LoadPart:
		o.Form = FormLoadPart
	case StorePart:
		o.Form = FormStorePart
	default:
		if !f.value(&o, s.Op) {
			return -1
		}
		return i + 1
	}
	f.emit(o)
	return i + 1
}

// value makes a step that sets a place, or one that must give way; false where it sets part of the next address.
func (f *fuser) value(o *Fused, op Op) bool {
	form, ok := singles[op]
	switch {
	case ok:
		o.Form = form
	case op.Computes():
		o.Form, o.J = FormCompute, uint8(op)
	default:
		o.Form = FormGiveWay
	}
	if !op.Sets() || o.D != f.counterTo || o.Form == FormGiveWay {
		f.emit(*o)
		return true
	}
	if op == Put {
		return false
	}
	return f.goes(o)
}

// goes makes a step that sets the address of the next order.
func (f *fuser) goes(o *Fused) bool {
	if w, fixed := f.constant(o.A); fixed && o.Form == FormMove {
		if slot, ok := f.slot(w); ok {
			f.emit(Fused{Form: FormGo, K: slot})
			return true
		}
	}
	switch o.Form {
	case FormBits:
		o.Form = FormGoTo
	case FormMove:
		o.Form, o.N, o.M = FormGoTo, 0, ^memory.Word(0)
	default:
		o.D = f.file.Spare()
		f.emit(*o)
		*o = Fused{Form: FormGoTo, A: o.D, M: ^memory.Word(0)}
	}
	f.emit(*o)
	return true
}

// link says which step follows which; step 0 is the first and follows none, so a 0 says that the order is done.
func (f *fuser) link() bool {
	end := len(f.out) - 1 // stands for the end of the order, and needs no step of its own unless it is the only one
	if end > 255 {
		return false
	}
	for i := range f.out[:end] {
		f.out[i].More = uint8((i + 1) % end)
	}
	for _, i := range f.jumps {
		s := &f.out[i]
		to := f.at[s.K]
		if to <= 0 {
			return false
		}
		if s.K = uint32(to % end); s.Form == FormSkip {
			s.More = uint8(s.K)
		}
	}
	f.out = f.out[:max(end, 1)]
	return true
}

// constant is the value of a place that nothing sets.
func (u *Fuser) constant(place uint16) (memory.Word, bool) { return u.file.Constant(place) }

// scratch tells whether a place is forgotten after the order.
func (u *Fuser) scratch(place uint16) bool { return u.file.Scratch(place) }

// slot is the slot of an address.
func (u *Fuser) slot(a memory.Word) (uint32, bool) {
	i := memory.Addr(a) - u.first
	return uint32(i), i < u.slots
}

// live tells whether a step from the given one on may read a place. Behind a jump it is not asked whether the place is set
// anew first.
func (f *fuser) live(place uint16, from int) bool {
	straight := true
	for i := from; i < len(f.steps); i++ {
		s := &f.steps[i]
		a, b, c := s.Op.Reads()
		if a && s.A == place || b && s.B == place || c && s.C == place || s.Op == Count && s.D == place || s.Op == Put && s.D == place {
			return true
		}
		switch {
		case s.Op == Jump || s.Op == JumpZero || s.Op == Count:
			straight = false
			if int(s.J) <= i {
				return true // back to who knows what
			}
		case straight && s.Op.Sets() && s.D == place:
			return false
		}
	}
	return false
}
