package cli

import (
	"fmt"
	"slices"
	"strings"

	"coldstart/debug/watch"
	"coldstart/loader/splice"
	"coldstart/memory"
)

// A spliceTeller says in words what became of the blocks of a merge.
type spliceTeller struct {
	m      *splice.Merged
	order  []int             // indices of the passes, as they were named
	labels map[string]string // of each pass
}

// block puts one block into a report.
func (t *spliceTeller) block(b *splice.Block) spliceBlock {
	out := spliceBlock{
		Number: b.Number, Name: b.Name, Rule: b.Rule, How: t.how(b), Tried: b.Tried, Chance: b.Chance,
		Copies: []spliceCopy{}, Mixtures: []spliceMixture{}, Doubts: []spliceDoubt{}, Disputed: []spliceDoubt{}, Guesses: t.guesses(b),
	}
	out.Verdict = map[splice.State]watch.Verdict{splice.Settled: watch.Good, splice.Doubtful: watch.Undecided, splice.Lost: watch.Trouble, splice.Decided: watch.Undecided}[b.State].String()
	out.State = map[splice.State]string{splice.Settled: "settled", splice.Doubtful: "doubtful", splice.Lost: "lost", splice.Decided: "decided"}[b.State]
	out.plain = b.State == splice.Settled && len(b.Remarks) == 0
	for i, k := range t.order {
		c := b.Copies[k]
		state := c.State
		if c.Twice {
			state += "*"
		}
		out.cells = append(out.cells, state)
		out.plain = out.plain && c.State == "good" && !c.Twice && !c.Mended && c.Decode == ""
		copied := spliceCopy{Pass: fmt.Sprintf("p%d", i+1), State: c.State, Slips: []spliceSlip{}, Differ: c.Differ, Unread: c.Unread}
		for _, s := range c.Slips {
			copied.Slips = append(copied.Slips, spliceSlip(s))
		}
		out.Copies = append(out.Copies, copied)
	}
	for _, x := range b.Mixtures {
		out.Mixtures = append(out.Mixtures, spliceMixture{x.Name, x.Digest, x.Passes, x.Witnesses})
	}
	for _, d := range b.Doubts {
		out.Doubts = append(out.Doubts, t.doubt(b, d))
	}
	for _, d := range b.Disputed {
		out.Disputed = append(out.Disputed, t.doubt(b, d))
	}
	if b.Addressed {
		out.LoadsAt = t.address(b.Addr)
	}
	return out
}

// address writes a load address with the digits of a word, if it fits one.
func (t *spliceTeller) address(a uint64) string {
	if a>>t.m.Layout.Width() != 0 {
		return t.m.Layout.Style().Number(a)
	}
	return t.m.Layout.WordName(memory.Word(a))
}

// doubt puts a doubtful word into a report.
func (t *spliceTeller) doubt(b *splice.Block, d splice.Doubt) spliceDoubt {
	out := spliceDoubt{Word: d.Word, At: t.at(b, d.Word), Readings: []spliceReading{}}
	for _, r := range d.Readings {
		x := spliceReading{Word: t.m.Layout.WordName(r.Word), Passes: t.named(r.Passes), In: append([]string{}, r.In...)}
		out.Readings = append(out.Readings, x)
	}
	return out
}

// guesses says which single bits the check codes of the copies name.
func (t *spliceTeller) guesses(b *splice.Block) []string {
	all := []string{}
	for _, g := range b.Guesses {
		with := "with it the copy passes"
		if !g.Passes {
			with = "with it the code is right, and the copy does not pass all the same"
		}
		all = append(all, fmt.Sprintf("the check code of %s names bit %s of word %s, which would read %s; %s", t.labels[g.Pass],
			t.m.Layout.Style().Bit(g.Bit, t.m.Layout.Width()), t.at(b, g.Word), t.m.Layout.WordName(g.Reads), with))
	}
	return all
}

// at names a word of a block: those of the data by number, the others by where they are.
func (t *spliceTeller) at(b *splice.Block, word int) string {
	style := t.m.Layout.Style()
	switch {
	case word < 0:
		return style.Number(uint64(word+b.DataAt)) + " of the header"
	case word >= b.Count:
		return style.Number(uint64(word-b.Count)) + " behind the data"
	}
	digits := len(style.Number(uint64(max(0, b.Count-1))))
	return fmt.Sprintf("%0*s", digits, style.Number(uint64(word)))
}

