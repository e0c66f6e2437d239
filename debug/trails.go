package debug

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// mostInFile is how many orders a file of a trail holds at most, and usuallyInFile how many where nothing is said.
const (
	usuallyInFile = 1000
	mostInFile    = 1_000_000
)

// trailFile writes the last orders done into a file: as lines of JSON, or as signals for a waveform viewer. The machine does
// them again for that, and is then as it was.
func (s *Session) trailFile(args []string) error {
	form, args := args[0], args[1:]
	if len(args) == 0 {
		return fmt.Errorf("into which file? write `trail %s FILE`", form)
	}
	file, rest := args[0], args[1:]
	n := int64(usuallyInFile)
	if len(rest) > 0 {
		if m, err := count(rest[0]); err == nil {
			n, rest = m, rest[1:]
		}
	}
	if n > mostInFile {
		return fmt.Errorf("%d orders are too many for a file: at most %d", n, mostInFile)
	}
	n = min(n, s.half.Machine.Orders())
	var data []byte
	var err error
	if form == "json" {
		data, err = s.jsonOf(n)
	} else {
		data, err = s.signalsOf(n, rest)
	}
	if err != nil {
		return err
	}
	if err := s.save(file, data); err != nil {
		return err
	}
	s.say("%s in %s", counted(n, "order"), file)
	return nil
}

// over lets the last n orders be done again, each shown to f.
func (s *Session) over(n int64, f func(*cpu.Step)) error {
	now := s.moment()
	err := s.find(s.half.Machine.Orders() - n)
	if err == nil {
		s.eye.shows = f
		err = s.forward(now.acts, func() int64 { return now.at - s.position() })
		s.eye.shows = nil
	}
	return first(err, s.restore(now))
}

// An orderLine is an order done, as a line of JSON.
type orderLine struct {
	Order   int64    `json:"order"`
	AtPS    int64    `json:"at_ps"`
	DonePS  int64    `json:"done_ps"`
	Place   string   `json:"place"`
	Text    string   `json:"text"`
	Changed []string `json:"changed"`
}

// jsonOf is the last n orders as lines of JSON, one object a line (jsonlines.org).
func (s *Session) jsonOf(n int64) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	err := s.over(n, func(step *cpu.Step) {
		text := "-"
		if len(step.Words) > 0 {
			text, _ = s.code.Recite(step.Place, step.Words)
		}
		enc.Encode(orderLine{step.Number, int64(step.At), int64(step.Done), s.addr(step.Place), text, append([]string{}, s.changes(step)...)})
	})
	return out.Bytes(), err
}

// A probe is a signal of a trail, and how it is read.
type probe struct {
	trail.Signal
	read func() (memory.Word, bool)
}

// signalsOf is the last n orders as signals: those named, or every register, each lamp row, and who is on-line.
func (s *Session) signalsOf(n int64, named []string) ([]byte, error) {
	wires := slices.Contains(named, "wires")
	named = slices.DeleteFunc(named, func(a string) bool { return a == "wires" })
	probes, err := s.probes(named)
	if err != nil {
		return nil, err
	}
	var signals []trail.Signal
	for _, p := range probes {
		signals = append(signals, p.Signal)
	}
	v := trail.NewVCD(signals, wires)
	err = s.over(n, func(step *cpu.Step) {
		for i, p := range probes {
			w, known := p.read()
			v.Read(step.Done, i, w, known)
		}
	})
	return v.Bytes(), err
}

// probes are the signals of some names: registers and flip-flops, addresses of store, and on-line.
func (s *Session) probes(named []string) ([]probe, error) {
	var all []probe
	if len(named) == 0 {
		for _, r := range s.code.Registers {
			all = append(all, s.registerProbe(r))
		}
		for _, row := range s.half.Panel.Rows() {
			all = append(all, s.storeProbe(row.Addr))
		}
		return append(all, s.lineProbes()...), nil
	}
	for _, name := range named {
		if name == "on-line" {
			all = append(all, s.lineProbes()...)
			continue
		}
		if r := s.code.Register(name); r != nil {
			all = append(all, s.registerProbe(r))
			continue
		}
		a, err := s.place(name)
		if err != nil {
			return nil, s.orRegister(name, err)
		}
		all = append(all, s.storeProbe(a))
	}
	return all, nil
}

// registerProbe reads a register.
func (s *Session) registerProbe(r *order.Register) probe {
	m := s.half.Machine
	return probe{trail.Signal{Name: r.Name, Width: r.Width}, func() (memory.Word, bool) { return m.Value(r), m.Known(r) }}
}

// storeProbe reads a word of store as it is seen.
func (s *Session) storeProbe(a memory.Addr) probe {
	h := s.half
	return probe{trail.Signal{Name: "store " + s.addr(a), Width: s.width(a)}, func() (memory.Word, bool) { return h.Word(a) }}
}

// lineProbes read which halves of a pair are on-line.
func (s *Session) lineProbes() []probe {
	if s.pair == nil {
		return nil
	}
	var all []probe
	for n := range 2 {
		all = append(all, probe{trail.Signal{Name: fmt.Sprintf("on_line_%c", 'A'+n), Width: 1}, func() (memory.Word, bool) {
			if s.pair.OnLine(n) {
				return 1, true
			}
			return 0, true
		}})
	}
	return all
}
