package cli

import (
	"fmt"

	"coldstart/debug/watch"
	"coldstart/memory/overlay"
)

// decide judges: the way the dump was taken first, then what must not differ, then what a person has to say, and then what
// the dump is too weak to show.
func (r *overlayReport) decide() {
	r.judge(watch.Good)
	if r.NotStore {
		for _, s := range r.laid.Suspicions {
			if s.First {
				r.doubt(s.Look, s.Settle)
			}
			if s.As != "" && r.again != "" {
				r.lead("", r.again+" --as "+shellWord(s.As))
			}
		}
		return
	}
	r.store()
	r.people()
	r.weak()
}

// doubt leaves it undecided, unless it is trouble already, and leads to why.
func (r *overlayReport) doubt(look, settle string) {
	if r.status == exitGood {
		r.judge(watch.Undecided)
	}
	r.lead(look, settle)
}

// lead adds where to look and how to settle it, each once.
func (r *overlayReport) lead(look, settle string) {
	for _, to := range []struct {
		list *[]string
		line string
	}{{&r.LookAt, look}, {&r.ToSettle, settle}} {
		known := to.line == ""
		for _, l := range *to.list {
			known = known || l == to.line
		}
		if !known {
			*to.list = append(*to.list, to.line)
		}
	}
}

// mostPlaces is how many places of a kind a verdict leads to: the first are the cause or beside it, and more only bury it.
const mostPlaces = 3

// store leads to what must not differ, and to what parity shows went bad in the store wherever it stands.
func (r *overlayReport) store() {
	o := r.laid
	for i := range o.Groups {
		r.judge(watch.Trouble)
		if i == mostPlaces {
			r.lead(fmt.Sprintf("and %s more, which are told of above", amount(len(o.Groups)-i, "column")), "")
			break
		}
		r.group(&o.Groups[i])
	}
	said := 0
	for i := range o.Differences {
		d := &o.Differences[i]
		if d.Part.Rule == overlay.Fixed || !d.InStore() {
			continue
		}
		r.judge(watch.Trouble)
		if o.Told(d) {
			continue
		}
		if said++; said <= mostPlaces {
			a := o.Geometry.Style.Addr(d.Addr, o.Geometry.AddrBits)
			r.lead(fmt.Sprintf("%s @%s: its parity shows that it went bad in the store", d.Area.Name, a), r.channel(d.Area.Name, a))
		}
	}
}

// group leads to one column that went wrong, and to the cheapest test of it.
func (r *overlayReport) group(g *overlay.Group) {
	o := r.laid
	first := o.Geometry.Style.Addr(g.Addrs[0], o.Geometry.AddrBits)
	if len(g.Addrs) > 1 {
		r.lead(fmt.Sprintf("%s: %d to %d in %d of %d", o.Place(g), g.From, 1-g.From, len(g.Addrs), g.Of), r.channel(g.Area.Name, first))
		r.lead("", exchange(g))
		return
	}
	d := r.differenceAt(g)
	if readings := r.office.Doubt(d.Origin); readings != "" {
		r.lead(fmt.Sprintf("%s: nobody is sure of its word on the tape: %s", first, readings), "splice the passes again with the reading that the dump has, by --take, and lay it over that")
	}
	if d.Parity == overlay.FitsDump {
		width := d.Area.Width
		r.lead(fmt.Sprintf("%s: %s on the tape, %s in the dump, of right parity", first, o.Geometry.Style.Word(d.Tape, width), o.Geometry.Style.Word(d.Dump, width)),
			"read such words of the tape again, and ask what writes there: right parity says that they were stored so")
		return
	}
	r.lead(fmt.Sprintf("%s @%s: %d on the tape, %d in the dump", o.Place(g), first, g.From, 1-g.From), "")
	r.lead("", r.channel(g.Area.Name, first))
	r.lead("", exchange(g))
	if chip := g.Chip(&o.Geometry); chip != "" {
		r.lead("", r.typed("bringup")+" --jam "+shellWord(fmt.Sprintf("%s %s @%s = %d", g.Area.Name, chip, first, g.Area.Cell(1-g.From))))
	}
}

// exchange says when a part may be pulled.
func exchange(g *overlay.Group) string {
	return fmt.Sprintf("pull nothing until the trouble moves when %s is exchanged for its like", g.Area.Name)
}

// channel is the test of a cell from the other half.
func (r *overlayReport) channel(plugIn, a string) string {
	return fmt.Sprintf("through the maintenance channel write %s and read it back ten times, %s only", a, plugIn)
}

// differenceAt is the difference that a group of one word is about.
func (r *overlayReport) differenceAt(g *overlay.Group) *overlay.Difference {
	for i := range r.laid.Differences {
		if d := &r.laid.Differences[i]; d.Addr == g.Addrs[0] {
			return d
		}
	}
	return &overlay.Difference{}
}

// people leads to the words that only a person can judge.
func (r *overlayReport) people() {
	for _, rule := range []overlay.Rule{overlay.Judged, overlay.Unlisted} {
		n, first := 0, ""
		for _, d := range r.laid.Under(rule) {
			if !d.InStore() {
				if n++; n == 1 {
					first = d.Part.Kind + " from " + r.laid.Geometry.Style.Addr(d.Addr, r.laid.Geometry.AddrBits) + " on"
				}
			}
		}
		switch {
		case n > 0 && rule == overlay.Judged:
			r.doubt(fmt.Sprintf("%s: %s not as on the tape", first, areWords(n)), "hold them against the office's paper records of changes")
		case n > 0:
			r.doubt(fmt.Sprintf("%s: %s not as on the tape", first, areWords(n)), "say in the office's list of areas what stands there")
		}
	}
}

// areWords is a number of words with its verb.
func areWords(n int) string {
	if n == 1 {
		return "1 word is"
	}
	return fmt.Sprintf("%d words are", n)
}

// weak leads to what keeps the dump from showing that nothing is wrong.
func (r *overlayReport) weak() {
	fixed, compared := 0, 0
	for _, t := range r.laid.Tallies {
		if t.Rule == overlay.Fixed {
			fixed, compared = fixed+t.OnTape, compared+t.Compared
		}
	}
	switch {
	case fixed == 0:
		r.doubt("the office, which does not say what must not differ", "give it a list of areas: which addresses hold program, table, data, working")
	case compared == 0:
		r.doubt("the dump, which has no word that must not differ", "take a dump of the plug-ins that hold program, or the whole store")
	}
	for _, s := range r.laid.Suspicions {
		switch {
		case s.Look != "":
			r.doubt(s.Look, s.Settle)
		case r.status != exitGood:
			r.lead("", s.Settle)
		}
	}
	if r.status == exitGood {
		for _, t := range r.Areas {
			if t.Rule == rules[overlay.Fixed] && t.NotDumped > 0 {
				r.doubt(fmt.Sprintf("%s of %s not in the dump", areWords(t.NotDumped), t.Kind), "dump those too")
			}
		}
	}
}
