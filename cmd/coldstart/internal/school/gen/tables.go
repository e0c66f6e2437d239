package main

import (
	"fmt"
	"math/bits"
	"strings"
)

// A text is one source of order text that is made by rule, and the rule's author: a function.
type text struct {
	name string
	make func() string
}

// madeTexts are the sources that are too long and too regular to be written by hand. Each is committed like the others,
// so that a reader has the office whole; its first lines state the rule.
var madeTexts = []text{
	{"cases.order", casesText},
	{"bits.order", bitsText},
	{"codes.order", codesText},
	{"decimal.order", decimalText},
	{"wiring.order", wiringText},
	{"dial.order", dialText},
	{"office-data.order", officeText},
}

// mask keeps a number within a word of 18 bits.
const mask = 1<<18 - 1

// A sheet is order text being written.
type sheet struct{ strings.Builder }

// remark writes lines of remark.
func (s *sheet) remark(lines ...string) {
	for _, l := range lines {
		fmt.Fprintf(s, "# %s\n", l)
	}
}

// at says where what follows stands.
func (s *sheet) at(place string) { fmt.Fprintf(s, "\nat %s\n", place) }

// label begins a table.
func (s *sheet) label(name string) { fmt.Fprintf(s, "\n%s:\n", name) }

// words writes a line of words, and behind it a remark if there is one.
func (s *sheet) words(remark string, words ...int) {
	fields := make([]string, len(words))
	for i, w := range words {
		fields[i] = fmt.Sprintf("%06o", w&mask)
	}
	line := "        words " + strings.Join(fields, ", ")
	if remark != "" {
		line = fmt.Sprintf("%-60s # %s", line, remark)
	}
	fmt.Fprintln(s, line)
}

// run writes many words, eight a line.
func (s *sheet) run(words []int) {
	for len(words) > 0 {
		n := min(8, len(words))
		s.words("", words[:n]...)
		words = words[n:]
	}
}

// casesText is the table of the order check's arithmetic: what each order leaves, worked out here in plain integers and
// not by anything that runs orders.
func casesText() string {
	var s sheet
	s.remark(
		"Cases for the order check, made by rule: corner values against each other, then values from a plain generator.",
		"A line is two values, then for add, subtract, compare, and, include, differ the result and the flip-flops:",
		"4 minus, 2 zero, 1 carry. The last three leave the carry alone, and the judge, having found equal, left it 1.")
	s.at("start-end")
	corners := [][2]int{
		{0, 0}, {0, 1}, {1, 0}, {1, 1}, {0o777777, 0}, {0, 0o777777}, {0o777777, 1}, {1, 0o777777},
		{0o777777, 0o777777}, {0o377777, 1}, {0o377777, 0o377777}, {0o400000, 0o400000}, {0o400000, 1},
		{1, 0o400000}, {0o400000, 0o377777}, {0o377777, 0o400000}, {0o400000, 0o777777}, {0o252525, 0o125252},
	}
	cases := corners
	for a := 1; len(cases) < caseCount; {
		b := (a*4099 + 1237) & mask
		c := (b*4099 + 1237) & mask
		a = c
		cases = append(cases, [2]int{b, c})
	}
	s.label("cases")
	for _, c := range cases {
		s.words("", caseWords(c[0], c[1])...)
	}
	fmt.Fprintf(&s, "cases-end:\ncase-count = %o\n", len(cases))
	return s.String()
}

// caseCount is how many cases the order check has.
const caseCount = 64

// caseWords is one case: two values, and what each order leaves.
func caseWords(a, b int) []int {
	sum, less := a+b, a+(^b&mask)+1
	carry := less >> 18
	compared := carry
	if signed(a) < signed(b) {
		compared |= 4
	}
	if a == b {
		compared |= 2
	}
	return []int{
		a, b,
		sum & mask, flags(sum&mask, sum>>18),
		less & mask, flags(less&mask, carry),
		a, compared,
		a & b, flags(a&b, 1),
		a | b, flags(a|b, 1),
		a ^ b, flags(a^b, 1),
	}
}

// signed is a word as a number with a sign, in twos complement.
func signed(w int) int { return w - w>>17<<18 }

// flags is the flip-flops after an order that left w, as the order check tells them.
func flags(w, carry int) int {
	f := carry
	if w>>17 == 1 {
		f |= 4
	}
	if w == 0 {
		f |= 2
	}
	return f
}

// bitsText is the table that find-one and count-ones are held against.
func bitsText() string {
	var s sheet
	s.remark(
		"A word for each value of nine bits, made by rule: how many ones in bits 4-0, the number of the leftmost one in",
		"bits 8-5, and the value without that one in bits 17-9.")
	s.at("cases-end")
	words := make([]int, 512)
	for v := 1; v < len(words); v++ {
		top := bits.Len(uint(v)) - 1
		words[v] = (v^1<<top)<<9 | top<<5 | bits.OnesCount(uint(v))
	}
	s.label("bit-table")
	s.run(words)
	fmt.Fprintln(&s, "bit-table-end:")
	return s.String()
}
