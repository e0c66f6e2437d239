package vouch

import (
	"fmt"
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/debug/bringup"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A Readback is what a drive would serve, held against the recording that was vouched for.
type Readback struct {
	Blocks int          `json:"blocks"` // served
	Words  int          `json:"words"`  // the machine would get, heads and sums included
	First  cpu.Time     `json:"first_word_ps"`
	Last   cpu.Time     `json:"last_word_ps"`
	Gaps   []Gap        `json:"gaps"` // by length, the commonest first
	Differ []Difference `json:"differences"`
	Hint   string       `json:"hint,omitempty"` // what all altered words have in common

	Blockless bool `json:"blockless"` // nothing that is served reads as a block
}

// A Gap is a length of gap between two blocks, and how often it comes.
type Gap struct {
	Length cpu.Time `json:"length_ps"`
	Count  int      `json:"count"`
}

// A Difference is one way in which a block that is served is not the block that was vouched for.
type Difference struct {
	Block string    `json:"block"` // its number as the layout writes it
	Text  string    `json:"text"`
	Words []Altered `json:"words,omitempty"` // where words of it are others
}

// An Altered is a word that is served otherwise.
type Altered struct {
	Word    string `json:"word"` // its number in the data, in the machine's style; or what of the block it is
	Address string `json:"address,omitempty"`
	Vouched string `json:"vouched"`
	Served  string `json:"served"`

	bits memory.Word // in which the two differ
}

// Compare holds what a drive would serve against the recording seated on the same channel, block by block and in the times
// of that drive. The drive is asked, not the file: it gives what the machine would get.
func Compare(o *bringup.Office, seated bringup.Tape, served *tape.Recording) (*Readback, error) {
	half, err := o.Half("A", 1)
	if err != nil {
		return nil, err
	}
	drive, ok := half.Rack.Device(seated.Channel.Code).(*channel.Drive)
	if !ok {
		return nil, fmt.Errorf("no tape drive stands on %s; give it a `device %s tape` line", seated.Channel.Name, seated.Channel.Name)
	}
	c := comparer{office: o, layout: served.Layout, Readback: &Readback{Gaps: []Gap{}, Differ: []Difference{}}}
	vouched := play(drive, seated.Recording)
	c.served = play(drive, served)
	for _, p := range c.served {
		c.Words += len(p.words)
		c.Blocks++
		c.Last = p.last
	}
	if c.Blocks > 0 {
		c.First = c.served[0].first
	}
	c.gaps()
	c.blocks(vouched)
	c.common()
	return c.Readback, nil
}

// A passage is a block as a drive gives it.
type passage struct {
	block       *tape.Block
	words       []memory.Word
	first, last cpu.Time
	gap         cpu.Time // from the last word of the block before
	used        bool     // it has been held against a block vouched for
}

// play lets a drive give a whole recording to a program that stands by. Places that hold nothing only make a gap longer.
func play(d *channel.Drive, rec *tape.Recording) []*passage {
	d.Seat(rec)
	var all []*passage
	at := -1
	var p *passage
	for now, reply := range d.Play() {
		for p == nil || len(p.words) == len(rec.Words(at)) {
			for at++; len(rec.Words(at)) == 0; at++ {
			}
			last := cpu.Time(0)
			if p != nil {
				last = p.last
			}
			p = &passage{block: rec.Blocks[at], first: now, gap: now - last}
			all = append(all, p)
		}
		p.words, p.last = append(p.words, reply.Word), now
	}
	return all
}

// What a Difference has in place of the number of a block, of what has none.
const (
	FileMark = "file mark"
	NoBlock  = "no block"
)

// name is what a passage goes by.
func (p *passage) name() string {
	switch {
	case p.block.FileMark:
		return FileMark
	case p.block.Rubbish():
		return NoBlock
	}
	return p.block.Name
}

// like tells whether a passage is the one to hold against another: of one number, or alike no block.
func (p *passage) like(o *passage) bool {
	return p.block.FileMark == o.block.FileMark && p.block.Rubbish() == o.block.Rubbish() && (p.block.FileMark || p.block.Rubbish() || p.block.Number == o.block.Number)
}

// A comparer is a comparison at work.
type comparer struct {
	*Readback
	office *bringup.Office
	layout *tape.Layout
	served []*passage
}

// gaps counts the gaps by their length.
func (c comparer) gaps() {
	for i, p := range c.served {
		if i == 0 {
			continue
		}
		at := slices.IndexFunc(c.Gaps, func(g Gap) bool { return g.Length == p.gap })
		if at < 0 {
			at = len(c.Gaps)
			c.Readback.Gaps = append(c.Gaps, Gap{Length: p.gap})
		}
		c.Gaps[at].Count++
	}
	slices.SortStableFunc(c.Gaps, func(a, b Gap) int { return b.Count - a.Count })
}

// blocks compares every block vouched for with the one of its number, in the order vouched for.
func (c comparer) blocks(vouched []*passage) {
	places := make([]int, len(vouched)) // of each among those served; -1 for one that is missing
	for i, v := range vouched {
		places[i] = slices.IndexFunc(c.served, func(s *passage) bool { return !s.used && s.like(v) })
		if places[i] >= 0 {
			c.served[places[i]].used = true
		}
	}
	kept := rising(places)
	for i, v := range vouched {
		at := places[i]
		if at < 0 {
			c.differ(v, nil, "missing: it is not served")
			continue
		}
		s := c.served[at]
		switch {
		case !kept[i] && at == 0:
			c.differ(v, nil, "out of order: it comes first")
		case !kept[i] && (c.served[at-1].block.Rubbish() || c.served[at-1].block.FileMark):
			c.differ(v, nil, "out of order: it comes behind what has no number")
		case !kept[i]:
			c.differ(v, nil, "out of order: it comes behind block "+c.served[at-1].name())
		case i > 0 && at > 0 && s.gap != v.gap:
			c.differ(v, nil, fmt.Sprintf("the gap before it takes %v, vouched %v", s.gap, v.gap))
		}
		c.words(v, s)
	}
	for i, s := range c.served {
		said := slices.ContainsFunc(c.served[:i], func(o *passage) bool { return !o.used && !o.block.Rubbish() && o.like(s) })
		if !s.used && !said {
			c.differ(s, nil, c.extra(s, vouched))
		}
	}
	if len(c.served) > 0 && !slices.ContainsFunc(c.served, func(s *passage) bool { return !s.block.Rubbish() && !s.block.FileMark }) {
		c.Hint, c.Blockless = "nothing in it reads as a block", true
	}
}

// extra says of something served that it should not be there.
func (c comparer) extra(s *passage, vouched []*passage) string {
	count := func(all []*passage) (n int) {
		for _, o := range all {
			if s.like(o) {
				n++
			}
		}
		return n
	}
	switch had := count(vouched); {
	case s.block.Rubbish() && !slices.ContainsFunc(s.words, func(w memory.Word) bool { return w != 0 }):
		return "served, all zeros, and not vouched for"
	case had > 0 && !s.block.Rubbish():
		return fmt.Sprintf("served %s, and vouched for %s", times(count(c.served)), times(had))
	}
	return "served, and not vouched for"
}

// times says how often.
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// rising tells which places belong to the longest run of them that rises: the fewest others are out of order. Places below 0
// count for none.
func rising(places []int) []bool {
	var ends []int // the index of the lowest place that ends a run of each length
	before := make([]int, len(places))
	for i, p := range places {
		if p < 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(ends, p, func(i, p int) int { return places[i] - p })
		before[i] = -1
		if at > 0 {
			before[i] = ends[at-1]
		}
		if at == len(ends) {
			ends = append(ends, i)
		} else {
			ends[at] = i
		}
	}
	in := make([]bool, len(places))
	if len(ends) > 0 {
		for i := ends[len(ends)-1]; i >= 0; i = before[i] {
			in[i] = true
		}
	}
	return in
}

// words compares the words of two blocks of one number.
func (c comparer) words(v, s *passage) {
	if len(s.words) != len(v.words) {
		c.differ(v, nil, fmt.Sprintf("%d words of it are served, heads and sums included, and %d were vouched for%s", len(s.words), len(v.words), reason(s)))
		return
	}
	var all []Altered
	for k := range v.words {
		if s.words[k] != v.words[k] {
			all = append(all, c.altered(v.block, k, v.words[k], s.words[k]))
		}
	}
	if len(all) > 0 {
		are := "are others"
		if len(all) == 1 {
			are = "is another"
		}
		c.differ(v, all, fmt.Sprintf("%d of its %d words %s%s", len(all), len(v.words), are, reason(s)))
	}
}

// reason is what the block served says of itself.
func reason(s *passage) string {
	if s.block.Good() {
		return "; by itself it reads well"
	}
	return "; by itself: " + s.block.Reason()
}

// altered names word k of a block, and what it is in both.
func (c comparer) altered(b *tape.Block, k int, vouched, served memory.Word) Altered {
	g := &c.office.Code.Geometry
	a := Altered{Word: c.layout.PartAt(k, len(b.Raw)), Vouched: c.layout.WordName(vouched), Served: c.layout.WordName(served), bits: vouched ^ served}
	if i := b.Origin(k).Word; i >= 0 {
		a.Word = g.Style.Number(uint64(i))
		if b.Addressed {
			a.Address = g.Style.Addr(b.Addr+memory.Addr(i), g.AddrBits)
		}
	}
	return a
}

// differ notes a difference.
func (c comparer) differ(p *passage, words []Altered, text string) {
	c.Readback.Differ = append(c.Differ, Difference{Block: p.name(), Text: list.Safe(text), Words: words})
}

// fewest is how many altered words it takes before what they have in common is worth a word.
const fewest = 4

// common says what the differences have in common: one bit alone is lost on the way, all bits turned are a matter of sense,
// and hardly a block alike is another tape.
func (c comparer) common() {
	n, turned, blocks, bits := 0, 0, 0, memory.Word(0)
	for _, d := range c.Differ {
		for _, a := range d.Words {
			n, bits = n+1, bits|a.bits
			if a.bits == memory.Mask(c.layout.Width()) {
				turned++
			}
		}
		if len(d.Words) > 0 {
			blocks++
		}
	}
	switch {
	case n >= fewest && turned == n:
		c.Hint = fmt.Sprintf("all %d altered words are the complements of those vouched for: look at the sense in which it was written or read back", n)
	case n >= fewest && bits&(bits-1) == 0:
		place := 0
		for bits>>place > 1 {
			place++
		}
		c.Hint = fmt.Sprintf("all %d altered words differ in bit %s alone: look at the way from the drive before the recording",
			n, c.office.Code.Geometry.Style.Bit(place, c.layout.Width()))
	case blocks > 1 && 2*blocks > c.Blocks:
		c.Hint = fmt.Sprintf("%d of %d blocks are others: see which tape is in the drive, for the original must not be", blocks, c.Blocks)
	}
}
