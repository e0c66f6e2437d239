package order

import (
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

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

// binary reads binary digits.
func binary(digits string) memory.Word {
	var v memory.Word
	for _, d := range digits {
		v = v<<1 | memory.Word(d-'0')
	}
	return v
}
