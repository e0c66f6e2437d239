package tape

import (
	"math/bits"

	"coldstart/memory"
)

// A run is some neighbouring bits of one word that stand together in one unit.
type run struct {
	word, low, count int // word of the group; its lowest bit here, and how many
	at               int // the bit of the unit that its lowest bit stands at
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
			all[last].low, all[last].at = b, bit
			all[last].count++
		} else {
			all = append(all, run{w, b, 1, bit})
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

// longestRun keeps what is taken at once within what a register takes at once.
const longestRun = 32

// order gives the bits of a group in the order recorded, unit after unit, each from its highest bit or, where low is set,
// from its lowest. Runs that follow on each other are made one. Bits that no word uses are left out: they come from the
// packing, and nobody recorded them.
func (p *packing) order(low bool) []run {
	var all []run
	for _, unit := range p.runs {
		for i, r := range unit {
			if low {
				r = unit[len(unit)-1-i]
			}
			last := len(all) - 1
			switch {
			case last < 0 || all[last].word != r.word || all[last].count+r.count > longestRun:
				all = append(all, r)
			case !low && all[last].low == r.low+r.count:
				all[last].low, all[last].count = r.low, all[last].count+r.count
			case low && all[last].low+all[last].count == r.low:
				all[last].count += r.count
			default:
				all = append(all, r)
			}
		}
	}
	return all
}

// eachBit calls visit for every bit of n words in the order that order gives those of a group.
func (p *packing) eachBit(n int, low bool, visit func(word, bit int)) {
	order := p.high
	if low {
		order = p.low
	}
	for first := 0; first < n; first += p.words {
		for _, r := range order {
			if first+r.word >= n {
				continue // it fills up the last unit
			}
			for i := range r.count {
				bit := r.low + r.count - 1 - i
				if low {
					bit = r.low + i
				}
				visit(first+r.word, bit)
			}
		}
	}
}
