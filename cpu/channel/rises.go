package channel

import (
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A rises counts how often signs of one device have come up. Racks whose halves reach the same device share it, so that what one
// half does to the device hides nothing from the other. The zero rises counts nothing until it is asked.
type rises struct {
	signs []rise
	at    cpu.Time // counted until here
}

// A rise is one sign, as the device has it.
type rise struct {
	sign  int
	up    bool
	count memory.Word
}

// catch counts what came up by itself until now.
func (r *rises) catch(d Device, now cpu.Time) {
	if len(r.signs) == 0 {
		return
	}
	for t := d.Next(r.at); t <= now && t != cpu.Never; t = d.Next(t) {
		r.look(d, t)
	}
	r.at = max(r.at, now)
}

// look looks at every sign at a time.
func (r *rises) look(d Device, at cpu.Time) {
	for i := range r.signs {
		s := &r.signs[i]
		up := d.Do(cpu.Action{Verb: cpu.Sign, Sign: s.sign}, at).Word == 1
		if up && !s.up {
			s.count++
		}
		s.up = up
	}
}

// of is one sign at a time up to which everything is counted. One that was never asked for begins as one that was down: it
// was when power came up.
func (r *rises) of(d Device, sign int, now cpu.Time) rise {
	for i := range r.signs {
		if r.signs[i].sign == sign {
			return r.signs[i]
		}
	}
	r.signs = append(r.signs, rise{sign: sign})
	r.at = max(r.at, now)
	r.look(d, now)
	return r.signs[len(r.signs)-1]
}

// clone is one that goes on from the same state.
func (r *rises) clone() *rises { return &rises{slices.Clone(r.signs), r.at} }

// A request is what came of a sign's rises at the end of a half's own line: less where the line fails.
type request struct {
	sign       int
	seen, told memory.Word // rises of the device, and those that came through
	level      memory.Word // of the line when it was last looked at, where it fails
}

// requests tells how often a sign has come up at the end of the line of this slot.
func (s *slot) requests(sign int, now cpu.Time) memory.Word {
	is := s.rises.of(s.device, sign, now)
	i := slices.IndexFunc(s.told, func(q request) bool { return q.sign == sign })
	if i < 0 {
		i = len(s.told)
		s.told = append(s.told, request{sign: sign})
	}
	q := &s.told[i]
	fresh := is.count - q.seen
	q.seen = is.count
	if len(s.faults.lines) == 0 {
		q.level = truth(is.up)
		q.told += fresh
		return q.told
	}
	before := q.level
	q.level = s.faults.sign(sign, truth(is.up || fresh > 0))
	if q.level == 1 && (before == 0 || fresh > 0) {
		q.told++
	}
	return q.told
}

// truth is 1 for what is so.
func truth(is bool) memory.Word {
	if is {
		return 1
	}
	return 0
}
