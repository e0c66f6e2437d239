package march

// A Seen says whether a test detects a variant of a fault.
type Seen uint8

// Never is in no case: no place, no content at first, no direction of an either. Sometimes is in some cases, Always in all.
const (
	Never Seen = iota
	Sometimes
	Always
)

// A Variant is one way that a kind of fault can be, and whether the test detects it.
type Variant struct {
	Name string
	Seen Seen
}

// A Row is what a test detects of one kind of fault.
type Row struct {
	Kind
	Variants []Variant
}

// Always is how many variants are detected in every case: the number that tables of coverage hold, of len(Variants).
func (r Row) Always() int { return r.count(Always) }

// Never is how many variants are detected in no case.
func (r Row) Never() int { return r.count(Never) }

func (r Row) count(seen Seen) int {
	n := 0
	for _, v := range r.Variants {
		if v.Seen == seen {
			n++
		}
	}
	return n
}

// Blind is what a test with this coverage does not see: the kinds of which it detects nothing in any case, and those of which
// it detects some variants only, or only in some cases.
func Blind(rows []Row) (never, partly []Kind) {
	for _, r := range rows {
		switch {
		case r.Never() == len(r.Variants):
			never = append(never, r.Kind)
		case r.Always() < len(r.Variants):
			partly = append(partly, r.Kind)
		}
	}
	return never, partly
}

// Cover works out what a test detects in a memory of so many cells, 3 to 8; beyond either end counts as that end. Linked
// faults take long in more than 5, and time doubles with every either: Parse takes few.
func Cover(t Test, cells int) []Row { return cover(t, cells, true) }

// cover is Cover, of linked faults too or without.
func cover(t Test, cells int, linked bool) []Row {
	cells = min(max(cells, 3), mostCells)
	choices := directions(&t)
	var rows []Row
	for _, d := range definitions {
		if d.Linked && !linked {
			continue
		}
		r := Row{Kind: d.Kind}
		for _, v := range d.variants(cells) {
			r.Variants = append(r.Variants, Variant{v.name, seen(&t, v.make(cells), cells, choices)})
		}
		rows = append(rows, r)
	}
	return rows
}

// directions is the choices of direction that matter: one for each way to send the eithers.
func directions(t *Test) []uint {
	choices := []uint{0}
	for n, e := range t.Elements {
		if e.Order == Either {
			for _, c := range choices {
				choices = append(choices, c|1<<n)
			}
		}
	}
	return choices
}

// seen tries all cases of a variant.
func seen(t *Test, ms []*model, cells int, choices []uint) Seen {
	some, all := false, true
	for _, m := range ms {
		senses := 1
		if m.open >= 0 {
			senses = 2
		}
		for content := range 1 << cells {
			for _, choice := range choices {
				for sense := range senses {
					m.start(uint8(content), uint8(sense))
					detected := m.detects(t, cells, choice)
					some, all = some || detected, all && detected
				}
			}
			if some && !all {
				return Sometimes
			}
		}
	}
	switch {
	case all:
		return Always
	case some:
		return Sometimes
	}
	return Never
}
