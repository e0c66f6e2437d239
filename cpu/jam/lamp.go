package jam

import (
	"fmt"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/memory"
)

// A lampBit is one bit of a lamp driver held at a value, in the rows from first to last.
type lampBit struct {
	name        string // without its value
	plugIn      string
	bit         int // of the store word, counted from the right
	first, last memory.Addr
	value       int
	chance      cpu.Chance
}

// stuck is the bit held.
func (l lampBit) stuck() channel.Stuck {
	if l.value == 0 {
		return channel.Stuck{Zero: 1 << l.bit}
	}
	return channel.Stuck{One: 1 << l.bit}
}

// put holds the bit, unless another jam holds it at the other value in one of the rows. The same again changes nothing.
func (l lampBit) put(h *duplex.Half) error {
	d := h.Driver(l.plugIn)
	for _, row := range h.Panel.Rows() {
		if row.PlugIn != l.plugIn || row.Addr < l.first || row.Addr > l.last {
			continue
		}
		if shown := d.Light(row.Addr, memory.Word(l.value)<<l.bit) >> l.bit & 1; shown != memory.Word(l.value) {
			return fmt.Errorf("%s is held %s already in lamp row %s: take that jam out first", l.name, shine(1-l.value), row.Name)
		}
	}
	l.rest(h, true)
	l.rest(h, false)
	return nil
}

func (l lampBit) lift(h *duplex.Half) error {
	if !h.Driver(l.plugIn).Free(l.first, l.last, l.stuck(), l.chance) {
		return fmt.Errorf("%s is not held %s: `jams` lists what is jammed", l.name, shine(l.value))
	}
	return nil
}

func (l lampBit) rest(h *duplex.Half, out bool) {
	if d := h.Driver(l.plugIn); out {
		d.Free(l.first, l.last, l.stuck(), l.chance)
	} else {
		d.Hold(l.first, l.last, l.stuck(), l.chance)
	}
}

// against tells whether another bit held is the same lamp, in some row, at the other value.
func (l lampBit) against(o lampBit) bool {
	return l.value != o.value && l.plugIn == o.plugIn && l.bit == o.bit && l.first <= o.last && o.first <= l.last
}

// shine is the value of a lamp in words.
func shine(value int) string { return [...]string{"dark", "lit"}[value] }

func (l lampBit) effect(*duplex.Half) string {
	return "no order reads a lamp; what it changed is in the lamp rows"
}

func (l lampBit) about() any { return l }
