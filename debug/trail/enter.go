package trail

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// Enter notes a word that no order of this half wrote: the other half of a pair did, at a time. Nobody knows where it came from.
func (r *Record) Enter(a memory.Addr, w memory.Word, at cpu.Time) {
	p := r.spot(a)
	p.use |= Written
	if !p.stood {
		p.stood, p.warned = true, false
	}
	r.leave(p)
	p.write = written{at: at, word: w & r.mask(a)}
}
