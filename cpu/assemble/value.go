package assemble

import (
	"math/bits"
	"strconv"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// here is the name of the place a value stands in.
const here = "here"

// A count is a value being added up. Labels are counted with their signs: one label more than taken away makes an
// address; the distance between two labels is a plain number.
type count struct {
	size   uint64
	minus  bool
	labels int
	named  bool // a name stands in it, worth repeating in a message
}

// value reads a value; at is what `here` means.
func (k *cursor) value(at memory.Addr) (v order.Value, ok bool) {
	first := k.peek()
	n, ok := k.added(at)
	if !ok {
		return v, false
	}
	v = order.Value{Size: n.size, Minus: n.minus, Address: n.labels == 1}
	if n.named {
		v.Name = k.lastFrom(first)
	}
	return v, true
}

// added reads terms with + and - between them.
func (k *cursor) added(at memory.Addr) (n count, ok bool) {
	minus := k.peek().is("-")
	if minus {
		k.next++
	}
	if n, ok = k.term(at); !ok {
		return n, false
	}
	if minus {
		// Kept even on a zero: a machine of ones complement has a minus zero.
		n.minus, n.labels = !n.minus, -n.labels
	}
	for {
		sign := k.peek()
		if !sign.is("+") && !sign.is("-") {
			return n, true
		}
		k.next++
		term, ok := k.term(at)
		if !ok {
			return n, false
		}
		if sign.text == "-" {
			term.minus, term.labels = !term.minus, -term.labels
		}
		if n, ok = n.plus(term); !ok {
			k.wrong(sign, "the value is wider than 64 bits from here on")
			return n, false
		}
	}
}

// plus adds two counts; ok is false where the size is wider than 64 bits.
func (n count) plus(m count) (sum count, ok bool) {
	sum = count{labels: n.labels + m.labels, named: n.named || m.named, minus: n.minus}
	if n.minus == m.minus {
		var carry uint64
		sum.size, carry = bits.Add64(n.size, m.size, 0)
		return sum, carry == 0
	}
	// Of opposite signs: the larger keeps its own, and nothing can be wider than it.
	if n.size < m.size {
		n, m = m, n
	}
	sum.size = n.size - m.size
	sum.minus = n.minus && sum.size != 0
	return sum, true
}

// term reads one number, name or character, and the bits picked from it.
func (k *cursor) term(at memory.Addr) (n count, ok bool) {
	it := k.take()
	switch {
	case it.kind == isNumber:
		size, err := k.code.Geometry.Style.Parse(it.text)
		if err != nil {
			k.wrong(it, "%v", err)
			return n, false
		}
		n = count{size: size}
	case it.kind == isText:
		if len(it.text) != 1 || !printable(it.text[0]) {
			k.wrong(it, "%v is not one ASCII character; several stand behind `text ascii`", it)
			return n, false
		}
		n = count{size: uint64(it.text[0])}
	case it.kind == isName && it.text == here:
		n = count{size: uint64(at), labels: 1, named: true}
	case it.kind == isName:
		if n, ok = k.lookUp(it); !ok {
			return n, false
		}
		n.named = true
	default:
		k.wrong(it, "a number, a label or a constant is wanted here, not %v", it)
		return n, false
	}
	for k.peek().is(".") {
		if n, ok = k.picked(n); !ok {
			return n, false
		}
	}
	return n, true
}

// picked reads the bits behind a point and picks them from n. They are numbered as in an address where n is one, else
// as in a word.
func (k *cursor) picked(n count) (count, bool) {
	point := k.take()
	width := k.code.Geometry.Width
	if n.labels == 1 {
		width = k.code.PlaceBits()
	}
	if n.minus || memory.Word(n.size) > memory.Mask(width) {
		k.wrong(point, "bits are picked from a value of %d bits without sign, and this is none", width)
		return n, false
	}
	hi, ok := k.bit(width)
	if !ok {
		return n, false
	}
	lo := hi
	// Only a hyphen that touches both numbers makes a range: blanks round it make it a minus.
	if dash, to := k.peek(), k.ahead(1); dash.is("-") && to.kind == isNumber && to.from == dash.to &&
		dash.from == k.line.items[k.next-1].to {
		k.next++
		if lo, ok = k.bit(width); !ok {
			return n, false
		}
	}
	if hi < lo {
		k.wrong(point, "bits are picked from left to right, the leftmost first")
		return n, false
	}
	picked := memory.Word(n.size) >> lo & memory.Mask(hi-lo+1)
	return count{size: uint64(picked), named: true}, true
}

// bit reads a bit number, decimal as everywhere, and counts it from the right.
func (k *cursor) bit(width int) (int, bool) {
	it := k.take()
	typed, err := strconv.Atoi(it.text)
	if it.kind != isNumber || err != nil {
		k.wrong(it, "a bit number is wanted here, not %v", it)
		return 0, false
	}
	i, err := k.code.Geometry.Style.BitFrom(typed, width)
	if err != nil {
		k.wrong(it, "%v", err)
	}
	return i, err == nil
}

// data reads one value and fits it into a word.
func (k *cursor) data(at memory.Addr) (w memory.Word, ok bool) {
	first := k.peek()
	v, ok := k.value(at)
	if !ok {
		return 0, false
	}
	if it := k.peek(); it.kind != isEnd && !it.is(",") {
		k.wrong(it, "a comma or the end of the line is wanted here, not %v", it)
		return 0, false
	}
	w, err := k.code.Bits(v, k.code.Geometry.Width)
	if err != nil {
		k.wrong(first, "%v", err)
	}
	return w, err == nil
}

// plain reads a value that must not be negative: an address or a number of things, at most most; at is what `here` means.
func (k *cursor) plain(what string, at memory.Addr, most uint64) (uint64, bool) {
	first := k.peek()
	v, ok := k.value(at)
	return v.Size, ok && k.within(first, v, what, most)
}

// within complains of a value that is negative or above most.
func (k *cursor) within(first item, v order.Value, what string, most uint64) bool {
	if v.Minus || v.Size > most {
		k.wrong(first, "%s must lie in 0 to %s, and %s does not", what, k.code.Geometry.Style.Number(most), k.code.Text(v))
		return false
	}
	return true
}

// address reads a value that is the address of a word. A label is a place, and stands for the address of its word.
func (k *cursor) address(what string, at memory.Addr) (memory.Addr, bool) {
	first := k.peek()
	v, ok := k.value(at)
	if !ok {
		return 0, false
	}
	if v.Address {
		v.Size = uint64(k.code.WordOf(memory.Addr(v.Size)))
	}
	if !k.within(first, v, what, uint64(memory.Mask(k.code.Geometry.AddrBits))) {
		return 0, false
	}
	if units := k.step(); memory.Addr(v.Size)%units != 0 {
		k.wrong(first, "%s is not the first unit of a word: a word has %d, so words begin at multiples of %d",
			k.addr(memory.Addr(v.Size)), units, units)
		return 0, false
	}
	return memory.Addr(v.Size), true
}
