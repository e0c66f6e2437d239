package channel

import (
	"iter"

	"coldstart/cpu"
)

// Play gives every word of the tape seated, as this drive would give it to a program that stands by from the moment the tape
// starts: when it comes, and what is received. The drive itself does not move.
func (d *Drive) Play() iter.Seq2[cpu.Time, cpu.Reply] {
	return func(yield func(cpu.Time, cpu.Reply) bool) {
		p := NewDrive(d.spec)
		p.Seat(d.tape)
		p.command(p.spec.Commands[forward], 0)
		for now := p.Next(0); now != cpu.Never; now = p.Next(now) {
			if p.advance(now); p.waiting && !yield(now, p.Do(cpu.Action{Verb: cpu.Receive}, now)) {
				return
			}
		}
	}
}
