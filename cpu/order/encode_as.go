package order

import (
	"fmt"
	"math/bits"

	"coldstart/memory"
)

// A Place is where an order stands, as the order counter counts, and what its registers are taken to hold when it acts.
type Place struct {
	At      memory.Addr
	Assumed map[*Register]memory.Word // a register missing here is not known
}

// A scene is all that the value of an operand may depend on before anything runs.
type scene struct {
	code   *Code
	order  *Order
	fields []memory.Word // by Field.Number
	place  Place
}

// value works out e. An error is an unknownRegister, or says that e needs a running machine.
func (s *scene) value(e *Expr) (memory.Word, error) {
	switch e.Op {
	case "const":
		return e.Value, nil
	case "field":
		return s.fields[e.Index], nil
	case "here":
		return memory.Word(s.place.At) & memory.Mask(e.Width), nil
	case "register":
		return s.register(s.code.Registers[e.Index])
	case "group":
		group := s.order.Fields[e.Index].Group
		if v := s.fields[e.Index]; v < memory.Word(len(group)) && group[v] != nil {
			return s.register(group[v])
		}
		return 0, fmt.Errorf("field %s picks no register", s.order.Fields[e.Index].Name)
	case "cond":
		c, err := s.value(e.Args[0])
		if err != nil {
			return 0, err
		}
		return s.value(e.Args[2-c&1])
	}
	return s.worked(e)
}

// register is what a register holds: the order counter is known from the place of the order, all others are assumed.
func (s *scene) register(r *Register) (memory.Word, error) {
	if r == s.code.Counter {
		at := s.place.At
		if s.code.HoldsNext {
			at = s.code.After(at, s.order)
		}
		return memory.Word(at) & memory.Mask(r.Width), nil
	}
	if w, ok := s.place.Assumed[r]; ok {
		return w & memory.Mask(r.Width), nil
	}
	return 0, unknownRegister{r}
}

// An unknownRegister says that a value hangs on a register nothing is assumed about.
type unknownRegister struct{ *Register }

// Error asks for the assumption.
func (u unknownRegister) Error() string {
	return fmt.Sprintf("what %s holds is not known here; say `assume %s = ...` above", u.Name, u.Name)
}

// worked is the value of an operation whose operands are all worked out first.
func (s *scene) worked(e *Expr) (memory.Word, error) {
	args := make([]memory.Word, len(e.Args))
	for i, a := range e.Args {
		var err error
		if args[i], err = s.value(a); err != nil {
			return 0, err
		}
	}
	w, ok := e.Fold(args)
	if !ok {
		return 0, needsRun(e)
	}
	return w, nil
}

// Fold works out an operation from the values of its arguments, as many as Args and each within its width; ok is false
// where they do not decide it: it looks at registers, store or channels, goes through the adder, or counts.
func (e *Expr) Fold(args []memory.Word) (w memory.Word, ok bool) {
	if len(args) == 0 || len(args) > 2 {
		return 0, false
	}
	x, y, width := args[0], args[len(args)-1], e.Args[0].Width
	mask := memory.Mask(e.Width)
	switch e.Op {
	case "not":
		return ^x & mask, true
	case "bits":
		return x >> e.Lo & mask, true
	case "cut", "extend":
		return x & mask, true
	case "sign-extend":
		return extendSign(x, width) & mask, true
	case "join":
		return x<<e.Args[1].Width | y, true
	case "and":
		return x & y, true
	case "or":
		return x | y, true
	case "xor":
		return x ^ y, true
	case "+":
		return (x + y) & mask, true
	case "-":
		return (x - y) & mask, true
	case "=", "/=", "<", "<=", ">", ">=":
		return compared(e.Op, x, y), true
	case "multiply":
		return x * y, true
	case "divide":
		if y == 0 {
			return mask, true
		}
		return x / y, true
	case "remainder":
		if y == 0 {
			return x, true
		}
		return x % y, true
	}
	return moved(e, x, y)
}

// compared is 1 where x and y, numbers without sign, stand as op says.
func compared(op string, x, y memory.Word) memory.Word {
	holds := false
	switch op {
	case "=":
		holds = x == y
	case "/=":
		holds = x != y
	case "<":
		holds = x < y
	case "<=":
		holds = x <= y
	case ">":
		holds = x > y
	case ">=":
		holds = x >= y
	}
	if holds {
		return 1
	}
	return 0
}