// named gives the labels of passes, in their order.
func (t *spliceTeller) named(passes []string) []string {
	all := []string{}
	for _, p := range passes {
		all = append(all, t.labels[p])
	}
	slices.Sort(all)
	return all
}

// mostCopies is how many damaged copies of a block are told of.
const mostCopies = 4

// how says in a phrase or two how a block was merged.
func (t *spliceTeller) how(b *splice.Block) string {
	var all []string
	switch b.State {
	case splice.Settled:
		all = append(all, t.settled(b))
	case splice.Decided:
		all = append(all, t.settled(b)+", against the evidence")
	case splice.Doubtful:
		all = append(all, t.doubtful(b))
		if b.Taken != "" {
			all = append(all, b.Taken+" is taken, and that settles nothing")
		}
	default:
		all = append(all, t.lost(b))
	}
	all = append(all, b.Remarks...)
	said := 0
	for i, k := range t.order {
		of := t.copied(b, b.Copies[k])
		if of == "" {
			continue
		}
		if said++; said <= mostCopies {
			all = append(all, fmt.Sprintf("p%d %s", i+1, of))
		}
	}
	if said > mostCopies {
		all = append(all, fmt.Sprintf("and %d more, which --json lists", said-mostCopies))
	}
	return strings.Join(all, "; ")
}

// settled says what settled a block.
func (t *spliceTeller) settled(b *splice.Block) string {
	var whole, others []string
	for i, k := range t.order {
		label := fmt.Sprintf("p%d", i+1)
		if slices.Contains(b.Passed, k) {
			whole = append(whole, label)
		} else {
			others = append(others, label)
		}
	}
	switch {
	case b.Rule == "decision" && b.Taken != "":
		return "decided: " + b.Taken
	case b.Rule == "decision":
		return "decided"
	case b.Rule == "mixture":
		return fmt.Sprintf("the only mixture that passes (tried %d, by accident %s): %s", b.Tried, b.Chance, t.sources(b))
	case len(whole) == len(t.order):
		return "all alike, " + b.Rule + " right"
	case len(whole) > 3 && len(whole) > len(others):
		return "all but " + strings.Join(others, ", ") + " whole, " + b.Rule + " right"
	}
	return strings.Join(whole, ", ") + " whole, " + b.Rule + " right"
}

// sources says which passes gave the disputed words of a mixture.
func (t *spliceTeller) sources(b *splice.Block) string {
	var all []string
	for i := 0; i < len(b.Disputed); {
		d := b.Disputed[i]
		end := i + 1
		for end < len(b.Disputed) && slices.Equal(b.Disputed[end].Readings[0].Passes, d.Readings[0].Passes) && b.Disputed[end].Word == d.Word+end-i {
			end++
		}
		words := "word " + t.at(b, d.Word)
		if end > i+1 {
			words = fmt.Sprintf("words %s-%s", t.at(b, d.Word), t.at(b, b.Disputed[end-1].Word))
		}
		from := "as in no pass, but bit by bit"
		if passes := t.named(d.Readings[0].Passes); len(passes) > 0 {
			from = "as in " + strings.Join(passes, ", ")
		}
		all = append(all, words+" "+from)
		i = end
	}
	if len(all) == 0 {
		return "no word is disputed"
	}
	return strings.Join(short(all), "; ")
}

