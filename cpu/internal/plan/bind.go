package plan

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Bound is an order, a trap or the boot rule as flat steps. A bound order belongs to the words it was bound to, at one
// address.
type Bound struct {
	Order  *order.Order // nil for traps and boot
	Words  []memory.Word
	Fields []memory.Word
	Next   memory.Addr // the order after this one
	Cost   int64       // cycles, before spend
	Steps  []Step
	Result uint16 // for a condition: the place that holds it
}

// A Binder turns transfers into steps for one File.
type Binder struct {
	code  *order.Code
	adder Adder
	file  *File
	doubt bool
}

// NewBinder makes a Binder for a Code and the File its steps will name places of.
func NewBinder(c *order.Code, f *File) *Binder {
	return &Binder{code: c, adder: AdderOf(c.Complement), file: f}
}

// Doubt lets nothing be known, from now on, of what an adder or the order counter will give before an order runs: something
// is wrong with one of them.
func (b *Binder) Doubt(d bool) { b.doubt = d }

// Order binds an order to the words that stand at a place: fields become constants, groups become registers, and
// reads of the order counter become the address they are known to give.
func (b *Binder) Order(o *order.Order, words []memory.Word, at memory.Addr) *Bound {
	bound := &Bound{
		Order:  o,
		Words:  append([]memory.Word(nil), words...),
		Fields: o.Values(words),
		Next:   b.code.After(at, o),
		Cost:   int64(o.Cost),
	}
	u := b.builder(o.Fields, bound.Fields, o.Locals)
	u.here = known(memory.Word(at))
	if !b.doubt {
		u.counter = operand{known: true, value: memory.Word(at)}
	}
	if !b.code.HoldsNext {
		u.counterTo = b.file.Next()
	} else if !b.doubt {
		u.counter.value = memory.Word(bound.Next)
	}
	u.lines(o.Does)
	bound.Steps = u.finish()
	return bound
}

// Transfers binds the lines of a trap or of the boot rule, which have no word and no fields.
func (b *Binder) Transfers(does []*order.Stmt, locals int) *Bound {
	u := b.builder(nil, nil, locals)
	u.lines(does)
	return &Bound{Steps: u.finish()}
}

// Condition binds a condition; Result is where its value stands after the steps. It may be worked out in the midst of an
// order, whose scratch places it leaves alone. Local 0, if it names one, is what stands at File.Written.
func (b *Binder) Condition(e *order.Expr) *Bound {
	u := b.builder(nil, nil, 0)
	u.locals = []operand{{place: b.file.Written()}}
	u.base = b.file.Written() + 1
	u.next, u.limit = u.base, uint16(b.file.first())
	result := u.place(u.value(e))
	return &Bound{Steps: u.finish(), Result: result}
}

// builder starts a run of steps.
func (b *Binder) builder(fields []*order.Field, values []memory.Word, locals int) *builder {
	f := b.file
	u := &builder{
		adder: b.adder, doubt: b.doubt, word: b.code.Geometry.Width, file: f, fields: fields, values: values,
		counterAt: uint16(b.code.Counter.Number),
		counterTo: uint16(b.code.Counter.Number),
		here:      operand{place: f.Here()},
		counter:   operand{place: uint16(b.code.Counter.Number)},
		locals:    make([]operand, locals),
	}
	for i := range u.locals {
		u.locals[i].place = f.Next() + 1 + uint16(i)
	}
	u.base = f.Next() + 1 + uint16(locals)
	u.next, u.limit = u.base, f.Spare()
	return u
}
