package trail

import (
	"bytes"
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Signal is something that has a value at every time.
type Signal struct {
	Name  string
	Width int // bits
}

// A VCD is signals over time as value changes, the form of IEEE 1364-2005, clause 18, which general waveform viewers open. Times
// begin at 0, in the coarsest unit that is exact; what is not known is x.
type VCD struct {
	signals []Signal
	wires   bool
	last    []reading
	began   bool
	from    cpu.Time
	changes []change
	end     cpu.Time
}

// A reading is the value of a signal.
type reading struct {
	value memory.Word
	known bool
	some  bool // it was read
}

// A change is a signal that has another value from a time on.
type change struct {
	at     cpu.Time
	signal int
	reading
}

// NewVCD is a record of signals; wires writes every bit of a signal as one of its own, for readers that take no others.
func NewVCD(signals []Signal, wires bool) *VCD {
	return &VCD{signals: signals, wires: wires, last: make([]reading, len(signals))}
}

// Read takes in that a signal has a value from a time on; times do not go back. A value that has not changed is no change.
func (v *VCD) Read(at cpu.Time, signal int, value memory.Word, known bool) {
	if !v.began {
		v.began, v.from = true, at
	}
	v.end = max(v.end, at)
	r := reading{value, known, true}
	if v.last[signal] == r {
		return
	}
	v.last[signal] = r
	v.changes = append(v.changes, change{at, signal, r})
}

// units are what a time can be counted in, the coarsest first.
var units = []struct {
	name string
	size cpu.Time
}{{"s", cpu.Second}, {"ms", cpu.Millisecond}, {"us", cpu.Microsecond}, {"ns", 1000}, {"ps", 1}}

// scale is the coarsest unit, 1, 10 or 100 of a named one, in which all times are whole.
func (v *VCD) scale() (name string, size cpu.Time) {
	for _, u := range units {
		for _, n := range []cpu.Time{100, 10, 1} {
			size = n * u.size
			whole := (v.end-v.from)%size == 0
			for i := 0; whole && i < len(v.changes); i++ {
				whole = (v.changes[i].at-v.from)%size == 0
			}
			if whole {
				return fmt.Sprintf("%d %s", n, u.name), size
			}
		}
	}
	return "1 ps", 1
}

// Bytes is the whole file.
func (v *VCD) Bytes() []byte {
	var out bytes.Buffer
	name, size := v.scale()
	fmt.Fprintf(&out, "$comment begins %v after power-up $end\n$timescale %s $end\n$scope module machine $end\n", v.from, name)
	ids := 0
	first := make([]int, len(v.signals))
	for i, s := range v.signals {
		first[i] = ids
		if !v.wires {
			fmt.Fprintf(&out, "$var wire %d %s %s $end\n", s.Width, id(ids), plain(s.Name))
			ids++
			continue
		}
		for b := range s.Width {
			fmt.Fprintf(&out, "$var wire 1 %s %s_%d $end\n", id(ids), plain(s.Name), b)
			ids++
		}
	}
	out.WriteString("$upscope $end\n$enddefinitions $end\n#0\n$dumpvars\n")
	for i := range v.signals {
		v.write(&out, first[i], i, reading{})
	}
	out.WriteString("$end\n")
	at := cpu.Time(0)
	for _, c := range v.changes {
		if t := (c.at - v.from) / size; t != at {
			at = t
			fmt.Fprintf(&out, "#%d\n", at)
		}
		v.write(&out, first[c.signal], c.signal, c.reading)
	}
	if end := (v.end-v.from)/size + 1; end > at {
		fmt.Fprintf(&out, "#%d\n", end)
	}
	return out.Bytes()
}

// write writes one value: one change a line, because some readers lose the second of two.
func (v *VCD) write(out *bytes.Buffer, first, signal int, r reading) {
	width := v.signals[signal].Width
	digit := func(b int) byte {
		if !r.known {
			return 'x'
		}
		return '0' + byte(r.value>>b&1)
	}
	switch {
	case v.wires:
		for b := range width {
			fmt.Fprintf(out, "%c%s\n", digit(b), id(first+b))
		}
	case width == 1:
		fmt.Fprintf(out, "%c%s\n", digit(0), id(first))
	default:
		out.WriteByte('b')
		for b := width - 1; b >= 0; b-- {
			out.WriteByte(digit(b))
		}
		fmt.Fprintf(out, " %s\n", id(first))
	}
}

// id is identifier n: printable characters from 33 to 126.
func id(n int) string {
	var s strings.Builder
	for {
		s.WriteByte(byte(33 + n%94))
		if n /= 94; n == 0 {
			return s.String()
		}
		n--
	}
}

// plain is a name with letters, digits and underscores alone: readers treat anything else each in their own way.
func plain(name string) string {
	return strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' {
			return c
		}
		return '_'
	}, name)
}
