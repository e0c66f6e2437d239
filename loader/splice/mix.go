package splice

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A dispute is a run of words that were read in more than one way, taken together.
type dispute struct {
	first, last int // words of the block, both included
	options     []option
}

// An option is one reading of a dispute.
type option struct {
	words  []memory.Word
	passes uint16 // a bit for each pass that reads so; none where the words were put together bit by bit, or known by place
}

// witnesses counts the passes behind an option.
func (o *option) witnesses() int { return bits.OnesCount16(o.passes) }

// A mixing is what the readings of a block in one frame have in common, and what not.
type mixing struct {
	base    []memory.Word // where all agree; of a disputed word its likeliest reading
	passes  []uint16      // that read the base so
	missing []int         // words that no reading has
	words   []dispute     // each of one word
}

// mix compares readings word by word. Words that the layout knows are not in dispute: a mark is what it says. Of the others
// it knows, such as a number by its place, it gives one more reading.
func mix(readings []*reading, known []memory.Word, fixed, likely []bool) *mixing {
	x := &mixing{base: make([]memory.Word, len(known)), passes: make([]uint16, len(known))}
	for i := range known {
		if fixed[i] {
			x.base[i] = known[i]
			continue
		}
		var all []option
		add := func(w memory.Word, mask uint16) {
			for k := range all {
				if all[k].words[0] == w {
					all[k].passes |= mask
					return
				}
			}
			all = append(all, option{[]memory.Word{w}, mask})
		}
		for _, r := range readings {
			if i < len(r.raw) && r.has[i] {
				add(r.raw[i], 1<<r.piece.pass)
			}
		}
		if likely[i] {
			add(known[i], 0)
		}
		if len(all) == 0 {
			x.missing = append(x.missing, i)
			continue
		}
		slices.SortFunc(all, func(a, b option) int {
			return cmp.Or(b.witnesses()-a.witnesses(), cmp.Compare(a.passes, b.passes), cmp.Compare(a.words[0], b.words[0]))
		})
		x.base[i], x.passes[i] = all[0].words[0], all[0].passes
		if len(all) > 1 {
			x.words = append(x.words, dispute{i, i, all})
		}
	}
	return x
}

// runs takes disputed words together that the same passes read apart, with no more than gap other words between: a dropout
// is one event, however many words it takes.
func runs(words []dispute, base []memory.Word, gap int) []dispute {
	var all []dispute
	for _, d := range words {
		if n := len(all); n > 0 && d.first-all[n-1].last <= gap+1 && alike(&all[n-1], &d) {
			last := &all[n-1]
			for k := range last.options {
				last.options[k].words = slices.Concat(last.options[k].words, base[last.last+1:d.first], d.options[k].words)
			}
			last.last = d.last
			continue
		}
		d.options = slices.Clone(d.options)
		all = append(all, d)
	}
	return all
}

// alike says whether two disputes are between the same passes, each with a reading of its own.
func alike(a, b *dispute) bool {
	if len(a.options) != len(b.options) {
		return false
	}
	for k := range a.options {
		if a.options[k].passes != b.options[k].passes || a.options[k].passes == 0 ||
			k > 0 && a.options[k].passes == a.options[k-1].passes {
			return false
		}
	}
	return true
}

// mostBits is how many bits of a word may differ between readings for it to be put together bit by bit.
const mostBits = 3

// bitwise adds to each disputed word the readings that come of taking its bits apart.
func bitwise(words []dispute) []dispute {
	all := make([]dispute, len(words))
	for i, d := range words {
		d.options = slices.Clone(d.options)
		var differ memory.Word
		for _, o := range d.options {
			differ |= o.words[0] ^ d.options[0].words[0]
		}
		if n := bits.OnesCount64(uint64(differ)); n <= mostBits {
			for sub := differ; ; sub = (sub - 1) & differ { // every choice of the bits that differ
				w := d.options[0].words[0] ^ sub
				if !slices.ContainsFunc(d.options, func(o option) bool { return o.words[0] == w }) {
					d.options = append(d.options, option{[]memory.Word{w}, 0})
				}
				if sub == 0 {
					break
				}
			}
		} else if len(d.options) > 2 {
			if w := majority(d.options); !slices.ContainsFunc(d.options, func(o option) bool { return o.words[0] == w }) {
				d.options = append(d.options, option{[]memory.Word{w}, 0})
			}
		}
		all[i] = d
	}
	return all
}

