package channel

import (
	"math/rand/v2"
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A LampDriver lights lamps from the word in a store row. It may be wrong where the store is right: a driver bit or a
// single lamp that stays dark, or lit, whatever the row says. The zero LampDriver is in order.
type LampDriver struct {
	stuck []stuckLamps // in the order they were put in
	turn  func() int64 // the number of the order being done; nil: there is none
}

// NewLampDriver is a driver in order on a machine that tells how many orders it has done.
func NewLampDriver(orders func() int64) *LampDriver { return &LampDriver{turn: orders} }

// stuckLamps are bits held over the rows from first to last.
type stuckLamps struct {
	first, last memory.Addr
	bits        Stuck
	chance      cpu.Chance
}

// held is whether the bits are held now. An intermittent fault of a lamp is one of those who look at it: so that looking twice
// shows the same, and going back shows it again, what it does hangs on the number of the order alone.
func (d *LampDriver) held(s stuckLamps) bool {
	if s.chance.OneIn < 2 || d.turn == nil {
		return true
	}
	return rand.NewPCG(s.chance.Seed, uint64(d.turn())).Uint64()%s.chance.OneIn == 0
}

// Dark holds a bit of the driver, counted from the right of the store word, dark in every row.
func (d *LampDriver) Dark(bit int) { d.Hold(0, ^memory.Addr(0), Stuck{Zero: 1 << bit}, cpu.Chance{}) }

// Lit holds a bit of the driver, counted from the right of the store word, lit in every row.
func (d *LampDriver) Lit(bit int) { d.Hold(0, ^memory.Addr(0), Stuck{One: 1 << bit}, cpu.Chance{}) }

// Hold holds bits in the rows from first to last, on top of what is held already.
func (d *LampDriver) Hold(first, last memory.Addr, bits Stuck, c cpu.Chance) {
	d.stuck = append(slices.Clip(d.stuck), stuckLamps{first, last, bits, c})
}

// Free undoes one Hold of just these rows and bits; it tells whether there was one.
func (d *LampDriver) Free(first, last memory.Addr, bits Stuck, c cpu.Chance) bool {
	i := slices.Index(d.stuck, stuckLamps{first, last, bits, c})
	if i < 0 {
		return false
	}
	d.stuck = slices.Concat(d.stuck[:i], d.stuck[i+1:])
	return true
}

// Mend puts the driver in order.
func (d *LampDriver) Mend() { d.stuck = nil }

// Light is which lamps of a row are lit while w stands in it: a one for each that is.
func (d *LampDriver) Light(row memory.Addr, w memory.Word) memory.Word {
	for _, s := range d.stuck {
		if s.first <= row && row <= s.last && d.held(s) {
			w = s.bits.Through(w)
		}
	}
	return w
}
