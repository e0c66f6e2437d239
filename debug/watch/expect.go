package watch

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// milestone reads a record of a milestone.
func (r *reader) milestone(record list.Record) {
	m := &Milestone{Name: record.Words[1].Text}
	for _, other := range r.plan.Milestones {
		if other.Name == m.Name {
			r.errs.Add(record.Words[1].Pos, "a second milestone %s; give it another name", m.Name)
		}
	}
	s := list.NewSettings(&r.errs, record, 2)
	if m.Required = s.Peek().Text == "required"; m.Required {
		s.Next("")
	}
	m.kind = kind(max(0, s.Name(kindNames[:]...)))
	switch m.kind {
	case begins, writes:
		m.addr, _ = r.address(s)
	case prints:
		w, _ := s.Next("the text to be printed")
		m.text = w.Text
	case chases:
		m.chase = r.named(s, m.Name)
	case holds:
		r.hold(s, m)
	}
	if s.More() {
		w, _ := s.Next("")
		if m.Sentence = w.Text; !w.Quoted || s.More() {
			s.Wrong("%q does not belong here; a milestone ends with its sentence in quotes", w.Text)
		}
	}
	if !s.OK() {
		return
	}
	if m.Sentence == "" {
		m.Sentence = m.sentence(r.plan.Addr)
	}
	r.plan.Milestones = append(r.plan.Milestones, m)
}

// named reads the name of a chase; left out, the chase has the name of the milestone.
func (r *reader) named(s *list.Settings, name string) *Chase {
	if w := s.Peek(); s.More() && !w.Quoted {
		s.Next("")
		name = w.Text
	}
	var known []string
	for _, c := range r.plan.Chases {
		if c.Name == name {
			return c
		}
		known = append(known, c.Name)
	}
	if s.OK() {
		s.Wrong("%s", list.Unknown("chase", name, known))
	}
	return nil
}

// hold reads ranges of addresses, and for how long orders must come from them alone.
func (r *reader) hold(s *list.Settings, m *Milestone) {
	for s.OK() {
		w, ok := s.Next("a range of addresses, or for and a time,")
		if !ok {
			return
		}
		if w.Text == "for" {
			break
		}
		from, to, both := strings.Cut(w.Text, "-")
		if !both {
			to = from
		}
		first, err := r.parseAddress(from)
		last, err2 := r.parseAddress(to)
		switch {
		case err != nil:
			s.Wrong("%v", err)
		case err2 != nil:
			s.Wrong("%v", err2)
		case first > last:
			s.Wrong("the range %s ends before it begins", w.Text)
		}
		m.ranges = append(m.ranges, addressRange{first, last})
	}
	if s.OK() && len(m.ranges) == 0 {
		s.Wrong("no range of addresses before %q; write the first and the last, such as %s-%s", "for", r.plan.Addr(0), r.plan.Addr(0o77))
	}
	m.time = cpu.ReadTime(s)
}

// parseAddress is the address that a text in the machine's own style means.
func (r *reader) parseAddress(text string) (memory.Addr, error) {
	n, err := r.plan.geometry.Style.Parse(text)
	if err != nil {
		return 0, err
	}
	if memory.Word(n)&^memory.Mask(r.plan.geometry.AddrBits) != 0 {
		return 0, fmt.Errorf("%s is no address of the machine: they go up to %s", text, r.plan.Addr(memory.Addr(memory.Mask(r.plan.geometry.AddrBits))))
	}
	return memory.Addr(n), nil
}
