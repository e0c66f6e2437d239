package proof

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A value is what can be known of a value before anything runs: the words it may be, and whether it may be another too.
type value struct {
	words []memory.Word // sorted
	any   bool
	held  bool // a register held it, other than the order counter
	sum   bool // it was worked out from what a register held
}

// What bounds values: more words than these are any word.
const (
	mostWords  = 512 // of what is moved about, such as places to come back to
	mostWorked = 8   // of what is worked out from two values
)

// anything is a value nothing is known of.
func anything() value { return value{any: true} }

// exactly is a value that is known.
func exactly(w memory.Word) value { return value{words: []memory.Word{w}} }

// known gives the one word a value can be; ok is false where there are others.
func (v value) known() (w memory.Word, ok bool) {
	if len(v.words) != 1 || v.any {
		return 0, false
	}
	return v.words[0], true
}

// add lets the value be w too; false where it could be that already.
func (v *value) add(w memory.Word) bool {
	at, there := slices.BinarySearch(v.words, w)
	if there || len(v.words) == mostWords {
		v.any = v.any || !there
		return false
	}
	v.words = slices.Insert(slices.Clone(v.words), at, w)
	return true
}

// or is a value that may be what either is.
func (v value) or(o value) value {
	v.any, v.held, v.sum = v.any || o.any, v.held || o.held, v.sum || o.sum
	for _, w := range o.words {
		v.add(w)
	}
	return v
}

// An eval works out values as far as they can be known: from constants, fields, the place of the order, registers that
// are followed, and store words that are known.
type eval struct {
	order    *order.Order
	values   []memory.Word // of the order's fields
	place    value         // of the order
	register func(r *order.Register) value
	store    func(a memory.Addr, e *order.Expr) value
	after    func(place memory.Addr) memory.Addr
	locals   []value
}

// of works out a value.
func (v *eval) of(e *order.Expr, code *order.Code) value {
	switch e.Op {
	case "const":
		return exactly(e.Value)
	case "field":
		return exactly(v.values[e.Index])
	case "here":
		return v.place
	case "local":
		return v.locals[e.Index]
	case "register":
		return v.register(code.Registers[e.Index])
	case "group":
		if r := v.order.Fields[e.Index].Group[v.values[e.Index]]; r != nil {
			return v.register(r)
		}
		return anything()
	case "cond":
		if c, ok := v.of(e.Args[0], code).known(); ok {
			return v.of(e.Args[2-c&1], code)
		}
		return v.of(e.Args[1], code).or(v.of(e.Args[2], code))
	case "store", "after":
		return v.looked(e, v.of(e.Args[0], code))
	case "channel", "sign":
		return anything()
	}
	args := make([]value, len(e.Args))
	for i, a := range e.Args {
		args[i] = v.of(a, code)
	}
	if plain, ok := sums[e.Op]; ok && len(args) == 2 && code != nil && code.Complement == "twos" {
		e = &order.Expr{Op: plain, Width: e.Width, Args: e.Args}
	}
	return worked(e, args)
}

// sums are what sums through the adder come to in a machine of twos complement, which counts as plain numbers do.
var sums = map[string]string{"add": "+", "subtract": "-"}

// looked is what stands in store at an address that is known, or the place after an order.
func (v *eval) looked(e *order.Expr, at value) value {
	result := value{any: at.any, sum: at.sum}
	if len(at.words) > mostWorked {
		return anything()
	}
	for _, w := range at.words {
		if e.Op == "after" {
			result.add(memory.Word(v.after(memory.Addr(w))))
		} else {
			result = result.or(v.store(memory.Addr(w), e))
		}
	}
	return result
}

// worked works out an operation for each of the words its arguments may be.
func worked(e *order.Expr, args []value) value {
	result := value{}
	rows := [][]memory.Word{{}}
	for _, a := range args {
		result.any, result.held, result.sum = result.any || a.any, result.held || a.held, result.sum || a.sum
		var longer [][]memory.Word
		for _, row := range rows {
			for _, w := range a.words {
				longer = append(longer, append(slices.Clip(row), w))
			}
		}
		if rows = longer; len(args) > 1 && len(rows) > mostWorked {
			return anything()
		}
	}
	if len(args) > 1 && e.Op != "join" {
		result.sum = result.sum || result.held
	}
	for _, row := range rows {
		w, ok := e.Fold(row)
		if !ok {
			return anything()
		}
		result.add(w)
	}
	return result
}
