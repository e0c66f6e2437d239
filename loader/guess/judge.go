package guess

import (
	"cmp"
	"math"
	"slices"
)

// leastChance is the chance of coming about by accident below which a setting survives: one in a million, as a power of two.
const leastChance = -20

// A Survivor is a setting that explains more blocks than accident could.
type Survivor struct {
	Setting
	Blocks []int   // those it explains, by index in Search.Blocks
	Chance float64 // that any setting explains as many by accident, at most; as a power of two
	Twins  []int   // other survivors that cannot be told apart from it by these blocks

	trial int
}

// A Finding is what a search came to.
type Finding struct {
	Survivors []Survivor // those of common start and final value first, then those that explain most
	Best      []Survivor // where none survives: those of common values that explain most, if any block
	Lengths   []int      // the different lengths of the blocks, in words
}

// Judge says what survives, from the tallies of all trials by number.
func (s *Search) Judge(tallies []Tally) *Finding {
	f := &Finding{Lengths: s.lengths(nil)}
	var all []Survivor
	for number, tally := range tallies {
		for final, blocks := range tally {
			setting := s.trials[number].Setting
			setting.Final = final
			all = append(all, Survivor{Setting: setting, Blocks: blocks, Chance: s.chance(setting, len(blocks)), trial: number})
		}
	}
	// Common values first, then what explains most, then by trial, so that a map of tallies leaves no trace.
	slices.SortFunc(all, func(a, b Survivor) int {
		return cmp.Or(-compareBool(a.Common(), b.Common()), -cmp.Compare(len(a.Blocks), len(b.Blocks)),
			cmp.Compare(a.trial, b.trial), cmp.Compare(a.Final, b.Final))
	})
	for _, c := range all {
		c.Chance = s.kin(c, all)
		switch {
		case c.Chance < leastChance:
			if !part(c, all) {
				f.Survivors = append(f.Survivors, c)
			}
		case c.Common() && (len(f.Best) == 0 || len(c.Blocks) == len(f.Best[0].Blocks)):
			f.Best = append(f.Best, c)
		}
	}
	if len(f.Survivors) > 0 {
		f.Best = nil
	}
	for i := range f.Survivors {
		for k := range f.Survivors {
			if i != k && slices.Equal(f.Survivors[i].Blocks, f.Survivors[k].Blocks) {
				f.Survivors[i].Twins = append(f.Survivors[i].Twins, k)
			}
		}
	}
	return f
}

// kin is the chance of accident of a setting; of one that would not survive by itself, the least among those that explain
// the same blocks of one length by the same division. There they differ by a constant alone, so what speaks for one speaks
// for all: a likely start and final value must not stand alone only because few blocks are there to show that others fit as
// well.
func (s *Search) kin(c Survivor, all []Survivor) float64 {
	least := c.Chance
	if least < leastChance || !s.OneLength(c) {
		return least
	}
	for _, o := range all {
		if o.Poly == c.Poly && o.Low == c.Low && o.LowWord == c.LowWord && slices.Equal(o.Blocks, c.Blocks) {
			least = min(least, o.Chance)
		}
	}
	return least
}

// part says that some other setting explains all that c does, and more: of blocks of several lengths, those of one length
// alone are explained by settings that the others rule out.
func part(c Survivor, all []Survivor) bool {
	return slices.ContainsFunc(all, func(o Survivor) bool {
		return o.Chance < leastChance && len(o.Blocks) > len(c.Blocks) && !slices.ContainsFunc(c.Blocks, func(b int) bool {
			_, has := slices.BinarySearch(o.Blocks, b)
			return !has
		})
	})
}

// compareBool puts false first.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// chance bounds the chance that any setting explains some k of the blocks by accident, as a power of two: the number of
// ways to choose them, times the settings, times 2 to the power of -16 for each block. With any final value but a common
// one the first block is used up to find it.
func (s *Search) chance(t Setting, k int) float64 {
	n := float64(len(s.Blocks))
	ways := (lgamma(n+1) - lgamma(float64(k)+1) - lgamma(n-float64(k)+1)) / math.Ln2
	if t.Common() {
		return ways + math.Log2(float64(2*len(s.trials))) - float64(width*k)
	}
	return ways + math.Log2(float64(len(s.trials))) - float64(width*(k-1))
}

// lgamma is the logarithm of the factorial of x-1.
func lgamma(x float64) float64 {
	v, _ := math.Lgamma(x)
	return v
}

// lengths gives the different lengths of blocks, all of them or those of some indices, shortest first.
func (s *Search) lengths(of []int) []int {
	var all []int
	for i := range s.Blocks {
		if of == nil || slices.Contains(of, i) {
			all = append(all, len(s.Blocks[i].raw))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// OneLength says that all blocks a survivor explains are equally long, so that its start and final value cannot be told
// from others.
func (s *Search) OneLength(v Survivor) bool { return len(s.lengths(v.Blocks)) == 1 }

// mostTenTo is where counting the chance of accident any further tells nobody anything.
const mostTenTo = 99

// TenTo gives the chance that any setting explains as many blocks by accident, at most, as the power of ten that one in so
// many is, up to 99; 0 where it is not even one in ten.
func (v Survivor) TenTo() int {
	return min(mostTenTo, max(0, int(math.Floor(-v.Chance*math.Log10(2)))))
}
