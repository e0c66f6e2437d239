package duplex

import (
	"math/bits"

	"coldstart/cpu"
)

// A Clock is the clock of a half beside the time line that both halves share: what lasts Per by its own clock lasts Lasts on the
// line, and it stood at nothing when the line stood at Start. The zero Clock keeps the time of the line.
type Clock struct {
	Start      cpu.Time
	Lasts, Per int64 // both more than 0, or both 0, which means alike
}

// line is the time on the line at a time of the half's own clock, rounded down to a picosecond.
func (c Clock) line(own cpu.Time) cpu.Time {
	if own == cpu.Never || c.Lasts == c.Per {
		return later(own, c.Start)
	}
	return later(scale(own, c.Lasts, c.Per, 0), c.Start)
}

// own is the first time of the half's own clock at which the line has come to a time.
func (c Clock) own(line cpu.Time) cpu.Time {
	switch {
	case line == cpu.Never:
		return line
	case line <= c.Start:
		return 0
	case c.Lasts == c.Per:
		return line - c.Start
	}
	return scale(line-c.Start, c.Per, c.Lasts, uint64(c.Lasts-1))
}

// later is a time some time on, and never later than cpu.Never.
func later(t, by cpu.Time) cpu.Time {
	if t > cpu.Never-by {
		return cpu.Never
	}
	return t + by
}

// scale is (t * num + more) / den, rounded down, exactly; cpu.Never where that is beyond it.
func scale(t cpu.Time, num, den int64, more uint64) cpu.Time {
	hi, lo := bits.Mul64(uint64(t), uint64(num))
	lo, carry := bits.Add64(lo, more, 0)
	if hi += carry; hi >= uint64(den) {
		return cpu.Never
	}
	q, _ := bits.Div64(hi, lo, uint64(den))
	return cpu.Time(min(q, uint64(cpu.Never)))
}
