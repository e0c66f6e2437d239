package cpu

import "math/rand/v2"

// A Chance is how often an intermittent fault acts: one in OneIn of the times that it could, as the generator of this Seed
// has it. With OneIn below 2, as in the zero Chance, it always acts.
type Chance struct{ OneIn, Seed uint64 }

// Draws is what a fault remembers: how far its generator has come, and how often the fault could have acted and made a
// difference. It is a value: a copy of it goes on as the original would have.
type Draws struct {
	chance       Chance
	pcg          rand.PCG
	Met, Altered int64
}

// Begin is what a fault of this chance remembers when it is put in. The generator is that of a store's intermittent jams.
func (c Chance) Begin() Draws { return Draws{chance: c, pcg: *rand.NewPCG(c.Seed, c.OneIn)} }

// Fires is whether the fault acts this time; each time is a draw.
func (d *Draws) Fires() bool { return d.chance.OneIn < 2 || d.pcg.Uint64()%d.chance.OneIn == 0 }

// Note counts a time that the fault could have acted.
func (d *Draws) Note(altered bool) {
	d.Met++
	if altered {
		d.Altered++
	}
}
