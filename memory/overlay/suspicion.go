package overlay

import (
	"fmt"
	"strings"

	"coldstart/memory"
)

// A Suspicion is a reason to look at the way a dump was taken before anything is blamed on the store.
type Suspicion struct {
	Text   string // what was seen, with its counts
	Look   string // where to look; "" where nothing needs be
	Settle string // the cheapest test; "" where there is none
	As     string // the Name of the Reading that undoes it, for Dump.As; "" where none does
	First  bool   // nothing of the dump says anything of the store until this is settled; else the dump only says less than it might
}

// First tells whether the way the dump was taken must be settled before anything is blamed on the store.
func (o *Overlay) First() bool {
	for _, s := range o.Suspicions {
		if s.First {
			return true
		}
	}
	return false
}

// suspect looks for all that speaks against the dump. The order matters: what is explained by one is not laid to the next.
func (o *Overlay) suspect() {
	o.short()
	o.silent()
	o.alikeEverywhere()
	o.read()
	o.turned()
	o.noParity()
	o.restarted()
}

// say adds a suspicion.
func (o *Overlay) say(s Suspicion) { o.Suspicions = append(o.Suspicions, s) }

// short tells of words that the dump lacks, in plug-ins of which it has some.
func (o *Overlay) short() {
	var gaps []string
	var without []string
	missing := 0
	for area := range o.areas() {
		lacks, has := o.lacks(area)
		switch {
		case has == 0:
			without = append(without, area.Name)
		case len(lacks) > 0:
			for _, s := range lacks {
				missing += s.words
				gaps = append(gaps, o.span(s.first, s.last))
			}
		}
	}
	if missing > 0 {
		o.say(Suspicion{
			Text: fmt.Sprintf("wrong length: the dump has %d words of plug-ins that hold %d; not in it: %s", o.Words, o.Words+missing, some(gaps)),
			Look: "the dump, which is not whole: " + some(gaps), Settle: "take the dump again, and see whether it ends where the store does",
		})
	}
	if len(without) > 0 {
		o.say(Suspicion{Text: "no word in the dump of " + strings.Join(without, ", ")})
	}
}

// A lack is a run of words that a dump does not have.
type lack struct {
	first, last memory.Addr
	words       int
}

// lacks are the words of a plug-in that the dump does not have, and how many it has.
func (o *Overlay) lacks(area *memory.Area) (all []lack, has int) {
	one := o.Geometry
	one.Areas = []memory.Area{*area}
	before := false
	for _, a := range words(&one) {
		_, _, ok := o.dump.Words.At(a)
		switch {
		case ok:
			has++
		case before || len(all) == 0:
			all = append(all, lack{a, a, 1})
		default:
			all[len(all)-1].last = a
			all[len(all)-1].words++
		}
		before = ok
	}
	return all, has
}

// silent finds plug-ins of which all words are alike in the dump: nothing answered there.
func (o *Overlay) silent() {
	type seen struct {
		words, differ int
		word          memory.Word
		unlike        bool
	}
	all := map[*memory.Area]*seen{}
	for i := range o.pairs {
		p := &o.pairs[i]
		s := all[p.area]
		if s == nil {
			s = &seen{word: p.dump}
			all[p.area] = s
		}
		s.words++
		s.unlike = s.unlike || p.dump != s.word
		if p.dump != p.tape {
			s.differ++
		}
	}
	for area := range o.areas() {
		s := all[area]
		if s == nil || s.unlike || s.words < 2 || 2*s.differ < s.words {
			continue
		}
		o.blank[area] = true
		o.say(Suspicion{
			Text: fmt.Sprintf("%s: all %d words that are on the tape are %s in the dump: nothing of it was read, so it is left out of what follows", area.Name, s.words, o.Geometry.Style.Word(s.word, area.Width)),
			Look: area.Name + ", its select, and how it was read", Settle: "read one word of " + area.Name + " another way, and one of its neighbour",
		})
	}
}

// alikeEverywhere finds bits that are alike in every word of the dump. One plug-in alone cannot tell: there it may be a chip.
func (o *Overlay) alikeEverywhere() {
	ones, zeros := ^memory.Word(0), ^memory.Word(0)
	var tapeOnes, tapeZeros memory.Word
	plugIns := map[*memory.Area]bool{}
	n, width := 0, o.Geometry.Width
	for area, a := range words(&o.Geometry) {
		if w, _, ok := o.dump.Words.At(a); ok && !o.blank[area] {
			ones, zeros = ones&w, zeros&^w
			plugIns[area] = true
			n++
			width = min(width, area.Width)
		}
	}
	all, what := o.searched()
	for _, p := range all {
		tapeOnes, tapeZeros = tapeOnes|p.tape, tapeZeros|^p.tape
	}
	for c := range width {
		bit := memory.Word(1) << c
		if n < 2 || (ones|zeros)&tapeOnes&tapeZeros&bit == 0 || len(plugIns) < 2 {
			continue
		}
		o.PathBits |= bit
		value, other := 0, 0
		if ones&bit != 0 {
			value = 1
		}
		for _, p := range all {
			if int(p.tape>>c&1) != value {
				other++
			}
		}
		name := "bit " + o.Geometry.Style.Bit(c, o.Geometry.Width)
		o.say(Suspicion{
			Text: fmt.Sprintf("%s is %d in all %d words of the dump, at every address; on the tape it is %d in %d of %d %s: the dump path, or the data line, and no chip of the store",
				name, value, n, 1-value, other, len(all), what),
			Look: name + " of the dump path, before the store", Settle: "read one word in which " + name + " is " + fmt.Sprint(1-value) + " with another lead or on another line",
			First: true,
		})
	}
}

