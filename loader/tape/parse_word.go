package tape

import (
	"go/token"
	"slices"
	"strconv"
	"strings"

	"coldstart/loader/list"
)

// mostRules is the most parities of a word: more cannot say anything new, and each word is held against all.
const mostRules = 64

// bits reads "reversed", "low first", or both.
func (p *parser) bits(s *list.Settings) {
	if s.Peek().Text == "reversed" {
		s.Name("reversed")
		p.l.packing.turned = true
		if !s.More() {
			return
		}
	}
	switch s.Name("reversed", "low", "high") { // reversed is known, so that it is the nearest of a slip
	case 0:
		s.Wrong("%q stands here a second time; take one out", "reversed")
	case 1:
		p.l.packing.lowBit = true
		s.Name("first")
	case 2:
		s.Name("first")
	}
}

// choose reads the records about single bits of a recorded word.
func (p *parser) choose(r list.Record) {
	s := p.settings(r)
	switch r.Name() {
	case "store":
		s.Name("bits")
		p.l.store = p.spans(s)
	case "parity":
		rule := parity{odd: s.Name("even", "odd") == 1, makes: -1}
		s.Name("over")
		named := p.spans(s)
		for _, span := range named {
			rule.mask |= span.mask()
		}
		if len(p.rules) == mostRules {
			p.errs.Add(r.Pos, "more than %d parities; a recorded word has no more bits than that", mostRules)
		}
		p.l.parity = append(p.l.parity, rule)
		p.rules = append(p.rules, ruled{named, r.Pos})
	}
}

// A ruled is the record of a parity: the bits in the order named, and where it stands.
type ruled struct {
	named []span
	pos   token.Position
}

// spans reads bits of a recorded word, such as "19 17-9": single ones and runs from the left to the right.
func (p *parser) spans(s *list.Settings) []span {
	var all []span
	for first := true; first && s.OK() || s.More(); first = false {
		w, ok := s.Next("a bit, or bits such as 17-9")
		if !ok {
			return nil
		}
		high, low, run := strings.Cut(w.Text, "-")
		if !run {
			low = high
		}
		h, errHigh := strconv.ParseUint(high, 10, 16)
		l, errLow := strconv.ParseUint(low, 10, 16)
		is := span{int(h), int(l)}
		switch {
		case errHigh != nil || errLow != nil:
			s.Wrong("%q is no bit; write one as 17, a run of them as 17-9, in decimal, from 0 at the right", w.Text)
		case is.high >= p.l.width || is.low >= p.l.width:
			s.Wrong("%s is beyond a recorded word, which has the bits %d-0", w.Text, p.l.width-1)
		case is.high < is.low:
			s.Wrong("%s runs from the right to the left; write %d-%d", w.Text, is.low, is.high)
		case is.meets(all):
			s.Wrong("%s names a bit a second time", w.Text)
		default:
			all = append(all, is)
		}
	}
	return all
}

// meets says whether the span has a bit that one of those given has.
func (s span) meets(others []span) bool {
	return slices.ContainsFunc(others, func(o span) bool { return s.mask()&o.mask() != 0 })
}
