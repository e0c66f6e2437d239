package order

import (
	"cmp"
	"math/bits"
	"slices"

	"coldstart/memory"
)

// A cube is a set of words that one order reads: those that equal value where mask has ones. An order has one, or, where a
// field's group leaves values out, one for each value that means a register.
type cube struct {
	mask, value memory.Word
	order       *Order
}

// maxCubes bounds the time that comparing each cube with each other takes.
const maxCubes = 16384

// cubes gives the cubes of orders' first words; it complains where they are too many.
func (c *checker) cubes(orders []*Order) []cube {
	var all []cube
	for _, o := range orders {
		mine := []cube{{o.Patterns[0].Mask, o.Patterns[0].Value, o}}
		for _, f := range o.Fields {
			if slices.Contains(f.Group, nil) {
				mine = narrow(mine, f)
			}
		}
		if all = append(all, mine...); len(all) > maxCubes {
			c.errorf(c.at[o], "with order %s the patterns come to more than %d, since groups leave out some values: draw those fields with letters that have no group", o.Name, maxCubes)
			return nil
		}
	}
	return all
}

// narrow splits cubes by the values of a field that mean a register, and leaves off where they are too many in any case.
func narrow(cubes []cube, f *Field) []cube {
	var split []cube
	for _, c := range cubes {
		for v, r := range f.Group {
			if r != nil && len(split) <= maxCubes {
				mask, value := f.spread(memory.Word(v))
				split = append(split, cube{c.mask | mask, c.value | value, c.order})
			}
		}
	}
	return split
}

// spread puts a value into the places of a field of the first word; mask has ones in them.
func (f *Field) spread(v memory.Word) (mask, value memory.Word) {
	left := f.Width
	for _, p := range f.Pieces {
		width := p.Hi - p.Lo + 1
		left -= width
		mask |= memory.Mask(width) << p.Lo
		value |= (v >> left & memory.Mask(width)) << p.Lo
	}
	return mask, value
}

// tableBits is the widest word that gets a table with a place for every word.
const tableBits = 18

// A decoder finds the order that reads a word. Words are sorted into bins by some of their bits: by all of them where words
// are narrow, so that a bin holds one cube, else by those that most patterns fix.
type decoder struct {
	by    memory.Word // the bits that choose the bin
	bins  [][]cube    // wide words
	table []uint16    // narrow words: Order.Number and one; 0 for none
}

// newDecoder sorts the cubes of a word of width bits. Where several have a word, it goes to the first of them.
func newDecoder(width int, cubes []cube) decoder {
	if width <= tableBits {
		d := decoder{table: make([]uint16, 1<<width)}
		for _, c := range slices.Backward(cubes) {
			each(memory.Mask(width)&^c.mask, func(rest memory.Word) { d.table[c.value|rest] = uint16(c.order.Number + 1) })
		}
		return d
	}
	d := decoder{by: popular(width, cubes)}
	d.bins = make([][]cube, 1<<bits.OnesCount64(uint64(d.by)))
	for _, c := range cubes {
		each(d.by&^c.mask, func(rest memory.Word) {
			bin := gather(c.value|rest, d.by)
			d.bins[bin] = append(d.bins[bin], c)
		})
	}
	return d
}

// each calls do with every word whose ones lie within mask.
func each(mask memory.Word, do func(memory.Word)) {
	for w := memory.Word(0); ; w = (w - mask) & mask {
		do(w)
		if w == mask {
			return
		}
	}
}

// popular picks the ten bits that most cubes fix, the higher one where two are fixed alike.
func popular(width int, cubes []cube) memory.Word {
	fixed := make([]int, width)
	order := make([]int, width)
	for i := range width {
		order[i] = width - 1 - i
		for _, c := range cubes {
			fixed[i] += int(c.mask >> i & 1)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(fixed[j], fixed[i]) })
	var by memory.Word
	for _, i := range order[:min(10, width)] {
		by |= 1 << i
	}
	return by
}

// gather pushes the bits of w that mask has together at the right.
func gather(w, mask memory.Word) int {
	at, bin := 0, 0
	for ; mask != 0; mask &= mask - 1 {
		bin |= int(w>>bits.TrailingZeros64(uint64(mask))&1) << at
		at++
	}
	return bin
}

// find gives the order of the first cube that has the word; nil where none has.
func (d *decoder) find(orders []*Order, w memory.Word) *Order {
	if d.table != nil {
		if w >= memory.Word(len(d.table)) || d.table[w] == 0 {
			return nil
		}
		return orders[d.table[w]-1]
	}
	for _, cube := range d.bins[gather(w, d.by)] {
		if w&cube.mask == cube.value {
			return cube.order
		}
	}
	return nil
}

// Find gives the order that reads the word as its first; nil where no order does. Where two orders in a word are, it is
// the half of a word that is meant.
func (c *Code) Find(w memory.Word) *Order { return c.index.find(c.Orders, w) }

// FindUndefined gives what the handbook says that a word does which no order reads; nil where it says nothing.
func (c *Code) FindUndefined(w memory.Word) *Order {
	if len(c.Undefined) == 0 {
		return nil
	}
	return c.undefined.find(c.Undefined, w)
}
