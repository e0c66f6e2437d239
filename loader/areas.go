package loader

import (
	"slices"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// An Area is a run of addresses that holds one kind of thing.
type Area struct {
	Kind string // program, table, data, working or map
	Span Span
	Name string // may be empty
}

// areaForms are the records of an areas list.
var areaForms = []list.Form{
	{Shape: `program 005000-005377 "NAME"`, Min: 1, Max: 2},
	{Shape: `table 012000-013777 "NAME"`, Min: 1, Max: 2},
	{Shape: `data 026000-031777 "NAME"`, Min: 1, Max: 2},
	{Shape: `working 000000-000757 "NAME"`, Min: 1, Max: 2},
	{Shape: `map 032500-032537 "NAME"`, Min: 1, Max: 2},
}

// Areas are areas in the order of their addresses, none overlapping another.
type Areas []Area

// ReadAreas reads an areas list, its addresses in the style of g; name is the file name shown in errors, which are a
// go/scanner.ErrorList. A record is program, table, data (of the office, changed by people), working (what the
// program changes as it works) or map (its own map of the network), a range of addresses, and if wanted a name.
func ReadAreas(name string, src []byte, g memory.Geometry) (Areas, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	var all Areas
	lines := map[memory.Addr]list.Word{}
	for _, r := range list.Check(&errs, name, records, areaForms) {
		args := r.Args()
		s, ok := readSpan(&errs, args[0], g)
		if !ok {
			continue
		}
		area := Area{Kind: r.Name(), Span: s}
		if len(args) == 2 {
			area.Name = args[1].Text
		}
		at, clash := all.search(s.First)
		if !clash && at < len(all) {
			clash = all[at].Span.First <= s.Last
		}
		if clash {
			errs.Add(args[0].Pos, "%s overlaps %s of line %d; an address has one kind only", args[0].Text,
				lines[all[at].Span.First].Text, lines[all[at].Span.First].Pos.Line)
			continue
		}
		all = slices.Insert(all, at, area)
		lines[s.First] = args[0]
	}
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return all, nil
}

// readSpan reads a range of addresses, or one address, that the store of g has.
func readSpan(errs *list.Errors, w list.Word, g memory.Geometry) (Span, bool) {
	low, high, ranged := strings.Cut(w.Text, "-")
	if !ranged {
		high = low
	}
	var ends [2]memory.Addr
	for i, text := range []string{low, high} {
		v, err := g.Style.Parse(text)
		if err != nil {
			errs.Add(w.Pos, "%v", err)
			return Span{}, false
		}
		ends[i] = memory.Addr(v)
		if g.Area(ends[i]) == nil {
			errs.Add(w.Pos, "nothing answers at %s", g.Style.Addr(ends[i], g.AddrBits))
			return Span{}, false
		}
	}
	if ends[1] < ends[0] {
		errs.Add(w.Pos, "the range %s ends before it begins; exchange its ends", w.Text)
		return Span{}, false
	}
	return Span{ends[0], ends[1]}, true
}

// search gives the index of the area a is in, or of the first one behind it.
func (all Areas) search(a memory.Addr) (int, bool) {
	return slices.BinarySearchFunc(all, a, func(area Area, a memory.Addr) int {
		switch {
		case area.Span.Last < a:
			return -1
		case area.Span.First > a:
			return 1
		}
		return 0
	})
}

// At gives the area a is in, and whether there is one.
func (all Areas) At(a memory.Addr) (Area, bool) {
	i, ok := all.search(a)
	if !ok {
		return Area{}, false
	}
	return all[i], true
}

// Use says what a run did with the word at a: reached says that it was taken as an order, read that it was read as data.
func (all Areas) Use(a memory.Addr, reached, read bool) Use {
	area, _ := all.At(a)
	switch {
	case reached:
		return ProgramReached
	case read:
		return TableRead
	case area.Kind == "program":
		return ProgramNotReached
	}
	return DataNeverRead
}
