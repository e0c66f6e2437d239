package duplex

import (
	"fmt"

	"coldstart/cpu"
)

// State is what a half does, in words.
func (p *Pair) State(n int) string {
	switch m := p.halves[n].Machine; {
	case p.dead[n]:
		return "without power"
	case m.Waiting():
		return "waiting"
	case m.Halted():
		return "standing still"
	}
	return "running"
}

// Rows is a table of the two halves side by side, what a row is about first; when writes a time.
func (p *Pair) Rows(when func(cpu.Time) string) [][3]string {
	var rows [][3]string
	row := func(what string, cell func(n int) string) { rows = append(rows, [3]string{what, cell(0), cell(1)}) }
	machine := func(n int) *cpu.Machine { return p.halves[n].Machine }
	row("", func(n int) string { return p.halves[n].Name })
	row("on-line", func(n int) string {
		if p.on[n] {
			return "yes"
		}
		return "no"
	})
	row("state", p.State)
	g := &p.code.Geometry
	row("next order", func(n int) string { return g.Style.Addr(machine(n).Place(), g.AddrBits) })
	for i, t := range p.code.Timers {
		row("timer "+t.Name, func(n int) string {
			if at := machine(n).RunsOut(i); at != cpu.Never {
				return when(at-machine(n).Now()) + " left"
			}
			return "at rest"
		})
	}
	row("clock", func(n int) string { return when(p.Time(n)) })
	row("orders done", func(n int) string { return fmt.Sprint(machine(n).Orders()) })
	row("gated outputs", func(n int) string { return fmt.Sprint(p.driven[n]) })
	row("kept back", func(n int) string { return fmt.Sprint(p.lost[n]) })
	return rows
}

// Tell is an event of the pair in words, without its time and cause.
func (p *Pair) Tell(e Event) string {
	lasted := ""
	if e.Until != cpu.Never {
		lasted = fmt.Sprintf(" for %v", e.Until-e.At)
	}
	switch e.Kind {
	case Both:
		return "BOTH HALVES ON-LINE" + lasted
	case None:
		return "no half on-line" + lasted
	}
	return fmt.Sprintf("changeover to %s in %v", p.halves[e.To].Name, e.Until-e.At)
}

// Why is a cause in words.
func (p *Pair) Why(c Cause) string {
	half := p.halves[c.Half].Name
	switch c.By {
	case ByKey:
		return "by the key"
	case ByOrder:
		return "by an order of " + half
	case ByTrap:
		return fmt.Sprintf("by trap %s in %s", c.Trap.Kind.Name, half)
	case ByTimer:
		return fmt.Sprintf("by trap %s in %s, of a timer", c.Trap.Kind.Name, half)
	case ByMate:
		return "by the maintenance channel of " + half
	case ByGap:
		return "at the end of the gap"
	case ByPower:
		return half + " lost its power"
	}
	return "by hand"
}
