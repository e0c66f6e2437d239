package proof

import (
	"fmt"
	"slices"

	"coldstart/cpu/order"
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// unreachable notes lines that nothing can reach: whatever the program, they are never used. Often that is a page not yet
// typed, or a name typed differently in two places.
func (p *prover) unreachable() {
	p.hiddenOrders()
	for _, s := range p.standing {
		switch s := s.(type) {
		case *syntax.Group:
			p.entries("group", s.Field, s.Entries)
		case *syntax.Choice:
			p.entries("choice", s.Field, s.Entries)
		case *syntax.Mode:
			if !p.modeUsed(s.Name.Text) {
				p.find(Unreachable, s.At.Line, fmt.Sprintf("no order names mode %s", s.Name.Text))
			}
		}
	}
	u := p.uses()
	p.traps(u)
	for i, t := range p.code.Timers {
		if !u.timers[i] {
			p.lost("timer", t.Name, fmt.Sprintf("nothing ever starts timer %s: no `restart %s` in an order or in boot", t.Name, t.Name))
		}
	}
	for i, r := range p.code.Registers {
		if !u.registers[i] && r != p.code.Counter {
			p.lost("register", r.Name, fmt.Sprintf("nothing reads or sets %s", r.Name))
		}
	}
}

// hiddenOrders notes orders that yield all their words to others, and parts of orders that no word can reach.
func (p *prover) hiddenOrders() {
	for _, o := range p.code.Orders {
		looks := 1 << 12
		first := readers(o.Except)
		hidden := len(first) > 0
		for _, s := range spaces(o) {
			if _, ok := outside(s, first, &looks); ok || looks < 0 {
				hidden = false
			}
		}
		if hidden {
			p.find(Unreachable, o.Line, fmt.Sprintf("order %s yields every word to the orders it names under except", o.Name))
		}
		p.parts(o, o.Does)
	}
}

// entries notes the values of a group or choice that no word can have. A letter that no order draws is told of once.
func (p *prover) entries(word string, field syntax.Name, entries []syntax.Entry) {
	drawn := false
	for _, o := range p.code.Orders {
		drawn = drawn || slices.ContainsFunc(o.Fields, func(f *order.Field) bool { return f.Name == field.Text })
	}
	if !drawn {
		p.find(Unreachable, field.At.Line, fmt.Sprintf("no pattern draws the letter of %s %s", word, field.Text))
		return
	}
	for _, e := range entries {
		if v := binary(e.Value); !p.valueRead(field.Text, v) {
			p.find(Unreachable, e.At.Line, fmt.Sprintf("no word that an order reads has %s in field %s, so %s is never meant", e.Value, field.Text, e.Name.Text))
		}
	}
}

// valueRead tells whether some word has a value in a field of some order that does not yield it.
func (p *prover) valueRead(field string, v memory.Word) bool {
	for _, o := range p.code.Orders {
		for _, f := range o.Fields {
			if f.Name != field {
				continue
			}
			for _, s := range spaces(o) {
				looks := 1 << 12
				at := s.with(f, v)
				if _, ok := outside(at, readers(o.Except), &looks); at.meets(s) && (ok || looks < 0) {
					return true
				}
			}
		}
	}
	return false
}

// binary reads binary digits.
func binary(digits string) memory.Word {
	var v memory.Word
	for _, d := range digits {
		v = v<<1 | memory.Word(d-'0')
	}
	return v
}

// modeUsed tells whether an order names a mode.
func (p *prover) modeUsed(name string) bool {
	for _, s := range p.standing {
		if o, ok := s.(*syntax.Order); ok && slices.ContainsFunc(o.Modes, func(n syntax.Name) bool { return n.Text == name }) {
			return true
		}
	}
	return false
}

// lost notes that nothing reaches what a name declares.
func (p *prover) lost(kind, name, text string) {
	for _, s := range p.standing {
		switch s := s.(type) {
		case *syntax.Registers:
			for _, n := range s.Names {
				if kind == "register" && n.Text == name {
					p.find(Unreachable, n.At.Line, text)
				}
			}
		case *syntax.Trap:
			if kind == "trap" && s.Name.Text == name {
				p.find(Unreachable, s.At.Line, text)
			}
		case *syntax.Timer:
			if kind == "timer" && s.Name.Text == name {
				p.find(Unreachable, s.At.Line, text)
			}
		}
	}
}

// traps notes the traps that nothing springs.
func (p *prover) traps(u *uses) {
	for i, t := range p.code.Traps {
		why, sprung := p.springs(t.Name)
		if !u.traps[i] && !sprung {
			p.lost("trap", t.Name, fmt.Sprintf("nothing springs trap %s: %s", t.Name, why))
		}
	}
}

// springs tells whether the machine itself can spring a trap of a name, and if not, why.
func (p *prover) springs(name string) (why string, ok bool) {
	areas := p.code.Geometry.Areas
	switch name {
	case "parity":
		return "no store has parity", slices.ContainsFunc(areas, func(a memory.Area) bool { return len(a.Parity) > 0 })
	case "protected":
		return "no store is wired, and none is protected",
			len(p.code.Protects) > 0 || slices.ContainsFunc(areas, func(a memory.Area) bool { return a.Wired })
	case "corrected":
		return "no store corrects", slices.ContainsFunc(areas, func(a memory.Area) bool { return a.Corrects })
	case "undefined":
		return "every word is read", len(p.report.Holes) > 0 || slices.ContainsFunc(p.code.Orders, func(o *order.Order) bool { return o.Length() > 1 })
	case "no-reply", "again":
		return "", true
	}
	return "no order, timer or interrupt names it", false
}
