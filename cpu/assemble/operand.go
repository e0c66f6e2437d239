package assemble

import (
	"fmt"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// encode reads the operands of an order and makes its words; nil where something is wrong.
func (k *cursor) encode(o *order.Order, at memory.Addr, assumed map[*order.Register]memory.Word) []memory.Word {
	if !k.countOperands(o) {
		return nil
	}
	fields := o.Blank()
	values := make([]written, len(o.Operands))
	good := true
	for i, op := range o.Operands {
		if !k.operand(op, fields, &values[i], at) {
			good = false
		} else if it := k.peek(); it.kind != isEnd && !it.is(",") {
			k.wrong(it, "a comma or the end of the line is wanted here, not %v", it)
			good = false
		}
		k.more() // past whatever is left of a wrong operand, so that the next is still read
	}
	if !good {
		return nil
	}
	// What a value means may hang on a field that stands behind it, so values come after all fields.
	for i, v := range values {
		if !v.given {
			continue
		}
		if err := k.code.Solve(o, i, v.value, fields, order.Place{At: at, Assumed: assumed}); err != nil {
			k.wrong(v.item, "%v", err)
			good = false
		}
	}
	if !good {
		return nil
	}
	return o.Encode(fields)
}

// A written is the value of an operand as read, to be turned into its field.
type written struct {
	given bool // false: the field is set already
	item  item
	value order.Value
}

// countOperands complains of too many operands, or too few. Operands at the end may be left out where nothing of them
// has to be written.
func (k *cursor) countOperands(o *order.Order) bool {
	given := 0
	if ahead := *k; ahead.peek().kind != isEnd {
		for given = 1; ahead.more(); given++ {
		}
	}
	needed := len(o.Operands)
	for needed > 0 && silent(o.Operands[needed-1]) {
		needed--
	}
	if needed <= given && given <= len(o.Operands) {
		return true
	}
	k.wrong(k.line.items[k.next-1], "%s takes %s, not %d: %s", o.Name, operands(len(o.Operands)), given, usage(o))
	return false
}

// operands says how many.
func operands(n int) string {
	if n == 1 {
		return "1 operand"
	}
	return fmt.Sprintf("%d operands", n)
}

// usage shows an order with the letters of its fields.
func usage(o *order.Order) string {
	written := make([]string, len(o.Operands))
	for i, op := range o.Operands {
		letters := make([]string, len(op.Fields))
		for j, f := range op.Fields {
			letters[j] = f.Name
		}
		written[i] = strings.Join(letters, " ")
	}
	return strings.TrimSpace(o.Name + " " + strings.Join(written, ", "))
}

// silent says that an operand can be written as nothing.
func silent(op order.Operand) bool {
	for _, f := range op.Fields {
		if _, ok := choose(f, order.Unwritten); !ok {
			return false
		}
	}
	return true
}

// choose finds the value of a field that has this word.
func choose(f *order.Field, word string) (memory.Word, bool) {
	for v, w := range f.Choice {
		if w == word {
			return memory.Word(v), true
		}
	}
	return 0, false
}

// operand reads one operand: all its fields but the last are set, the last too unless it is a value.
func (k *cursor) operand(op order.Operand, fields []memory.Word, v *written, at memory.Addr) bool {
	last := len(op.Fields) - 1
	for _, f := range op.Fields[:last] {
		if !k.prefix(f, fields) {
			return false
		}
	}
	f, it := op.Fields[last], k.peek()
	if f.Group != nil {
		return k.group(f, fields)
	}
	if set, good := k.chosen(f, fields); set || !good {
		return good
	}
	value, ok := k.value(at)
	*v = written{given: true, item: it, value: value}
	return ok
}

// chosen sets a field by the word of a choice, or by nothing where nothing is a choice. It leaves numbers alone; good is
// false where there is a word that is none of the choice and no label either.
func (k *cursor) chosen(f *order.Field, fields []memory.Word) (set, good bool) {
	it := k.peek()
	word := it.text
	switch {
	case f.Choice == nil:
		return false, true
	case it.kind == isEnd || it.is(","):
		word = order.Unwritten
	case it.kind != isName:
		return false, true
	}
	if d, ok := choose(f, word); ok {
		fields[f.Number] = d
		if word == it.text {
			k.next++
		}
		return true, true
	}
	if it.kind == isName && k.symbols[it.text] == nil && it.text != here {
		words := choices(f)
		k.wrong(it, "%s is none of %s%s", it.text, strings.Join(words, ", "), k.nearest(it.text, func() []string { return words }))
		return false, false
	}
	return false, true
}

// prefix sets a field that stands before the value of its operand.
func (k *cursor) prefix(f *order.Field, fields []memory.Word) bool {
	it, after := k.peek(), k.ahead(1)
	if f.Group != nil {
		return k.group(f, fields)
	}
	if it.kind == isName {
		if d, ok := choose(f, it.text); ok {
			k.next++
			fields[f.Number] = d
			return true
		}
	}
	if it.kind == isName && after.starts() {
		words := choices(f)
		k.wrong(it, "%s is wanted here, not %v%s", wanted(f), it, k.nearest(it.text, func() []string { return words }))
		return false
	}
	// A number before another value is the field by its number; one alone is the value itself.
	unwritten, ok := choose(f, order.Unwritten)
	if it.kind == isNumber && (!ok || after.starts()) {
		return k.numbered(f, fields)
	}
	if !ok {
		k.wrong(it, "%s is wanted here, not %v", wanted(f), it)
		return false
	}
	fields[f.Number] = unwritten
	return true
}

// numbered sets a field by a number, which must not have a word of its own: a comma left out should show.
func (k *cursor) numbered(f *order.Field, fields []memory.Word) bool {
	it := k.take()
	n, err := k.code.Geometry.Style.Parse(it.text)
	if err == nil {
		fields[f.Number], err = k.code.Bits(order.Value{Size: n}, f.Width)
	}
	if err == nil && n < uint64(len(f.Choice)) && f.Choice[n] != "" {
		err = fmt.Errorf("%s before another value is field %s, which is not written so here: %s", it.text, f.Name, wanted(f))
	}
	if err != nil {
		k.wrong(it, "%v", err)
	}
	return err == nil
}

// group sets a field by the name of a register.
func (k *cursor) group(f *order.Field, fields []memory.Word) bool {
	it := k.take()
	for v, r := range f.Group {
		if it.kind == isName && r != nil && r.Name == it.text {
			fields[f.Number] = memory.Word(v)
			return true
		}
	}
	if it.is(",") {
		k.next-- // it is needed to find the next operand
	}
	k.wrong(it, "%v is not a register that can stand here: %s", it, strings.Join(registers(f), ", "))
	return false
}

// wanted says what a field is written as.
func wanted(f *order.Field) string {
	if words := choices(f); len(words) > 0 {
		return "one of " + strings.Join(words, ", ")
	}
	return "a number for field " + f.Name
}

// choices lists the words of a field.
func choices(f *order.Field) []string {
	var words []string
	for _, w := range f.Choice {
		if w != "" && w != order.Unwritten {
			words = append(words, w)
		}
	}
	return words
}

// registers lists the registers of a field, each once.
func registers(f *order.Field) []string {
	var names []string
	told := map[*order.Register]bool{nil: true}
	for _, r := range f.Group {
		if !told[r] {
			told[r] = true
			names = append(names, r.Name)
		}
	}
	return names
}
