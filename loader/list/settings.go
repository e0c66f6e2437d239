package list

import "strings"

// Settings reads the words of a record one after the other, for records that are names each followed by its value. The
// first thing wrong is noted and ends the reading, because what follows it is guesswork; from then on nothing is given.
type Settings struct {
	errs *Errors
	last Word
	rest []Word
	bad  bool
}

// NewSettings reads the words of r from the given one on, counted from 0; the one before it has been read. It notes what
// is wrong in errs.
func NewSettings(errs *Errors, r Record, from int) *Settings {
	return &Settings{errs: errs, last: r.Words[from-1], rest: r.Words[from:]}
}

// OK says whether all up to here was right.
func (s *Settings) OK() bool { return !s.bad }

// More says whether there is a word left to read, and all up to here was right.
func (s *Settings) More() bool { return s.OK() && len(s.rest) > 0 }

// Peek gives the word that Next will give; the zero Word where there is none.
func (s *Settings) Peek() Word {
	if !s.More() {
		return Word{}
	}
	return s.rest[0]
}

// Next gives the next word. Where there is none that is noted, with what was wanted: a phrase such as "a number".
func (s *Settings) Next(wanted string) (w Word, ok bool) {
	if s.OK() && len(s.rest) == 0 {
		s.Wrong("the record ends after %q; %s belongs there", s.last.Text, wanted)
	}
	if s.bad {
		return Word{}, false
	}
	s.last, s.rest = s.rest[0], s.rest[1:]
	return s.last, true
}

// Wrong notes that the word read last is wrong.
func (s *Settings) Wrong(format string, args ...any) {
	if !s.bad {
		s.errs.Add(s.last.Pos, format, args...)
	}
	s.bad = true
}

// Name reads one of the names known and gives its index; -1 has been noted.
func (s *Settings) Name(known ...string) int {
	wanted := "one of " + strings.Join(known, ", ")
	if len(known) == 1 {
		wanted = known[0]
	}
	w, ok := s.Next(wanted)
	if !ok {
		return -1
	}
	i := w.OneOf(s.errs, "setting", known...)
	s.bad = i < 0
	return i
}

// Count reads a count from low to high, in decimal; 0 has been noted, or was read where low is 0.
func (s *Settings) Count(what string, low, high int) int {
	w, ok := s.Next(what)
	if !ok {
		return 0
	}
	n, ok := w.Number(s.errs, what, low, high)
	s.bad = !ok
	return n
}
