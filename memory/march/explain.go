package march

import (
	"maps"
	"math/bits"
	"slices"

	"coldstart/memory"
)

// A Group is cells of one data bit that were wrong in the same reads and in no other.
type Group struct {
	Bit   int         // counted from the right
	Cells int         // how many
	First memory.Addr // the word of the lowest
	Last  memory.Addr // of the highest
	Reads int         // in how many reads each was wrong
	Kinds []Kind      // of one fault alone, not linked: those that can make a cell fail so
	wrong pattern
}

// A pattern is the reads in which a cell was wrong, a bit for each.
type pattern []uint64

func (p pattern) has(read int) bool { return p[read/64]>>(read%64)&1 == 1 }
func (p pattern) add(read int)      { p[read/64] |= 1 << (read % 64) }

func (p pattern) len() int {
	n := 0
	for _, w := range p {
		n += bits.OnesCount64(w)
	}
	return n
}

// mostGroups, which a mask of 64 bits holds, is how many groups are explained: faults of hardware make a few, chance alone
// makes many.
const mostGroups = 64

// diagnose groups the cells that failed and finds what can have made them fail.
func (r *runner) diagnose() {
	rep := &r.report
	rep.More = len(r.others)
	byKey := map[string]int{}
	for _, a := range slices.Sorted(maps.Keys(r.places)) {
		grouped := true
		for bit := range r.span.Geometry.Width {
			wrong := r.places[a].pattern(bit)
			if wrong == nil {
				continue
			}
			key := string(rune(bit)) + string(wrong.bytes())
			i, ok := byKey[key]
			if !ok && len(rep.Groups) == mostGroups {
				grouped = false
				continue
			}
			if !ok {
				i = len(rep.Groups)
				byKey[key] = i
				rep.Groups = append(rep.Groups, Group{Bit: bit, First: a, Reads: wrong.len(), wrong: wrong})
			}
			rep.Groups[i].Cells++
			rep.Groups[i].Last = a // addresses are gone through upwards
		}
		if !grouped {
			rep.More++
		}
	}
	r.explain()
}

// pattern is the reads in which a bit was wrong; nil where it was wrong in none.
func (p *place) pattern(bit int) pattern {
	var wrong pattern
	for read, w := range p.wrong {
		if w>>bit&1 == 1 {
			if wrong == nil {
				wrong = make(pattern, (len(p.wrong)+63)/64)
			}
			wrong.add(read)
		}
	}
	return wrong
}

// bytes is the pattern as a key.
func (p pattern) bytes() (all []byte) {
	for _, w := range p {
		for i := range 8 {
			all = append(all, byte(w>>(8*i)))
		}
	}
	return all
}

// explain finds the kinds of every group, and those common to all.
func (r *runner) explain() {
	rep := &r.report
	common := ^uint64(0)
	for bit := range r.span.Geometry.Width {
		var groups []*Group
		for i := range rep.Groups {
			if rep.Groups[i].Bit == bit {
				groups = append(groups, &rep.Groups[i])
			}
		}
		if groups == nil {
			continue
		}
		for i, kinds := range r.kindsOf(bit, groups) {
			common &= kinds
			groups[i].Kinds = listed(kinds)
		}
	}
	if len(rep.Groups) > 0 {
		rep.Fits = listed(common)
	}
}

// listed is kinds by their numbers in definitions.
func listed(kinds uint64) (all []Kind) {
	for i, d := range definitions {
		if kinds>>i&1 == 1 {
			all = append(all, d.Kind)
		}
	}
	return all
}

// bitOf is what a bit of a background is in each run.
func (r *runner) bitOf(bit int) []uint8 {
	var values []uint8
	for _, w := range r.report.Backgrounds {
		values = append(values, uint8(w>>bit&1))
	}
	return values
}

// kindsOf is for each group of a bit the kinds that can make a cell fail so, as a mask of numbers in definitions. They are found
// by running the test on three words with one fault of every variant, at every place and with every content at first.
func (r *runner) kindsOf(bit int, groups []*Group) []uint64 {
	kinds := make([]uint64, len(groups))
	t := &trial{test: &r.report.Test, groups: groups, bits: [2][]uint8{r.bitOf(bit)}}
	for i, d := range definitions {
		if d.Linked {
			continue
		}
		for _, v := range d.variants(trialWords) {
			for _, m := range v.make(trialWords) {
				t.columns = 1
				t.run(m)
				if len(m.bound) > 0 && m.bound[0].coupled {
					r.elsewhere(t, m, bit)
				}
			}
		}
		for g := range groups {
			if t.matched>>g&1 == 1 {
				kinds[g] |= 1 << i
			}
		}
		t.matched = 0
	}
	return kinds
}

// elsewhere runs a trial with the aggressor in a column of another bit, in every word, the victim's own too: the backgrounds
// drive the two bits apart in some runs and alike in others, so that the reads that fail are others.
func (r *runner) elsewhere(t *trial, m *model, bit int) {
	if m.bound[0].a != 0 || m.bound[0].v != 1 {
		return // every place is tried here, so one model of each variant is enough
	}
	t.columns = 2
	for other := range r.span.Geometry.Width {
		if other == bit {
			continue
		}
		t.bits[1] = r.bitOf(other)
		for word := range trialWords {
			moved := *m
			moved.bound = slices.Clone(m.bound)
			for i := range moved.bound {
				moved.bound[i].v, moved.bound[i].a = 1, trialWords+word
			}
			t.run(&moved)
		}
	}
}
