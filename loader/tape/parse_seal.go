package tape

import (
	"math/bits"
	"strconv"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// sum reads how a sum is made: "16 bits add end-around complemented 2 words high first over bytes of number data", most of
// which may be left out.
func (p *parser) sum(s *list.Settings) {
	sum := part{kind: sumPart, words: 1}
	stated := counts(s)
	if stated {
		sum.sum.width = s.Count("the width of the sum", 1, 64)
		s.Name("bits", "bit")
	}
	if s.Name("add", "exclusive-or") == 1 {
		sum.sum.mode = exclusiveOr
	}
	p.made(s, &sum)
	if s.Peek().Text == "bytes" {
		s.Name("bytes")
		s.Name("of")
		sum.sum.bytes = true
	}
	kinds := []kind{markPart, numberPart, addressPart, countPart, sparePart, dataPart}
	sum.over = parts(s, kinds)
	if !stated {
		sum.sum.width = min(64, sum.words*p.l.StoreWidth())
	}
	if s.OK() && sum.sum.width > sum.words*p.l.StoreWidth() {
		s.Wrong("a sum of %d bits does not fit %d words of %d; add how many it takes, such as `2 words high first`, before `over`",
			sum.sum.width, sum.words, p.l.StoreWidth())
	}
	p.add(sum)
}

// made reads what may stand between the way of adding up and the parts, up to `over`.
func (p *parser) made(s *list.Settings, sum *part) {
	for s.OK() {
		if counts(s) {
			sum.long(s)
			continue
		}
		switch s.Name("over", "end-around", "complemented", "negated") {
		case 0:
			return
		case 1:
			if sum.sum.mode == exclusiveOr {
				s.Wrong("exclusive-or has no carries to add in; take it out")
			}
			sum.sum.mode = addEndAround
		case 2:
			sum.sum.turning = complemented
		case 3:
			sum.sum.turning = negated
		}
		if sum.sum.turning == negated && sum.sum.mode != add {
			s.Wrong("only a plain `add` can be negated; around the end, the negative is `complemented`")
		}
	}
}

// counts says whether a decimal number comes next.
func counts(s *list.Settings) bool {
	_, err := strconv.Atoi(s.Peek().Text)
	return err == nil
}

// parts reads the names of parts up to the end of the record.
func parts(s *list.Settings, kinds []kind) []kind {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k)
	}
	var over []kind
	for s.More() {
		if i := s.Name(names...); i >= 0 {
			over = append(over, kinds[i])
		}
	}
	return over
}

// check reads a check code: "16 bits 8005 start 0000 in straight out straight final 0000 over data". All six parameters
// must be there, for there is no name of a code that says the same to everybody; how many words hold it may be left out.
func (p *parser) check(s *list.Settings) {
	c := &code{}
	check := part{kind: checkPart, code: c}
	c.bits = s.Count("the width of the code", 8, 64)
	c.ones = uint64(memory.Mask(c.bits))
	s.Name("bits")
	c.poly = p.hex(s, c, "the polynomial without its highest term")
	if s.OK() && c.poly&1 == 0 {
		s.Wrong("a polynomial ends in the term 1, so that its last digit is odd; turned end for end this one is %s",
			hexName(bits.Reverse64(c.poly)>>(64-c.bits), c.bits))
	}
	c.start = p.parameter(s, c, "start")
	c.in = p.reflected(s, "in")
	c.out = p.reflected(s, "out")
	c.final = p.parameter(s, c, "final")
	if check.words = (c.bits + p.l.StoreWidth() - 1) / p.l.StoreWidth(); counts(s) {
		check.long(s)
	}
	if s.OK() && check.words*p.l.StoreWidth() < c.bits {
		s.Wrong("a code of %d bits does not fit %d words of %d", c.bits, check.words, p.l.StoreWidth())
	}
	named(s, "over")
	check.over = parts(s, []kind{markPart, numberPart, addressPart, countPart, sparePart, dataPart, sumPart})
	if s.OK() {
		c.lay()
	}
	p.add(check)
}

// named reads the name of a parameter, and says that all six are needed where something else stands.
func named(s *list.Settings, name string) {
	if at := s.Peek().Text; s.OK() && at != name && list.Nearest(at, []string{name}) == "" {
		s.Next(name)
		s.Wrong("%q stands where `%s` belongs; a check code is stated by all six of its parameters: bits, polynomial, start, in, out, final", at, name)
	}
	s.Name(name)
}

// parameter reads a parameter that is a number.
func (p *parser) parameter(s *list.Settings, c *code, name string) uint64 {
	named(s, name)
	return p.hex(s, c, name)
}

// reflected reads "in reflected" or "in straight".
func (p *parser) reflected(s *list.Settings, name string) bool {
	named(s, name)
	return s.Name("straight", "reflected") == 1
}

// hex reads a number of as many bits as the code has, in hexadecimal with all its digits whatever the style of the layout:
// so are codes published.
func (p *parser) hex(s *list.Settings, c *code, what string) uint64 {
	w, ok := s.Next(what)
	if !ok {
		return 0
	}
	v, err := strconv.ParseUint(w.Text, 16, 64)
	digits := (c.bits + 3) / 4
	switch {
	case err != nil || strings.ContainsAny(w.Text, "+-_"):
		s.Wrong("%q is no number in hexadecimal; %s is written with %d such digits", w.Text, what, digits)
	case len(w.Text) != digits || v&^c.ones != 0:
		s.Wrong("%s is not of %d bits; %s is written with all its %d hexadecimal digits", w.Text, c.bits, what, digits)
	}
	return v
}

// hexName writes a number of so many bits in hexadecimal, with all its digits.
func hexName(v uint64, bits int) string { return memory.Style{Radix: 16}.Word(memory.Word(v), bits) }
