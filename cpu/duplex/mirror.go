package duplex

import "coldstart/memory"

// mirror does a write of a half in the store of the other too, word by word where it reached into two.
func (p *Pair) mirror(n int, at memory.Addr, w memory.Word, bits int, copied bool) {
	from, to := p.halves[n].Store, p.halves[1-n].Store
	if p.dead[1-n] {
		return
	}
	g := &p.code.Geometry
	step := memory.Addr(g.Step())
	if whole := at%step == 0 && bits == g.Width; whole && !copied {
		p.wrote(1-n, at, w, to.Write(at, w))
		return
	}
	last := at + memory.Addr((bits*int(step)-1)/g.Width)
	for a := at - at%step; a <= last; a += step {
		stored, _, st := from.Peek(a)
		switch {
		case copied:
			p.wrote(1-n, a, stored, to.Copy(from, a))
		case st&memory.NoReply == 0:
			p.wrote(1-n, a, stored, to.Write(a, stored))
		}
	}
}

// wrote tells whoever heeds it of a write into the store of half n that no order of that half did.
func (p *Pair) wrote(n int, a memory.Addr, w memory.Word, st memory.Status) {
	if p.entered != nil && st&(memory.NoReply|memory.Protected) == 0 {
		p.entered(n, a, w)
	}
}

// HeedWrites lets f be called, from now on, with each word that one half wrote into the store of the other, half n: by a mirrored
// range, or over the maintenance channel.
func (p *Pair) HeedWrites(f func(n int, a memory.Addr, w memory.Word)) { p.entered = f }
