package watch

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Milestone is something an office expects of a run.
type Milestone struct {
	Name     string
	Required bool   // GOOD needs it
	Sentence string // what reaching it means, in the words of the list or of this package

	kind   kind
	addr   memory.Addr    // for begins and writes
	text   string         // for prints
	chase  *Chase         // for chases
	ranges []addressRange // for holds
	time   cpu.Time       // for holds
}

// A kind is what reaches a milestone.
type kind uint8

const (
	begins kind = iota // an order at an address begins
	writes             // an order writes an address
	prints             // a printed line holds a text
	chases             // a chase is seen
	holds              // orders come from some ranges alone for a time
)

var kindNames = [...]string{begins: "at", writes: "writes", prints: "prints", chases: "chase", holds: "holds"}

// An addressRange is addresses, both ends included.
type addressRange struct{ first, last memory.Addr }

// holds is whether an address lies in one of the ranges.
func (m *Milestone) inside(a memory.Addr) bool {
	for _, r := range m.ranges {
		if r.first <= a && a <= r.last {
			return true
		}
	}
	return false
}

// sentence words a milestone that the list gives no sentence for.
func (m *Milestone) sentence(addr func(memory.Addr) string) string {
	switch m.kind {
	case begins:
		return "order at " + addr(m.addr) + " begun"
	case writes:
		return addr(m.addr) + " written"
	case prints:
		return fmt.Sprintf("line printed with %q", m.text)
	case chases:
		return "chase " + m.chase.Name + " seen"
	}
	var all []string
	for _, r := range m.ranges {
		all = append(all, addr(r.first)+"-"+addr(r.last))
	}
	return fmt.Sprintf("held %v within %s", m.time, strings.Join(all, ", "))
}

// Awaits is whether the milestone is that the chase is seen.
func (m *Milestone) Awaits(c *Chase) bool { return m.kind == chases && m.chase == c }

// Prints is whether the milestone is a line printed.
func (m *Milestone) Prints() bool { return m.kind == prints }

// A Reached is a milestone reached, and what shows it.
type Reached struct {
	*Milestone
	At       cpu.Time
	Number   int64 // of the order that reached it, since power-up
	Evidence Evidence
}
