package tape

import (
	"math/bits"

	"coldstart/memory"
)

// A run is some neighbouring bits of one word that stand together in one unit.
type run struct {
	word, low, count int // word of the group; its lowest bit here, and how many
}

// runsOf gives the runs of one unit from its highest bit down; at says which bit of the group, words of width bits, stands
// at each of its bits, -1 where none does.
func runsOf(at []int, width int) []run {
	var all []run
	for bit := len(at) - 1; bit >= 0; bit-- {
		if at[bit] < 0 {
			continue
		}
		w, b := at[bit]/width, at[bit]%width
		if last := len(all) - 1; last >= 0 && all[last].word == w && all[last].low == b+1 {
			all[last].low--
			all[last].count++
		} else {
			all = append(all, run{w, b, 1})
		}
	}
	return all
}

// take gives the bits of the run out of its word; turned end for end where low is set, so that its lowest bit leads.
func (r run) take(w memory.Word, low bool) uint64 {
	v := uint64(w>>r.low) & uint64(memory.Mask(r.count))
	if low {
		v = bits.Reverse64(v) >> (64 - r.count)
	}
	return v
}

// each calls visit for every run of n words, unit after unit, each from its highest bit or, where low is set, from its
// lowest; the word of a run is then one of the n. Bits that no word uses are left out: they come from the packing, and
// nobody recorded them.
func (p *packing) each(n int, low bool, visit func(unit int, r run)) {
	for first := 0; first < n; first += p.words {
		for unit, runs := range p.runs {
			for i := range runs {
				r := runs[i]
				if low {
					r = runs[len(runs)-1-i]
				}
				if r.word += first; r.word < n { // what is beyond fills up the last unit
					visit(first/p.words*p.units+unit, r)
				}
			}
		}
	}
}

// eachBit calls visit for every bit of n words in the order that each gives their runs.
func (p *packing) eachBit(n int, low bool, visit func(word, bit int)) {
	p.each(n, low, func(_ int, r run) {
		for i := range r.count {
			bit := r.low + r.count - 1 - i
			if low {
				bit = r.low + i
			}
			visit(r.word, bit)
		}
	})
}
