package plant

import (
	"slices"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// Form is the list record that describes a port onto the exchange: see the manual.
var Form = list.Form{Shape: "device CHANNEL pulser|scanner|receivers|tones|trunks ...", Min: 2, Max: -1}

// A Fitting is a port that a list describes, and the channel it stands at.
type Fitting struct {
	Channel list.Word
	Port    *Port
}

// Parse makes the ports that records of Form describe, all onto one plant, which nobody uses yet. What is wrong is noted in
// errs. None of the records: no ports.
func Parse(errs *list.Errors, records []list.Record, g *memory.Geometry) []Fitting {
	spec := Spec{Frames: 1, Concentrators: 30, Pulse: 3 * cpu.Millisecond}
	var all []Fitting
	for _, r := range records {
		args := r.Args()
		k := Kind(max(0, args[1].OneOf(errs, "kind of device", Kinds...)))
		s := &settings{list.NewSettings(errs, r, 3), g}
		switch k {
		case Pulser:
			s.pulser(&spec)
		case Receivers:
			s.group(&spec.Receivers, &spec.ReceiverAt)
		case Trunks:
			s.group(&spec.Trunks, &spec.TrunksAt)
		default:
			s.end()
		}
		if slices.ContainsFunc(all, func(f Fitting) bool { return f.Port.kind == k }) {
			errs.Add(r.Pos, "there is a device of the kind %s already; an exchange has one of each", Kinds[k])
		}
		all = append(all, Fitting{args[0], &Port{kind: k}})
	}
	if len(all) == 0 {
		return nil
	}
	if errs.Err() == nil {
		spec.check(errs, records[0])
	}
	if errs.Err() != nil {
		return nil
	}
	p := New(spec, nil)
	for _, f := range all {
		f.Port.plant = p
	}
	return all
}

// settings are the words of a record that are left to read.
type settings struct {
	*list.Settings
	geometry *memory.Geometry
}

// end wants nothing more.
func (s *settings) end() {
	if s.More() {
		s.Next("")
		s.Wrong("nothing belongs here: this kind of device has no settings")
	}
}

// pulser reads the settings of the pulser, and of the network behind it.
func (s *settings) pulser(spec *Spec) {
	for s.More() {
		switch s.Name("frames", "concentrators", "pulse", "lines", "map") {
		case 0:
			spec.Frames = s.Count("how many frames the network has", 1, 16)
		case 1:
			spec.Concentrators = s.Count("how many concentrators a frame has", 1, 32)
		case 2:
			spec.Pulse = cpu.ReadTime(s.Settings)
		case 3:
			spec.Lines = s.Count("how many lines there are", 1, 8192)
		case 4:
			spec.Map = s.address()
		}
	}
}

// group reads how many there are of something, and the terminal of the first.
func (s *settings) group(count, at *int) {
	*count = s.Count("how many there are", 1, 8192)
	if s.More() && s.Name("at") == 0 {
		*at = s.Count("the terminal of the first", 0, 8191)
	}
}

// address reads an address of store.
func (s *settings) address() *memory.Addr {
	w, ok := s.Next("an address of store")
	if !ok {
		return nil
	}
	n, err := s.geometry.Style.Parse(w.Text)
	a := memory.Addr(n)
	switch {
	case err != nil:
		s.Wrong("%v; an address of store belongs here", err)
	case s.geometry.Area(a) == nil:
		s.Wrong("there is no store at %s", w.Text)
	}
	return &a
}

// check refuses terminals that are not there, or are meant for two things.
func (s *Spec) check(errs *list.Errors, r list.Record) {
	groups := []struct {
		name     string
		at, many int
	}{{"lines", 0, s.Lines}, {"trunks", s.TrunksAt, s.Trunks}, {"receivers", s.ReceiverAt, s.Receivers}}
	for i, g := range groups {
		if g.at+g.many > s.Terminals() {
			errs.Add(r.Pos, "the %s stand at terminals %d-%d, and the network has %d terminals: %d frames of %d concentrators of %d",
				g.name, g.at, g.at+g.many-1, s.Terminals(), s.Frames, s.Concentrators, TerminalsEach)
		}
		for _, o := range groups[:i] {
			if g.many > 0 && o.many > 0 && g.at < o.at+o.many && o.at < g.at+g.many {
				errs.Add(r.Pos, "%s and %s are both said to stand at terminal %d; give each their own", o.name, g.name, max(g.at, o.at))
			}
		}
	}
	if s.Terminals() > 8192 {
		errs.Add(r.Pos, "%d frames of %d concentrators have %d terminals; a word to the pulser can name 8192", s.Frames, s.Concentrators, s.Terminals())
	}
}
