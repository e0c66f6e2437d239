// Package jam names every place of a machine that can be made to fail, and puts such faults in. A jam is a fault put in on
// purpose; nothing above this package needs to know that there is one.
package jam

import (
	"fmt"
	"go/token"
	"slices"

	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/memory"
)

// A Jam is one fault: a cell of store, or a bit of a lamp driver, that stays at one value.
type Jam struct {
	Pos token.Position // in the list that has it; without a line where it was typed

	text  string
	place place
	value int
}

// A place is something that can be jammed.
type place interface {
	put(h *duplex.Half, value int) error
	lift(h *duplex.Half, value int) error
	effect(h *duplex.Half) string
}

// String is the jam in its one settled form, which Parse reads back.
func (j Jam) String() string { return j.text }

// Put makes the fault in a half. The error, one sentence, says that another jam holds the same place at another value.
func (j Jam) Put(h *duplex.Half) error { return j.place.put(h, j.value) }

// Lift mends the fault. The error says that it was not there.
func (j Jam) Lift(h *duplex.Half) error { return j.place.lift(h, j.value) }

// Effect says what the jam has done to the half so far: how often its place was read, and how often it changed what was
// seen. It is for whoever put the jam in; a verdict never rests on it.
func (j Jam) Effect(h *duplex.Half) string { return j.place.effect(h) }

// Contradicts tells whether another jam holds something of the same place at another value, so that both cannot be put in.
func (j Jam) Contradicts(other Jam) bool {
	if j.value == other.value {
		return false
	}
	a, lamps := j.place.(lampBit)
	b, both := other.place.(lampBit)
	if lamps && both {
		return a.plugIn == b.plugIn && a.bit == b.bit && a.first <= b.last && b.first <= a.last
	}
	return j.place == other.place
}

// A cell is one bit, or one parity bit, of one word of store.
type cell struct {
	addr   memory.Addr
	column int
}

func (c cell) put(h *duplex.Half, value int) error { return h.Store.Jam(c.addr, c.column, value) }

func (c cell) lift(h *duplex.Half, value int) error {
	if !slices.Contains(h.Store.Jams(), memory.Jam{Addr: c.addr, Column: c.column, Value: value}) {
		return fmt.Errorf("this cell is not jammed at %d: `jams` lists what is jammed", value)
	}
	return h.Store.Unjam(c.addr, c.column)
}

// effect counts reads of the word, not of the cell: a word is read whole.
func (c cell) effect(h *duplex.Half) string {
	reads, altered := h.Store.JamReads(c.addr)
	_, lamps := h.Panel.Row(c.addr)
	switch {
	case reads == 0 && lamps:
		return "no order read its word; what it changed is in the lamp rows"
	case reads == 0:
		return "its word was never read, so it changed nothing"
	case altered == 0:
		return fmt.Sprintf("reads of its word: %d; it held that value anyway, so it changed nothing", reads)
	}
	return fmt.Sprintf("reads of its word: %d, changed by it: %d", reads, altered)
}

// A lampBit is one bit of a lamp driver, in the rows from first to last.
type lampBit struct {
	name        string // without its value
	plugIn      string
	bit         int // of the store word, counted from the right
	first, last memory.Addr
}

// stuck is the bit held at a value.
func (l lampBit) stuck(value int) channel.Stuck {
	if value == 0 {
		return channel.Stuck{Zero: 1 << l.bit}
	}
	return channel.Stuck{One: 1 << l.bit}
}

// put holds the bit, unless another jam holds it at the other value in one of the rows. The same again changes nothing.
func (l lampBit) put(h *duplex.Half, value int) error {
	d := h.Driver(l.plugIn)
	for _, row := range h.Panel.Rows() {
		if row.PlugIn != l.plugIn || row.Addr < l.first || row.Addr > l.last {
			continue
		}
		if shown := d.Light(row.Addr, memory.Word(value)<<l.bit) >> l.bit & 1; shown != memory.Word(value) {
			return fmt.Errorf("%s is held %s already in lamp row %s: take that jam out first", l.name, shine(1-value), row.Name)
		}
	}
	d.Free(l.first, l.last, l.stuck(value))
	d.Hold(l.first, l.last, l.stuck(value))
	return nil
}

func (l lampBit) lift(h *duplex.Half, value int) error {
	if !h.Driver(l.plugIn).Free(l.first, l.last, l.stuck(value)) {
		return fmt.Errorf("%s is not held %s: `jams` lists what is jammed", l.name, shine(value))
	}
	return nil
}

// shine is the value of a lamp in words.
func shine(value int) string { return [...]string{"dark", "lit"}[value] }

func (l lampBit) effect(*duplex.Half) string {
	return "no order reads a lamp; what it changed is in the lamp rows"
}
