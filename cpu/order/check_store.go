package order

import (
	"fmt"
	"go/token"
	"slices"
	"sort"
	"strconv"
	"strings"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// stores takes over the areas of store and the plug-ins that hold none, whose names are of one kind.
func (c *checker) stores() {
	where := map[string]token.Position{}
	for _, s := range every[*syntax.Store](c) {
		like, ok := c.storeLike(s)
		for _, a := range s.Areas {
			first, last, spans := c.span(a.First, a.Last, "area "+a.Name.Text)
			if !c.declare("plug-in", a.Name) || !ok || !spans {
				continue
			}
			area := like
			area.Name, area.First, area.Last = a.Name.Text, first, last
			where[area.Name] = a.Name.At
			c.code.Geometry.Areas = append(c.code.Geometry.Areas, area)
		}
	}
	c.apart(where)
	for _, p := range every[*syntax.PlugIn](c) {
		if c.declare("plug-in", p.Name) {
			c.code.PlugIns = append(c.code.PlugIns, PlugIn{Name: p.Name.Text, Text: p.Text})
		}
	}
}

// apart sorts the areas and complains of any two that hold one address.
func (c *checker) apart(where map[string]token.Position) {
	g := &c.code.Geometry
	sort.SliceStable(g.Areas, func(i, j int) bool { return g.Areas[i].First < g.Areas[j].First })
	for i := 1; i < len(g.Areas); i++ {
		a, b := g.Areas[i-1], g.Areas[i]
		if b.First <= a.Last {
			c.errorf(where[b.Name], "areas %s (line %d) and %s both hold address %s",
				a.Name, where[a.Name].Line, b.Name, g.Style.Addr(b.First, g.AddrBits))
		}
	}
	if len(c.errs) > 0 {
		return // what is wrong with the rest would only be said twice
	}
	if err := g.Check(); err != nil {
		at := token.Position{}
		for _, a := range g.Areas {
			if strings.HasPrefix(err.Error(), "store "+a.Name+":") {
				at = where[a.Name]
			}
		}
		c.errorf(at, "%v", err)
	}
}

// storeLike builds what all areas of one store line share.
func (c *checker) storeLike(s *syntax.Store) (memory.Area, bool) {
	before := len(c.errs)
	area := memory.Area{Width: c.code.Geometry.Width, Wired: s.Wired, Inverted: s.Inverted}
	if s.Bits.Text != "" {
		area.Width = c.width(s.Bits, "a store", c.code.Geometry.Width)
	}
	if area.Width < 1 {
		return area, false
	}
	column := map[string]int{}
	if c.code.units() > 1 && area.Width != c.code.Geometry.Width {
		c.errorf(s.Bits.At, "where addresses count units every store is as wide as the word, %s", count(c.code.Geometry.Width, "bit"))
	}
	for _, p := range append(slices.Clone(s.Parity), s.CheckBits...) {
		if _, twice := column[p.Name.Text]; twice {
			c.errorf(p.Name.At, "parity %s stands twice in one store", p.Name.Text)
			continue
		}
		if parity, ok := c.parity(p, area.Width); ok {
			column[p.Name.Text] = area.Width + len(area.Parity)
			area.Parity = append(area.Parity, parity)
			if _, known := c.declared["column "+parity.Name]; !known { // the columns of several stores may have one name
				c.declared["column "+parity.Name] = p.Name.At
				c.code.ParityColumns = append(c.code.ParityColumns, parity.Name)
			}
		}
	}
	if n := len(area.Parity); n > 16 {
		c.errorf(s.At, "this store has %d parity columns and check bits; 16 is the most", n)
	}
	if area.Corrects = s.Corrects; s.Corrects && len(c.errs) == before {
		c.corrects(s, &area)
	}
	for _, chips := range s.Chips {
		c.chips(&area, chips, column)
	}
	return area, len(c.errs) == before
}

// chips places one run of chips behind the columns it holds.
func (c *checker) chips(area *memory.Area, s syntax.Chips, column map[string]int) {
	names, ok := c.chipNames(s)
	if !ok {
		return
	}
	first, last := 0, 0
	if s.Parity.Text != "" {
		at, known := column[s.Parity.Text]
		if !known {
			c.unknown("parity", s.Parity, namesOf(area.Parity, func(p memory.Parity) string { return p.Name }))
			return
		}
		first, last = at, at
	} else if first, last, ok = c.run(s.Bits, area.Width); !ok {
		return
	}
	step := 1
	if last < first {
		step = -1
	}
	if n := (last-first)*step + 1; n != len(names) {
		c.errorf(s.First.At, "%s stand for %s: a chip holds one", count(len(names), "chip"), count(n, "bit"))
		return
	}
	for i, name := range names {
		c.chip(area, s.First.At, memory.Chip{Name: name, Column: first + i*step})
	}
}

// chip places one chip, unless its name or its column is taken.
func (c *checker) chip(area *memory.Area, at token.Position, chip memory.Chip) {
	for _, other := range area.Chips {
		if other.Name == chip.Name {
			c.errorf(at, "chip %s stands twice in one store", chip.Name)
			return
		}
		if other.Column == chip.Column {
			c.errorf(at, "chips %s and %s hold the same bit", other.Name, chip.Name)
			return
		}
	}
	area.Chips = append(area.Chips, chip)
}

// chipNames spells out U01-U18, or C1-C18.
func (c *checker) chipNames(s syntax.Chips) ([]string, bool) {
	first, last := s.First.Text, s.Last.Text
	if last == "" {
		return []string{first}, true
	}
	head := strings.TrimRight(first, "0123456789")
	digits := len(first) - len(head)
	from, err1 := strconv.Atoi(first[len(head):])
	to, err2 := strconv.Atoi(strings.TrimPrefix(last, head))
	chip := func(n int) string { return fmt.Sprintf("%s%0*d", head, digits, n) }
	if err1 != nil || err2 != nil || chip(to) != last || to < from || to-from > 128 {
		c.errorf(s.First.At, "%s-%s is no run of chips: write one such as U01-U18", first, last)
		return nil, false
	}
	var names []string
	for n := from; n <= to; n++ {
		names = append(names, chip(n))
	}
	return names, true
}

// count is a number and a noun: 1 chip, 18 bits.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
