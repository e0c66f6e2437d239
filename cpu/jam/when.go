package jam

import (
	"math"
	"slices"
	"strconv"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A when is the time that a jam is in force; the zero when is from the start on.
type when struct {
	order       int64 // from this order on, counted from 1; 0: not so
	touched     bool  // during orders that touch an address from first to last, from the moment that they do
	first, last memory.Addr
	from, to    string // between these milestones; to may be missing
}

// timing reads when the jam is in force, which stands last, and gives the words before it.
func (p *parser) timing(words []string) []string {
	i := max(lastIndex(words, "from"), lastIndex(words, "while"))
	if i < 0 {
		return words
	}
	said := words[i:]
	switch {
	case len(said) == 2 && said[0] == "while":
		p.touching(said[1])
	case slices.Equal(said, []string{"from", "the", "start"}):
	case len(said) == 3 && said[1] == "order":
		n, err := strconv.ParseInt(said[2], 10, 64)
		if err != nil || n < 1 || n == math.MaxInt64 {
			p.fail("%s is the number of no order: they are counted from 1, in decimal", shown(said[2]))
		}
		p.when.order = n
	case len(said) == 3 && said[1] == "milestone":
		p.between(said[2], "")
	case len(said) == 6 && said[1] == "milestone" && said[3] == "to" && said[4] == "milestone":
		p.between(said[2], said[5])
	default:
		p.fail("%s", "when it is in force is written `from order NUMBER`, `while ADDRESS-ADDRESS`, `from milestone NAME` or `from milestone NAME to milestone NAME`")
	}
	return words[:i]
}

// lastIndex is where a word stands last, -1 where it does not.
func lastIndex(words []string, word string) int {
	for i := len(words) - 1; i >= 0; i-- {
		if words[i] == word {
			return i
		}
	}
	return -1
}

// touching reads the range of `while ADDRESS-ADDRESS`. One that holds no word and no channel is never touched.
func (p *parser) touching(text string) {
	first, last, ok := p.span(text)
	switch {
	case !ok:
	case first > last:
		p.fail("no address lies from %s to %s: the smaller one comes first", p.addr(first), p.addr(last))
	case !p.answers(first, last):
		p.fail("nothing answers from %s to %s, so that is never touched: store is %s", p.addr(first), p.addr(last), p.ranges())
	}
	p.when = when{touched: true, first: first, last: last}
}

// answers tells whether a word of store or a channel stands in a range.
func (p *parser) answers(first, last memory.Addr) bool {
	for _, a := range p.g.Areas {
		if a.First <= last && first <= a.Last {
			return true
		}
	}
	for _, ch := range p.code.Channels {
		if ch.At != nil && *ch.At <= last && first < *ch.At+memory.Addr((2+ch.Signs)*p.g.Step()) {
			return true
		}
	}
	return false
}

// between reads milestones. Their list has them in the order that they are met: an end listed first would end it before it
// began.
func (p *parser) between(from, to string) {
	i := p.milestone(from)
	p.when = when{from: from, to: to}
	if to == "" || p.err != nil {
		return
	}
	if j := p.milestone(to); p.err == nil && j <= i {
		p.fail("milestone %s is not met after %s, so that never comes: the list has it before", shown(to), shown(from))
	}
}

// milestone is where the list has one.
func (p *parser) milestone(name string) int {
	i := slices.Index(p.milestones, name)
	switch {
	case i >= 0:
	case len(p.milestones) == 0:
		p.fail("nothing lists milestones here, so that none is ever met: the office's chase list has them")
	default:
		p.fail("%s", list.Unknown("milestone", name, p.milestones))
	}
	return i
}

// says writes when the jam is in force, as what follows its place.
func (w when) says(p *parser) string {
	switch {
	case w.order > 0:
		return ", from order " + strconv.FormatInt(w.order, 10)
	case w.touched:
		return ", while " + p.addr(w.first) + "-" + p.addr(w.last)
	case w.to != "":
		return ", from milestone " + w.from + " to milestone " + w.to
	case w.from != "":
		return ", from milestone " + w.from
	}
	return ""
}

// odds reads `1 in N, seed S`, which stands last of all, and gives the words before it.
func (p *parser) odds(words []string) []string {
	i := lastIndex(words, "in")
	if i < 1 || words[i-1] != "1" {
		return words
	}
	said, seed := words[i+1:], uint64(1)
	if len(said) != 1 && (len(said) != 3 || said[1] != "seed") {
		p.fail("%s", "how often it acts is written `1 in NUMBER, seed NUMBER`")
		return words
	}
	n, err := strconv.ParseUint(said[0], 10, 32)
	if err != nil || n < 2 {
		p.fail("1 in %s is not now and then: write a decimal number from 2 to 4294967295", shown(said[0]))
	}
	if len(said) == 3 {
		if seed, err = strconv.ParseUint(said[2], 10, 64); err != nil {
			p.fail("%s is no seed: write a decimal number", shown(said[2]))
		}
	}
	p.chance = cpu.Chance{OneIn: n, Seed: seed}
	return words[:i-1]
}
