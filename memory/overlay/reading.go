package overlay

import (
	"fmt"
	"math/bits"
	"slices"

	"coldstart/memory"
)

// A Reading is a way the words of a dump may have been turned on their way, and how well the dump fits the tape when it is
// undone, over the words searched.
type Reading struct {
	Name  string `json:"name"` // such as "halves exchanged"
	Alike int    `json:"alike"`
	Of    int    `json:"of"`
	Line  bool   `json:"address_line"` // an address line held at one value does so, to the store as well as to its reader
}

// A turning is what may have been done to each word.
type turning struct {
	name string
	undo func(w memory.Word, width int) memory.Word
	fits func(width int) bool // nil: every width
}

// turnings are the ways to turn a word round, each tried with all bits inverted as well.
var turnings = []turning{
	{"", func(w memory.Word, _ int) memory.Word { return w }, nil},
	{"halves exchanged", halves, func(width int) bool { return width%2 == 0 }},
	{"bits reversed", reverse, nil},
	{"bits reversed in each half", func(w memory.Word, width int) memory.Word { return halves(reverse(w, width), width) },
		func(width int) bool { return width%2 == 0 }},
	{"bytes exchanged", func(w memory.Word, width int) memory.Word {
		return memory.Word(bits.ReverseBytes64(uint64(w)) >> (64 - width))
	}, func(width int) bool { return width%8 == 0 && width > 16 }},
}

// halves exchanges the halves of a word.
func halves(w memory.Word, width int) memory.Word {
	half := width / 2
	return (w>>half | w<<half) & memory.Mask(width)
}

// reverse turns a word end for end.
func reverse(w memory.Word, width int) memory.Word {
	return memory.Word(bits.Reverse64(uint64(w)) >> (64 - width))
}

// The bounds of the search for another reading.
const (
	mostShift  = 32   // words, either way
	mostSample = 4096 // words that every way is tried on; those that fit best are then counted on all
)

// A trial is one way to read the dump.
type trial struct {
	turning  turning
	inverted bool
	shift    int         // dump words stand so many words behind their addresses
	bit      memory.Addr // a one for an address bit that is held,
	held     memory.Addr // at this
}

// read is what the dump has for a pair, read so, and what the tape has there.
func (t *trial) read(o *Overlay, p *pair) (dump, tape memory.Word, ok bool) {
	if t.bit != 0 {
		tape, _, ok = o.tape.At(p.addr&^t.bit | t.held)
		return p.dump, tape, ok
	}
	w, tape := p.dump, p.tape
	if t.shift != 0 {
		w, _, ok = o.dump.Words.At(p.addr + memory.Addr(t.shift*o.Geometry.Step()))
		if !ok {
			return 0, 0, false
		}
	}
	return t.restore(w, p.area.Width), tape, true
}

// restore undoes what was done to the bits of a word.
func (t *trial) restore(w memory.Word, width int) memory.Word {
	if t.inverted {
		w = ^w & memory.Mask(width)
	}
	return t.turning.undo(w, width)
}

// inverted is how a reading names that every bit is the other one.
const inverted = "all bits inverted"

// alike counts the pairs that fit.
func (t *trial) alike(o *Overlay, pairs []*pair) int {
	n := 0
	for _, p := range pairs {
		if dump, tape, ok := t.read(o, p); ok && (dump^tape)&^o.PathBits == 0 {
			n++
		}
	}
	return n
}

// name is the way in words.
func (t *trial) name(g *memory.Geometry) string {
	if t.bit != 0 {
		value := 0
		if t.held != 0 {
			value = 1
		}
		return fmt.Sprintf("address bit %s held at %d", g.Style.Bit(bits.TrailingZeros64(uint64(t.bit)), g.AddrBits), value)
	}
	name := t.turning.name
	if t.inverted {
		name = joined(name, inverted)
	}
	if t.shift != 0 {
		way := "low"
		if t.shift > 0 {
			way = "high"
		}
		name = joined(name, fmt.Sprintf("%s too %s", amount(max(t.shift, -t.shift), "address"), way))
	}
	return name
}

// joined puts two parts of a name together.
func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