// moved is x shifted or rotated by n places; ok is false for any other operation.
func moved(e *Expr, x, n memory.Word) (w memory.Word, ok bool) {
	width := memory.Word(e.Width)
	mask := memory.Mask(e.Width)
	switch e.Op {
	case "left":
		return x << n & mask, true
	case "right":
		return x >> n, true
	case "draw":
		return memory.Word(int64(extendSign(x, e.Width))>>n) & mask, true
	case "rotate-left":
		n %= width
		return (x<<n | x>>(width-n)) & mask, true
	case "rotate-right":
		n %= width
		return (x>>n | x<<(width-n)) & mask, true
	}
	return 0, false
}

// extendSign repeats the top bit of a width-bit word through all 64.
func extendSign(x memory.Word, width int) memory.Word {
	over := 64 - width
	return memory.Word(int64(x<<over) >> over)
}

// needsRun says that e is known only while the machine runs: the store, a channel, the adder.
func needsRun(e *Expr) error {
	return fmt.Errorf("its value hangs on `%v`, which is known only in a run; write the number of the field itself", e)
}

// A reach is how the value of an operand follows its field: zero where the field is 0, and more or less by a rise for each
// bit that is 1. Nearly every order code has no other kind, though the bits may stand out of sequence, and it turns round
// without a search.
type reach struct {
	zero  memory.Word
	rises []memory.Word // of each bit of the field, the lowest first
	width int           // of the value
	sums  bool          // false: the value follows the field in some other way, and rises do not count
}

// reach looks at the value for field 0, for each single bit of the field, and for all of them.
func (s *scene) reach(as *Expr, f *Field) (reach, error) {
	mask := memory.Mask(as.Width)
	zero, err := s.at(as, f, 0)
	if err != nil {
		return reach{}, err
	}
	r := reach{zero: zero, width: as.Width}
	all := zero
	for i := range f.Width {
		w, err := s.at(as, f, 1<<i)
		if err != nil {
			return reach{}, err
		}
		r.rises = append(r.rises, (w-zero)&mask)
		all += w - zero
	}
	w, err := s.at(as, f, memory.Mask(f.Width))
	r.sums = w == all&mask
	return r, err
}

// at is the value of as where field f holds d.
func (s *scene) at(as *Expr, f *Field, d memory.Word) (memory.Word, error) {
	s.fields[f.Number] = d
	return s.value(as)
}

// solve gives the field whose value is want; ok is false where there is none.
func (s *scene) solve(as *Expr, f *Field, r reach, want memory.Word) (d memory.Word, ok bool) {
	if d, ok := r.turned(want); ok {
		w, err := s.at(as, f, d)
		return d, err == nil && w == want
	}
	// Any other way round is found by trying; wider fields than this would take a noticeable time.
	if f.Width > 16 {
		return 0, false
	}
	for d := range memory.Mask(f.Width) + 1 {
		if w, err := s.at(as, f, d); err == nil && w == want {
			return d, true
		}
	}
	return 0, false
}

// turned is the only field whose value can be want, and whether rises decide that: they do where the lowest one of each
// stands in a place of its own, so that going up those places settles one bit of the field after the other.
func (r reach) turned(want memory.Word) (d memory.Word, ok bool) {
	var by [64]int // the bit of the field, and one, whose rise has its lowest one there
	for i, rise := range r.rises {
		place := bits.TrailingZeros64(uint64(rise))
		if place < len(by) && by[place] != 0 {
			return 0, false
		}
		if place < len(by) {
			by[place] = i + 1
		}
	}
	left := want - r.zero
	for place, i := range by {
		if i > 0 && left>>place&1 == 1 {
			d |= 1 << (i - 1)
			left -= r.rises[i-1]
		}
	}
	return d, r.sums
}

// ends are the lowest and highest distance from zero that the field can make; ok is false where they say nothing.
func (r reach) ends() (low, high Value, ok bool) {
	for _, rise := range r.rises {
		down := -rise & memory.Mask(r.width)
		if bits.Len64(uint64(min(rise, down)))+len(r.rises) > 63 {
			return low, high, false
		}
		if down < rise { // as a number with sign it is below zero
			low.Size += uint64(down)
		} else {
			high.Size += uint64(rise)
		}
	}
	low.Minus = low.Size > 0
	return low, high, r.sums && low.Size|high.Size != 0
}
