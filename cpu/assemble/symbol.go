package assemble

import (
	"slices"
	"strings"

	"coldstart/memory"
)

// A symbol is a label or a constant.
type symbol struct {
	name     string
	defined  cursor      // at its name
	constant bool        // else a label
	at       memory.Addr // the place of the label; what `here` means in the constant
	state    state
	count    count
}

// A state says how far a constant has been worked out.
type state uint8

const (
	unread state = iota
	reading
	read
	failed // and told
)

// define notes a name for the item that k has just taken.
func (a *assembler) define(k cursor, it item, constant bool) {
	k.next--
	if what, taken := a.taken[it.text]; taken {
		k.wrong(it, "%s is %s, so no label or constant can be called that", it.text, what)
		return
	}
	if first := a.symbols[it.text]; first != nil {
		k.wrong(it, "%s stands here a second time; it stands already in %s", it.text, first.defined.line.seenFrom(k.line.source))
		return
	}
	if !constant && strings.ToLower(it.text) != it.text {
		k.wrong(it, "a label has small letters only: %s", strings.ToLower(it.text))
		return
	}
	s := &symbol{name: it.text, defined: k, constant: constant, at: a.place.at}
	if !constant {
		if !a.place.known {
			a.needPlace(k, it)
			s.state = failed
		} else {
			s.state, s.count = read, count{size: uint64(s.at), labels: 1}
			a.fresh = append(a.fresh, s)
		}
	}
	a.symbols[it.text] = s
}

// lookUp gives what a name stands for.
func (k *cursor) lookUp(it item) (count, bool) {
	s := k.symbols[it.text]
	if s == nil {
		k.unknown(it)
		return count{}, false
	}
	switch s.state {
	case unread:
		s.work()
	case reading:
		k.wrong(it, "the constant %s hangs on itself", it.text)
		return count{}, false
	}
	return s.count, s.state == read
}

// work finds the value of a constant.
func (s *symbol) work() {
	s.state = reading
	k := s.defined
	k.next += 2 // behind the name and the =
	n, ok := k.added(s.at)
	s.count, s.state = n, failed
	if ok && k.finish() {
		s.state = read
	}
}

// checkConstants works out every constant, used or not, so that each error is told.
func (a *assembler) checkConstants() {
	for _, name := range a.names() {
		if s := a.symbols[name]; s.state == unread {
			s.work()
		}
	}
}

// names gives all labels and constants, sorted.
func (a *assembler) names() []string {
	names := make([]string, 0, len(a.symbols))
	for name := range a.symbols {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// unknown complains of a name that stands for no value.
func (k *cursor) unknown(it item) {
	if what, taken := k.taken[it.text]; taken {
		k.wrong(it, "%s is %s, where a number, a label or a constant is wanted", it.text, what)
		return
	}
	for i := range it.text {
		if it.text[i] == '-' && k.symbols[it.text[:i]] != nil {
			k.wrong(it, "there is no label or constant %s; a minus has blanks round it: %s - %s",
				it.text, it.text[:i], it.text[i+1:])
			return
		}
	}
	above := ""
	if k.walking {
		above = " above this line, where a place hangs on it"
	}
	k.wrong(it, "there is no label or constant %s%s%s", it.text, above, k.nearest(it.text, k.names))
}
