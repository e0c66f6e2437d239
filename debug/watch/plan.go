package watch

import (
	"go/token"
	"strconv"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/cpu/panel"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A Plan is what an office expects of a run: its chases and its milestones, in the order of the list. It never changes and
// may be shared.
type Plan struct {
	Chases     []*Chase
	Milestones []*Milestone
	geometry   memory.Geometry
}

// Addr writes an address as the machine's handbook does.
func (p *Plan) Addr(a memory.Addr) string { return p.geometry.Style.Addr(a, p.geometry.AddrBits) }

// Names are those of the milestones, in the order of the list; a nil Plan has none.
func (p *Plan) Names() []string {
	if p == nil {
		return nil
	}
	var all []string
	for _, m := range p.Milestones {
		all = append(all, m.Name)
	}
	return all
}

// Forms are the records of a chase list. Addresses are in the machine's own style, places by the bit numbers of its
// handbook.
//
//	chase     walk row 000760 places 0-15 width 1 lit way left dwell 48 ms tolerance 2 ms laps 3
//	chase     alarm lamps 000761.0 000761.4 000762.0 dark way there-and-back dwell 100 ms
//	milestone starter required at 077400 "wired starter entered"
//	milestone stage   required writes 001777 "second stage in store"
//	milestone line    prints "WENDLE FERRY"
//	milestone chase   required chase walk "CHASE SEEN"
//	milestone idle    required holds 004000-004077 004200-004377 for 1 s "idle loop held"
//
// Left out, the places of a row are all its lamps, the width is 1, the lamps that move are lit, the way is left, the
// tolerance is a twentieth of the dwell, and the laps are 3. Named lamps are given rightmost first. With ring, lamps that
// leave one end come in at the other. The sentence of a milestone may be left out.
var Forms = []list.Form{
	{Shape: "chase NAME row ADDRESS ... dwell TIME", Min: 4, Max: -1},
	{Shape: `milestone NAME [required] at|writes|prints|chase|holds ... ["sentence"]`, Min: 2, Max: -1},
}

// Read reads a chase list, named file in messages, for a machine of the code. The error is a go/scanner.ErrorList.
func Read(file string, src []byte, code *order.Code) (*Plan, error) {
	records, err := list.Read(file, src)
	if err != nil {
		return nil, err
	}
	r := reader{panel: panel.New(code), plan: Plan{geometry: code.Geometry}}
	if len(records) == 0 { // a run that is told to wait for nothing would wait for long
		r.errs.Add(token.Position{Filename: file, Line: 1, Column: 1}, "no chase and no milestone is listed; add one, or take this file out of office.list")
	}
	records = list.Check(&r.errs, file, records, Forms)
	for _, record := range records { // chases first: milestones name them
		if record.Name() == "chase" {
			r.chase(record)
		}
	}
	for _, record := range records {
		if record.Name() == "milestone" {
			r.milestone(record)
		}
	}
	if err := r.errs.Err(); err != nil {
		return nil, err
	}
	return &r.plan, nil
}

// A reader makes a Plan of the records of a list.
type reader struct {
	errs  list.Errors
	panel *panel.Panel
	plan  Plan
}

// The settings of a chase.
var chaseSettings = []string{"row", "lamps", "places", "width", "lit", "dark", "way", "ring", "dwell", "tolerance", "laps"}

// chase reads a record of a chase.
func (r *reader) chase(record list.Record) {
	c := &Chase{Name: record.Words[1].Text, Width: 1, Laps: 3}
	for _, other := range r.plan.Chases {
		if other.Name == c.Name {
			r.errs.Add(record.Words[1].Pos, "a second chase %s; give it another name", c.Name)
		}
	}
	s := list.NewSettings(&r.errs, record, 2)
	for s.More() {
		r.setting(s, c)
	}
	if !s.OK() {
		return
	}
	positions := len(c.Places) - c.Width + 1
	if c.Ring {
		positions = len(c.Places)
	}
	if c.Tolerance == 0 {
		c.Tolerance = c.Dwell / 20
	}
	switch {
	case len(c.Places) == 0:
		r.errs.Add(record.Pos, "the chase has no places; write row and its address, or lamps and their names")
	case len(c.Places) > 64:
		r.errs.Add(record.Pos, "the chase has %d places; there may be 64", len(c.Places))
	case positions < 3 || c.Width >= len(c.Places):
		r.errs.Add(record.Pos, "%d moving lamps in %d places have fewer than 3 positions: that is no chase", c.Width, len(c.Places))
	case c.Ring && c.Way == ThereAndBack:
		r.errs.Add(record.Pos, "a chase in a ring has no ends to turn at; leave out ring, or the way there-and-back")
	case c.Dwell == 0:
		r.errs.Add(record.Pos, "the chase has no dwell; write how long each place holds, such as: dwell 48 ms")
	case 2*c.Tolerance >= c.Dwell:
		r.errs.Add(record.Pos, "a tolerance of %v is half of the dwell of %v or more, so no fault could be told", c.Tolerance, c.Dwell)
	default:
		r.name(c)
		c.prepare()
		r.plan.Chases = append(r.plan.Chases, c)
	}
}

// setting reads one setting of a chase.
func (r *reader) setting(s *list.Settings, c *Chase) {
	switch s.Name(chaseSettings...) {
	case 0:
		r.row(s, c)
	case 1:
		r.lamps(s, c)
	case 2:
		r.places(s, c)
	case 3:
		c.Width = s.Count("the number of lamps that move", 1, 63)
	case 4:
		c.Dark = false
	case 5:
		c.Dark = true
	case 6:
		c.Way = Way(max(0, s.Name(wayNames[:]...)))
	case 7:
		c.Ring = true
	case 8:
		c.Dwell = cpu.ReadTime(s)
	case 9:
		c.Tolerance = cpu.ReadTime(s)
	case 10:
		c.Laps = s.Count("the number of laps", 1, 1000)
	}
}

// row reads the address of a row; its lamps are the places, rightmost first.
func (r *reader) row(s *list.Settings, c *Chase) {
	a, ok := r.address(s)
	if !ok {
		return
	}
	row, ok := r.panel.Row(a)
	if !ok {
		s.Wrong("no lamps at %s: %s", r.plan.Addr(a), r.rows())
		return
	}
	c.Places = nil
	for bit := row.Lo; bit <= row.Hi; bit++ {
		c.Places = append(c.Places, panel.Lamp{Row: row, Bit: bit})
	}
}

// rows says which rows have lamps.
func (r *reader) rows() string {
	rows := r.panel.Rows()
	if len(rows) == 0 {
		return "the machine file has no lamp rows"
	}
	return "lamp rows are from " + rows[0].Name + " to " + rows[len(rows)-1].Name
}

// lamps reads names of lamps, up to the next setting.
func (r *reader) lamps(s *list.Settings, c *Chase) {
	c.Places = nil
	for s.More() && (strings.Contains(s.Peek().Text, ".") || len(c.Places) == 0) {
		w, _ := s.Next("the name of a lamp")
		lamp, err := r.panel.Lamp(w.Text)
		switch {
		case err != nil:
			s.Wrong("%v", err)
		case lamp.Row.Register != nil:
			s.Wrong("%s is a lamp of a register; a chase is watched on the lamps of store rows", w.Text)
		}
		c.Places = append(c.Places, lamp)
	}
}

// places narrows the places to a run of bits, both ends included, in whichever order they are written.
func (r *reader) places(s *list.Settings, c *Chase) {
	w, ok := s.Next("the first and last place, such as 0-15")
	if !ok {
		return
	}
	from, to, _ := strings.Cut(w.Text, "-")
	first, err1 := strconv.Atoi(from)
	last, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil {
		s.Wrong("%q are no places; write the bit numbers of the first and the last, such as 0-15", w.Text)
		return
	}
	if len(c.Places) == 0 {
		s.Wrong("places belong after the row they are in")
		return
	}
	row := c.Places[0].Row
	var ends [2]int
	for i, n := range []int{first, last} {
		lamp, err := r.panel.Lamp(row.Name + "." + strconv.Itoa(n))
		if err != nil {
			s.Wrong("%v", err)
			return
		}
		ends[i] = lamp.Bit
	}
	lo, hi := min(ends[0], ends[1]), max(ends[0], ends[1])
	c.Places = nil
	for bit := lo; bit <= hi; bit++ {
		c.Places = append(c.Places, panel.Lamp{Row: row, Bit: bit})
	}
}

// name gives the places of a chase their names.
func (r *reader) name(c *Chase) {
	for _, l := range c.Places {
		bit := r.plan.geometry.Style.Bit(l.Bit, l.Row.Width)
		c.bits = append(c.bits, bit)
		c.chips = append(c.chips, chip(&r.plan.geometry, l))
		if c.oneRow() {
			c.names = append(c.names, bit)
		} else {
			c.names = append(c.names, r.panel.Name(l))
		}
	}
}

// chip names the plug-in and chip that hold the store bit of a lamp.
func chip(g *memory.Geometry, l panel.Lamp) string {
	for _, area := range g.Areas {
		if l.Row.Addr < area.First || l.Row.Addr > area.Last {
			continue
		}
		for _, c := range area.Chips {
			if c.Column == l.Bit {
				return area.Name + " " + c.Name
			}
		}
	}
	return ""
}

// address reads an address that the machine can write.
func (r *reader) address(s *list.Settings) (memory.Addr, bool) {
	w, ok := s.Next("an address")
	if !ok {
		return 0, false
	}
	a, err := r.parseAddress(w.Text)
	if err != nil {
		s.Wrong("%v", err)
		return 0, false
	}
	return a, true
}
