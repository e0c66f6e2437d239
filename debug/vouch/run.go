package vouch

import (
	"cmp"
	"encoding/hex"
	"fmt"
	"strings"

	"coldstart/loader/list"
)

// seated states which recordings stood on which drives, and the digest of what they hold.
func (m maker) seated(label string) {
	sum := m.office.Image.Digest()
	m.Digest = hex.EncodeToString(sum[:])
	for _, t := range m.office.Tapes {
		m.Tapes = append(m.Tapes, Tape{Channel: t.Channel.Name, Label: cmp.Or(t.Label, label), SHA256: m.digest("tape " + t.Channel.Name), File: m.path("tape " + t.Channel.Name)})
	}
}

// digest is the digest of the input that is there for a part.
func (m maker) digest(part string) string { return m.input(part).SHA256 }

// path is where that input lies.
func (m maker) path(part string) string { return m.input(part).Path }

// input finds the input that is there for a part.
func (m maker) input(part string) Input {
	for _, in := range m.Inputs {
		if in.Part == part {
			return in
		}
	}
	return Input{Part: part}
}

// ran states how far the run came, and what stood around the machine.
func (m maker) ran() {
	o, r := m.office, m.report
	for _, s := range r.Milestones {
		m.Milestones = append(m.Milestones, fmt.Sprintf("%-12s  %s: %s", o.Time(s.At), s.Sentence, r.Shown(s)))
	}
	for _, s := range r.Missing {
		m.Missing = append(m.Missing, s.Sentence)
	}
	for _, s := range r.Sightings {
		said := fmt.Sprintf("%s: %s: %s", s.Chase.Name, s.Verdict, s.Text)
		if s.Cause != "" {
			said += "; " + s.Cause
		}
		m.Chases = append(m.Chases, said)
	}
	for _, l := range r.Lines {
		m.Printed = append(m.Printed, fmt.Sprintf("%-12s  %s  %s", o.Time(l.At), l.Channel, list.Safe(l.Text())))
	}
	for _, p := range r.Resumed {
		m.Resumed = append(m.Resumed, fmt.Sprintf("at %s, halted by the order at %s, %s: went on at %s", o.Time(p.At), m.addr(p.Halt), p.Text, m.addr(p.Place)))
	}
	m.devices()
	for _, reg := range o.Code.Registers {
		if reg.Keys {
			m.Keys = append(m.Keys, fmt.Sprintf("%s  %s", reg.Name, o.Code.Geometry.Style.Word(reg.Start, reg.Width)))
		}
	}
}

// devices states what stood at each channel. None of it was real.
func (m maker) devices() {
	for _, f := range m.office.Fittings() {
		said := fmt.Sprintf("%s  absent: nothing answers", f.Channel.Name)
		if f.Kind != "" {
			said = fmt.Sprintf("%s  %s, simulated", f.Channel.Name, f.Kind)
		}
		for _, t := range m.Tapes {
			if t.Channel == f.Channel.Name {
				said += fmt.Sprintf("; seated: %s, %s", t.File, t.reel())
			}
		}
		if f.Kind != "" && !m.tally.Channels[f.Channel.Code] {
			said += "; never asked for anything"
		}
		m.Devices = append(m.Devices, said)
	}
}

// reel names the reel by its label.
func (t Tape) reel() string {
	if strings.TrimSpace(t.Label) == "" {
		return "no label given"
	}
	return fmt.Sprintf("label %q", t.Label)
}
