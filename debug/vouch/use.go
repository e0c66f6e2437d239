package vouch

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/order"
)

// A Use is what the run used of the machine file. What it did not use, it did not try.
type Use struct {
	Kinds     int      `json:"order_kinds"` // of order in the machine file
	Used      int      `json:"order_kinds_used"`
	Never     []string `json:"order_kinds_never_used"`
	Undefined int64    `json:"undefined_orders_met"` // words taken as orders that no order of the handbook reads
	Doubts    int      `json:"doubt_marks"`          // in the machine file
	Met       []string `json:"doubt_marks_met"`
	Unknown   []string `json:"unknown_bits_met"` // orders used on some bits of which the handbook is silent
	Branches  int      `json:"branches_run"`
	Onward    []string `json:"branches_only_onward"` // places where a branch never went away
	Away      []string `json:"branches_only_away"`   // places where a branch always did
}

// used states what the run used of the machine file.
func (m maker) used() {
	u, c := &m.Sheet.Use, m.office.Code
	u.Kinds, u.Undefined, u.Doubts = len(c.Orders), m.tally.Undefined, len(c.Doubts)
	for _, o := range c.Orders {
		if m.tally.Orders[o.Number] == 0 {
			u.Never = append(u.Never, o.Name)
			continue
		}
		u.Used++
		if slices.ContainsFunc(o.Patterns, func(p order.Pattern) bool { return p.Unknown != 0 }) {
			u.Unknown = append(u.Unknown, fmt.Sprintf("order %s, line %d%s", o.Name, o.Line, page(o.Page)))
		}
	}
	for _, d := range c.Doubts {
		if m.met(d) {
			u.Met = append(u.Met, fmt.Sprintf("line %d: %s%s", d.Line, d.What, page(d.Page)))
		}
	}
	branches := m.report.Record.Branches()
	u.Branches = len(branches)
	for _, b := range branches {
		switch place := c.Geometry.Style.Addr(b.Place, c.PlaceBits()); {
		case b.Away == 0:
			u.Onward = append(u.Onward, place)
		case b.Onward == 0:
			u.Away = append(u.Away, place)
		}
	}
}

// page adds the page of the handbook, where one is known.
func page(p string) string {
	if p == "" {
		return ""
	}
	return ", page " + p
}

// met tells whether the run came by something that the typist was not sure of. Only what the run can be seen to have left
// alone is not met: a doubt about the word, a store or a group of registers is there all the time.
func (m maker) met(d order.Doubt) bool {
	c := m.office.Code
	what, _, _ := strings.Cut(d.What, ", ")
	kind, name, _ := strings.Cut(what, " ")
	switch kind {
	case "order":
		return slices.ContainsFunc(m.ordersAt(d.Line), func(o *order.Order) bool { return m.tally.Orders[o.Number] > 0 })
	case "undefined":
		return m.tally.Undefined > 0
	case "trap":
		return slices.ContainsFunc(c.Traps, func(t *order.Trap) bool { return t.Name == name && m.tally.Traps[t.Number] > 0 })
	case "register", "flip-flop":
		// One line may name several, and each of them has the mark of the line.
		return slices.ContainsFunc(c.Registers, func(r *order.Register) bool { return r.Doubt && m.tally.Registers[r.Number] })
	case "channel":
		return slices.ContainsFunc(c.Channels, func(ch *order.Channel) bool { return ch.Name == name && m.tally.Channels[ch.Code] })
	case "plug-in":
		return false // it names a part for people, and nothing runs by it
	}
	return true
}

// ordersAt are the orders whose lines a line of the machine file belongs to: those that begin last before it. One statement
// may make several.
func (m maker) ordersAt(line int) []*order.Order {
	begin := 0
	for _, o := range m.office.Code.Orders {
		if o.Line <= line {
			begin = max(begin, o.Line)
		}
	}
	return slices.DeleteFunc(slices.Clone(m.office.Code.Orders), func(o *order.Order) bool { return o.Line != begin })
}