// amount is a number of things.
func amount(n int, thing string) string {
	switch {
	case n == 1:
		return "1 " + thing
	case thing == "address":
		thing = "addresse"
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// searched are the pairs by which the dump itself is judged, of plug-ins that answered: those that must not differ, or where
// no list says which these are, all that are on the tape.
func (o *Overlay) searched() (all []*pair, what string) {
	var fixed []*pair
	listed := false
	for i := range o.pairs {
		p := &o.pairs[i]
		if p.part.Rule == Free || o.blank[p.area] {
			continue
		}
		all = append(all, p)
		if p.part.Rule == Fixed {
			fixed = append(fixed, p)
			listed = listed || !p.area.Wired
		}
	}
	if listed {
		return fixed, "that must not differ"
	}
	return all, "that are on the tape"
}

// read tries the dump in every way, on a sample where it is large, and counts the best of each kind on all.
func (o *Overlay) read() {
	all, what := o.searched()
	o.Searched = what
	sample := all
	if len(all) > mostSample {
		sample = nil
		for i := range mostSample {
			sample = append(sample, all[i*len(all)/mostSample])
		}
	}
	asIs := trial{turning: turnings[0]}
	o.Readings = []Reading{{Name: "as it is", Alike: asIs.alike(o, all), Of: len(all)}}
	var others []Reading
	for _, kind := range o.trials(all) {
		best, most := -1, 0
		for i := range kind {
			if n := kind[i].alike(o, sample); n > most {
				best, most = i, n
			}
		}
		if best >= 0 {
			t := &kind[best]
			others = append(others, Reading{t.name(&o.Geometry), t.alike(o, all), len(all), t.bit != 0})
		}
	}
	if slip, ok := o.slip(all); ok {
		others = append(others, slip)
	}
	slices.SortStableFunc(others, func(a, b Reading) int { return b.Alike - a.Alike })
	o.Readings = append(o.Readings, others...)
}

// trials are the ways to read the dump other than as it is, in kinds: of each the best is told.
func (o *Overlay) trials(all []*pair) [][]trial {
	var kinds [][]trial
	for _, t := range turnings {
		if t.fits != nil && slices.ContainsFunc(all, func(p *pair) bool { return !t.fits(p.area.Width) }) {
			continue
		}
		for _, turned := range []bool{false, true} {
			straight, moved := trial{turning: t, inverted: turned}, []trial(nil)
			for s := 1; s <= mostShift; s++ {
				for _, way := range []int{s, -s} {
					t := straight
					t.shift = way
					moved = append(moved, t)
				}
			}
			if t.name != "" || turned {
				kinds = append(kinds, []trial{straight})
			}
			kinds = append(kinds, moved)
		}
	}
	var held []trial
	for b := range o.Geometry.AddrBits {
		bit := memory.Addr(1) << b
		held = append(held, trial{turning: turnings[0], bit: bit}, trial{turning: turnings[0], bit: bit, held: bit})
	}
	return append(kinds, held)
}

// slip finds the shift, and the address from which on it fits best: a word lost, or read twice, on the way moves all behind
// it and none before it.
func (o *Overlay) slip(all []*pair) (Reading, bool) {
	asIs := trial{turning: turnings[0]}
	var wrong []*pair // only these need another explanation
	for _, p := range all {
		if asIs.alike(o, []*pair{p}) == 0 && len(wrong) < mostSample {
			wrong = append(wrong, p)
		}
	}
	t, most := trial{}, 0
	for s := 1; s <= mostShift; s++ {
		for _, way := range []int{s, -s} {
			moved := trial{turning: turnings[0], shift: way}
			if n := moved.alike(o, wrong); n > most {
				t, most = moved, n
			}
		}
	}
	if most == 0 {
		return Reading{}, false
	}
	score := t.alike(o, all)
	best, at := score, 0
	for i, p := range all {
		score += asIs.alike(o, []*pair{p}) - t.alike(o, []*pair{p})
		if score > best {
			best, at = score, i+1
		}
	}
	if at == 0 || at == len(all) { // all of them, which is tried by itself, or none
		return Reading{}, false
	}
	return Reading{Name: t.name(&o.Geometry) + " from " + o.addr(all[at].addr) + " on", Alike: best, Of: len(all)}, true
}

// addr writes an address as the handbook does.
func (o *Overlay) addr(a memory.Addr) string { return o.Geometry.Style.Addr(a, o.Geometry.AddrBits) }