// The least that another reading must explain to be suspected.
const fewDiffer = 4

// turned tells of a way to read the dump that fits better than as it is.
func (o *Overlay) turned() {
	asIs := o.Readings[0]
	wrong := asIs.Of - asIs.Alike
	if wrong < fewDiffer {
		return
	}
	if len(o.Readings) > 1 {
		best := o.Readings[1]
		if gain := best.Alike - asIs.Alike; gain >= fewDiffer && 2*gain >= wrong {
			s := Suspicion{
				Text: fmt.Sprintf("%s: read so, %d of %d words %s are as on the tape; as it is, %d. The file is not changed", best.Name, best.Alike, best.Of, o.Searched, asIs.Alike),
				Look: "how the dump was taken, before the store: " + best.Name, Settle: o.three(),
				As:    best.Name,
				First: true,
			}
			if best.Line {
				s.As = ""
				s.Look = best.Name + ": that line, of the store or of what read it"
				s.Settle = "read one word at each value of this address bit, one by one"
			}
			o.say(s)
			return
		}
	}
	if 2*asIs.Alike < asIs.Of {
		o.say(Suspicion{
			Text: fmt.Sprintf("only %d of %d words %s are as on the tape, and no other way of reading the dump that was tried explains half of the rest", asIs.Alike, asIs.Of, o.Searched),
			Look: "whether it is a dump of this machine with this tape", Settle: o.three(),
			First: true,
		})
	}
}

// three names words to be read again by hand: the first, the middle and the last that are not as on the tape.
func (o *Overlay) three() string {
	var wrong []*pair
	all, _ := o.searched()
	for _, p := range all {
		if p.tape != p.dump {
			wrong = append(wrong, p)
		}
	}
	var said []string
	for _, p := range []*pair{wrong[0], wrong[len(wrong)/2], wrong[len(wrong)-1]} {
		said = append(said, fmt.Sprintf("%s (tape %s, dump %s)", o.addr(p.addr), o.Geometry.Style.Word(p.tape, p.area.Width), o.Geometry.Style.Word(p.dump, p.area.Width)))
	}
	return "read one by one " + strings.Join(said, ", ")
}

// noParity tells of a dump without parity, or with parity that is none.
func (o *Overlay) noParity() {
	has := 0
	for area := range o.areas() {
		has += len(area.Parity)
	}
	switch {
	case has == 0:
	case o.ParityRead == 0:
		o.say(Suspicion{Text: "no parity in the dump: it cannot tell what went bad in the store from what was wrong before it was stored; what follows is the weaker for it",
			Settle: "take the parity columns down too, at least those of the words that differ"})
	case !o.ParityUsed():
		o.say(Suspicion{Text: fmt.Sprintf("parity is right in only %d of %d words that are as on the tape: its columns are not what the machine file says, exchanged or with the other sense, so it is not used", o.alikeRight, o.alikeRead),
			Look: "the parity columns of the dump", Settle: "compare the parity of three words of the dump with the machine file's rule"})
	}
}

// restarted suspects that the store was loaded again before it was dumped: next to nothing of what was loaded differs, and
// store that a machine at work writes all over is clear. A cell that is stuck differs then as before.
func (o *Overlay) restarted() {
	const plenty, nearly = 16, 64
	differ, compared := 0, 0
	for _, t := range o.Tallies {
		if t.Rule != Free {
			differ, compared = differ+t.Differ, compared+t.Compared
		}
	}
	free := o.free
	if len(free) == 0 {
		free = o.spare
	}
	words, most, word := 0, 0, memory.Word(0)
	for w, n := range free {
		words += n
		if n > most || n == most && w < word {
			most, word = n, w
		}
	}
	if differ*nearly > compared || compared == 0 || words < plenty || most*nearly < words*(nearly-1) {
		return
	}
	o.say(Suspicion{
		Text: fmt.Sprintf("%d of %d words compared are as on the tape, and %d of %d words of working store are %s: it may have been taken after a restart attempt, which loads the one and clears the other; what stopped the machine may be gone from it",
			compared-differ, compared, most, words, o.Geometry.Style.Word(word, o.Geometry.Width)),
		Look: "what was done between the stop and the dump", Settle: "ask whoever took it whether a restart had been tried",
	})
}

// span writes a run of addresses.
func (o *Overlay) span(first, last memory.Addr) string {
	if first == last {
		return o.addr(first)
	}
	return o.addr(first) + "-" + o.addr(last)
}

// some names the first few of many.
func some(all []string) string {
	const few = 6
	if len(all) > few {
		return strings.Join(all[:few], ", ") + fmt.Sprintf(" and %d more", len(all)-few)
	}
	return strings.Join(all, ", ")
}
