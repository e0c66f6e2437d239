package debug

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/cpu/panel"
	"coldstart/loader/list"
	"coldstart/memory"
)

// panel shows registers, flip-flops, time and the last trap.
func (s *Session) panel([]string) error {
	m := s.half.Machine
	s.values(func(r *order.Register) bool { return !r.FlipFlop })
	s.values(func(r *order.Register) bool { return r.FlipFlop })
	if slices.ContainsFunc(s.code.Registers, func(r *order.Register) bool { return !m.Known(r) }) {
		s.say("? nothing has set it since power-up: the value is made up")
	}
	s.say("%s, %s done, %s at %s", s.time(m.Now()), counted(m.Orders(), "order"), s.state(), s.addr(m.Place()))
	if t := m.LastTrap(); t != nil {
		s.say("last %s", s.trapText(t))
	} else {
		s.say("no trap so far")
	}
	return nil
}

// values prints the registers of one sort, a few a line.
func (s *Session) values(sort func(*order.Register) bool) {
	const columns = 80
	line := ""
	for _, r := range s.code.Registers {
		if !sort(r) {
			continue
		}
		cell := r.Name + " " + s.value(r, s.half.Machine.Value(r))
		if !s.half.Machine.Known(r) {
			cell += "?"
		}
		switch {
		case line == "":
			line = cell
		case len(line)+3+len(cell) > columns:
			s.say("%s", line)
			line = cell
		default:
			line += "   " + cell
		}
	}
	if line != "" {
		s.say("%s", line)
	}
}

// value writes what a register holds.
func (s *Session) value(r *order.Register, w memory.Word) string { return s.code.Show(r, w) }

// lamps shows the lamp rows, or has them shown while the machine runs.
func (s *Session) lamps(args []string) error {
	rows, err := s.rows()
	if err != nil {
		return err
	}
	switch {
	case len(args) == 0:
		for line := range strings.Lines(rows) {
			s.say("%s", strings.TrimRight(line, "\n"))
		}
		return nil
	case args[0] == "still":
		s.live = false
		return nil
	case args[0] != "live":
		return fmt.Errorf("%s", list.Unknown("way to show lamps", args[0], []string{"live", "still"}))
	case s.show == nil:
		return fmt.Errorf("lamps are shown live on a terminal alone; `lamps` shows them once")
	case s.code.Cycle == 0:
		return fmt.Errorf("the machine file states no clock, so nobody knows how fast the lamps would move")
	}
	s.live = true
	s.say("While the machine runs, the lamps are shown; Ctrl-C stops it.")
	return nil
}

// rows draws the lamp rows.
func (s *Session) rows() (string, error) {
	p := s.half.Picture()
	p.Lines = slices.DeleteFunc(p.Lines, func(l panel.Line) bool { return l.Register != nil })
	if len(p.Lines) == 0 {
		return "", fmt.Errorf("the machine file has no lamp rows: `panel` shows the registers")
	}
	return p.String(), nil
}

// frame is how much of the machine's time lies between two pictures of live lamps.
const frame = 20 * cpu.Millisecond

// showLive shows the lamps as they are now, where somebody wants to see them run.
func (s *Session) showLive() {
	if rows, err := s.rows(); err == nil {
		s.show(s.now(), rows)
	}
}