// doubtful says what is open about a block.
func (t *spliceTeller) doubtful(b *splice.Block) string {
	words := t.words(b, b.Doubts)
	chosen, others := t.between(b)
	besides := ""
	if len(others) > 0 {
		besides = "; in doubt besides, since copies differ there: " + t.words(b, others)
	}
	passing := 0
	var readings []string
	for _, x := range b.Mixtures {
		if x.Passes {
			passing++
		}
		readings = append(readings, x.Name+" "+x.Digest)
	}
	likeliest := ""
	if len(readings) > 0 && passing == 0 {
		likeliest = "; the likeliest reading is " + readings[0]
	}
	switch {
	case passing > 1:
		return fmt.Sprintf("%d readings pass: %s differ (%s)%s", passing, t.words(b, chosen), strings.Join(short(readings[:passing]), ", "), besides)
	case passing == 1 && !b.Mixtures[0].Passes:
		return fmt.Sprintf("no mixture of the copies that are not blank passes (%s), and the blank one does (%s)", readings[0], readings[slices.IndexFunc(b.Mixtures, func(x splice.Mixture) bool { return x.Passes })])
	case passing == 1 && len(b.Passed) > 0:
		return fmt.Sprintf("a whole copy passes, but %s are not beyond doubt (%s)", words, readings[0])
	case passing == 1 && b.Cut:
		return fmt.Sprintf("one mixture passes (%s), and not all were tried: the bound is %d", readings[0], t.m.Bounds.Mixtures)
	case passing == 1:
		return fmt.Sprintf("one mixture of %d passes (%s), by accident %s: that proves nothing", b.Tried, readings[0], b.Chance)
	case b.Cut:
		return fmt.Sprintf("no mixture of the %d tried passes, the most that are%s", b.Tried, likeliest)
	case b.Tried > 1:
		return fmt.Sprintf("no mixture of the %d there are passes%s", b.Tried, likeliest)
	case b.Tried == 1:
		return "no two copies differ, and they do not pass: agreement is no proof" + likeliest
	}
	return "nothing is recorded that would prove it" + likeliest
}

// between parts the doubtful words of a block: those in which the readings that pass differ, and those in which only the
// copies do.
func (t *spliceTeller) between(b *splice.Block) (chosen, others []splice.Doubt) {
	for _, d := range b.Doubts {
		in := 0
		for _, r := range d.Readings {
			if len(r.In) > 0 {
				in++
			}
		}
		switch {
		case in > 1:
			chosen = append(chosen, d)
		case len(d.Readings) > 1:
			others = append(others, d)
		}
	}
	return chosen, others
}

// words names doubtful words of a block.
func (t *spliceTeller) words(b *splice.Block, doubts []splice.Doubt) string {
	var all []string
	for _, d := range doubts {
		all = append(all, t.at(b, d.Word))
	}
	if len(all) == 1 {
		return "word " + all[0]
	}
	if len(all) > 8 {
		return fmt.Sprintf("%d words", len(all))
	}
	return "words " + strings.Join(all, ", ")
}

// lost says what is missing of a block.
func (t *spliceTeller) lost(b *splice.Block) string {
	s := "in no pass; nothing is put in its place"
	if slices.ContainsFunc(b.Copies, func(c splice.Copy) bool { return c.State != "lost" }) {
		s = "whole in no pass, nor in all together"
	}
	if b.Addressed {
		s += fmt.Sprintf("; its neighbours leave %s at %s", amount(b.Count, "word"), t.address(b.Addr))
	}
	return s
}

// copied says what is wrong with a copy that is not good.
func (t *spliceTeller) copied(b *splice.Block, c splice.Copy) string {
	var all []string
	for i, s := range c.Slips {
		if i == 3 {
			all = append(all, fmt.Sprintf("and %d more slips", len(c.Slips)-i))
			break
		}
		did, n, unit := "lost", -s.Bits, "bit"
		if s.Bits > 0 {
			did, n = "gained", s.Bits
		}
		if width := t.m.Layout.Width(); n%width == 0 {
			n, unit = n/width, "word"
		}
		all = append(all, fmt.Sprintf("slip: %s %s, shifted from word %s", did, amount(n, unit), t.at(b, s.Word)))
	}
	switch {
	case c.Other:
		all = append(all, fmt.Sprintf("holds other content: %s otherwise", amount(c.Differ, "word")))
	case b.State == splice.Settled && c.Differ > 0:
		all = append(all, amount(c.Differ, "word")+" otherwise")
	case b.State == splice.Settled && len(c.Slips) > 0:
		all = append(all, "moved back it agrees")
	}
	if b.State == splice.Settled && c.Unread > 0 && len(c.Slips) == 0 {
		all = append(all, amount(c.Unread, "word")+" missing")
	}
	if c.Decode != "" {
		all = append(all, "as decoded in "+c.Decode)
	}
	if c.Mended {
		all = append(all, "its mark, wrong in a few bits, is put right")
	}
	if c.Twice {
		all = append(all, "holds it more than once")
	}
	return strings.Join(all, ", ")
}
