package order

import (
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// registers takes over registers, flip-flops and the order counter, in file order.
func (c *checker) registers() {
	for _, s := range every[*syntax.Registers](c) {
		width := 1
		if s.Keyword != "flip-flop" {
			width = c.decimal(s.Bits, "the width of a register", 1, 64)
		}
		for _, n := range s.Names {
			if n.Text == "here" {
				c.errorf(n.At, "here is the address of the order acting and cannot name a register")
				continue
			}
			if !c.declare("register", n) {
				continue
			}
			r := &Register{Name: n.Text, Number: len(c.code.Registers), Width: width, FlipFlop: s.Keyword == "flip-flop"}
			c.code.Registers = append(c.code.Registers, r)
			if s.Keyword == "counter" && c.code.Counter == nil {
				c.counter(s, r)
			}
		}
	}
}

// counter makes r the order counter.
func (c *checker) counter(s *syntax.Registers, r *Register) {
	c.code.Counter = r
	c.code.HoldsNext = s.Holds.Text == "next"
	if bits := c.code.Geometry.AddrBits; r.Width != bits && r.Width > 0 {
		c.errorf(s.Bits.At, "the order counter %s has %s, but an address has %s: they must be alike", r.Name, count(r.Width, "bit"), count(bits, "bit"))
	}
}

// channels takes over the channels, which share no name and no code.
func (c *checker) channels() {
	for _, s := range every[*syntax.Channel](c) {
		width := c.decimal(s.Bits, "the width of a channel", 1, 64)
		code, ok := c.value(s.Code, 32, "the code of a channel")
		if !c.declare("channel", s.Name) || !ok || width < 0 {
			continue
		}
		for _, other := range c.code.Channels {
			if other.Code == int(code) {
				c.errorf(s.Code.At, "channels %s and %s have the same code", other.Name, s.Name.Text)
			}
		}
		c.code.Channels = append(c.code.Channels, &Channel{Name: s.Name.Text, Code: int(code), Width: width})
	}
}

// A group is what every value of a field of one letter means: registers, or else words.
type group struct {
	word      string // group or choice
	line      int
	width     int
	registers []*Register // by value
	choices   []string    // by value
}

// names takes over groups, choices and modes.
func (c *checker) names() {
	for _, s := range every[*syntax.Group](c) {
		if g := c.newGroup("group", s.Field, s.Entries); g != nil {
			g.registers = make([]*Register, 1<<g.width)
			c.entries(g, s.Entries, func(v memory.Word, n syntax.Name) bool { return c.groupEntry(g, v, n) })
		}
	}
	for _, s := range every[*syntax.Choice](c) {
		if g := c.newGroup("choice", s.Field, s.Entries); g != nil {
			g.choices = make([]string, 1<<g.width)
			c.entries(g, s.Entries, func(v memory.Word, n syntax.Name) bool {
				twice := g.choices[v] != ""
				g.choices[v] = n.Text
				return !twice
			})
		}
	}
	for _, s := range every[*syntax.Mode](c) {
		if c.declare("mode", s.Name) {
			c.modes[s.Name.Text] = s
			c.modeList = append(c.modeList, s.Name.Text)
		}
	}
}

// newGroup declares the group or choice of a letter. Twelve bits keep the table of its values small.
func (c *checker) newGroup(word string, field syntax.Name, entries []syntax.Entry) *group {
	if !c.declare("group or choice", field) {
		return nil
	}
	g := &group{word: word, line: field.At.Line, width: len(entries[0].Value)}
	if g.width > 12 {
		c.errorf(entries[0].At, "%s %s has values of %d bits; 12 is the most", word, field.Text, g.width)
		return nil
	}
	c.groups[field.Text] = g
	return g
}

// entries takes over the values of a group; put gives false where the value was given before.
func (c *checker) entries(g *group, entries []syntax.Entry, put func(memory.Word, syntax.Name) bool) {
	named := map[string]bool{}
	for _, e := range entries {
		switch {
		case len(e.Value) != g.width:
			c.errorf(e.At, "%s has %s, but the first value of this %s has %s", e.Value, count(len(e.Value), "bit"), g.word, count(g.width, "bit"))
		case named[e.Name.Text]:
			c.errorf(e.Name.At, "%s is given for two values, so that order text could mean either", e.Name.Text)
		case !put(binary(e.Value), e.Name):
			c.errorf(e.At, "value %s is given twice", e.Value)
		}
		named[e.Name.Text] = true
	}
}

// groupEntry puts one register into a group; all of them must be of one width.
func (c *checker) groupEntry(g *group, v memory.Word, n syntax.Name) bool {
	r := c.code.Register(n.Text)
	if r == nil {
		c.unknown("register", n, c.registerNames())
		return true
	}
	for _, other := range g.registers {
		if other != nil && other.Width != r.Width {
			c.errorf(n.At, "%s has %s but %s has %s: the registers of a group must be alike", r.Name, count(r.Width, "bit"), other.Name, count(other.Width, "bit"))
			return true
		}
	}
	twice := g.registers[v] != nil
	g.registers[v] = r
	return !twice
}

// registerNames are the registers there are, for a hint.
func (c *checker) registerNames() []string {
	return namesOf(c.code.Registers, func(r *Register) string { return r.Name })
}

// binary reads binary digits.
func binary(digits string) memory.Word {
	var v memory.Word
	for _, d := range digits {
		v = v<<1 | memory.Word(d-'0')
	}
	return v
}

// traps takes over names and texts; what traps do is read later, since it may name other traps and timers.
func (c *checker) traps() {
	for _, s := range every[*syntax.Trap](c) {
		if c.declare("trap", s.Name) {
			c.code.Traps = append(c.code.Traps, &Trap{Name: s.Name.Text, Number: len(c.code.Traps), Text: s.Text, Page: s.Page})
		}
	}
}

// timers takes over the timers.
func (c *checker) timers() {
	for _, s := range every[*syntax.Timer](c) {
		if c.code.Cycle == 0 {
			c.errorf(s.At, "timer %s needs time, and the file has no clock line, such as `clock 2.5 us`", s.Name.Text)
		}
		period := c.duration(s.Time)
		trap := c.trap(s.Trap)
		if c.declare("timer", s.Name) && trap != nil {
			c.code.Timers = append(c.code.Timers, &Timer{Name: s.Name.Text, Number: len(c.code.Timers), Period: period, Trap: trap})
		}
	}
}

// trap finds a trap or complains and gives nil.
func (c *checker) trap(n syntax.Name) *Trap {
	t := c.code.Trap(n.Text)
	if t == nil {
		c.unknown("trap", n, namesOf(c.code.Traps, func(t *Trap) string { return t.Name }))
	}
	return t
}

// bodies reads what start-up and the traps do. There are no fields in either.
func (c *checker) bodies() {
	for _, s := range every[*syntax.Boot](c) {
		scope := &scope{checker: c}
		c.code.Boot = scope.block(s.Does)
		c.code.BootLocals = scope.count
	}
	for _, s := range every[*syntax.Trap](c) {
		t := c.code.Trap(s.Name.Text)
		if t.Does != nil || t.When != nil {
			continue // declared twice, and complained of
		}
		scope := &scope{checker: c}
		if s.When != nil {
			t.When = scope.condition(s.When)
		}
		t.Does = scope.block(s.Does)
		t.Locals = scope.count
	}
}