// majority takes each bit as most passes read it.
func majority(options []option) memory.Word {
	var w memory.Word
	for b := range 64 {
		ones, all := 0, 0
		for _, o := range options {
			n := max(1, o.witnesses())
			all += n
			ones += n * int(o.words[0]>>b&1)
		}
		if 2*ones > all {
			w |= 1 << b
		}
	}
	return w
}

// ways counts the mixtures of disputes, as far as an int holds.
func ways(all []dispute) int {
	n := 1
	for _, d := range all {
		if n > math.MaxInt32 {
			return n
		}
		n *= len(d.options)
	}
	return n
}

// A tried is what came of trying mixtures.
type tried struct {
	disputes []dispute
	passing  [][]int // options, one for each dispute
	count    int
	until    int // of them, those no farther from the likeliest than the first that passed; all where none did
	cut      bool

	elsewhere [][]memory.Word // what passes in other frames
}

// try goes through the mixtures of disputes, those with the fewest departures from the likeliest options first, up to most
// of them, and keeps those that pass.
func (m *merger) try(number int, base []memory.Word, all []dispute, most int) tried {
	t := tried{disputes: all}
	raw := slices.Clone(base)
	choice := make([]int, len(all))
	var choose func(from, departures int) bool
	choose = func(from, departures int) bool {
		if departures == 0 {
			if t.count == most {
				t.cut = true
				return false
			}
			t.count++
			if m.form.passes(raw, number) {
				t.passing = append(t.passing, slices.Clone(choice))
			}
			return true
		}
		for d := from; d <= len(all)-departures; d++ {
			for k := 1; k < len(all[d].options); k++ {
				choice[d] = k
				copy(raw[all[d].first:], all[d].options[k].words)
				if !choose(d+1, departures-1) {
					return false
				}
			}
			choice[d] = 0
			copy(raw[all[d].first:], all[d].options[0].words)
		}
		return true
	}
	for _, d := range all {
		copy(raw[d.first:], d.options[0].words)
	}
	for departures := range len(all) + 1 {
		more := choose(0, departures)
		if len(t.passing) > 0 && t.until == 0 {
			t.until = t.count
		}
		if !more {
			break
		}
	}
	if t.until == 0 {
		t.until = t.count
	}
	return t
}

// assemble puts a mixture together.
func assemble(base []memory.Word, all []dispute, choice []int) []memory.Word {
	raw := slices.Clone(base)
	for d, k := range choice {
		copy(raw[all[d].first:], all[d].options[k].words)
	}
	return raw
}

// few is how rare an accident has to be for what passes to count: one in so many.
const few = 4096

// unlikely says whether it is rare enough that one of so many mixtures passes by accident.
func (m *merger) unlikely(count int) bool {
	return m.form.strength > 0 && float64(count)*few <= math.Ldexp(1, m.form.strength)
}

// search tries mixtures, at first of as small parts as can be tried without an accident being likely, then of smaller ones
// until some pass or the bound is reached.
func (m *merger) search(number int, x *mixing, most int) tried {
	levels := [][]dispute{runs(x.words, x.base, 8), runs(x.words, x.base, 0), x.words, bitwise(x.words)}
	start := 0
	for i := 1; i < 3; i++ {
		if n := ways(levels[i]); m.unlikely(n) && n <= most {
			start = i
		}
	}
	var t tried
	for i := start; i < len(levels); i++ {
		if i > start && ways(levels[i]) == ways(levels[i-1]) {
			continue
		}
		before := t.count
		t = m.try(number, x.base, levels[i], most-before)
		t.count, t.until = t.count+before, t.until+before
		if len(t.passing) > 0 || t.cut {
			break
		}
	}
	return t
}

// wrongKind names what a proof failed by, the strongest first; "" where nothing failed.
func wrongKind(p *tape.Proof) string {
	switch tape.Wrong {
	case p.Check:
		return "check"
	case p.Sum:
		return "sum"
	case p.Mark:
		return "mark"
	case p.Count:
		return "count"
	}
	if len(p.Stray) > 0 {
		return "stray" // words whose parity is wrong
	}
	return ""
}
