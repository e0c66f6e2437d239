package main

import "fmt"

// The network, decimal: concentrators of 16 terminals, 8 links each, to 8 middle switches. 26 have lines, 3 trunks, and the
// last the receivers.
const (
	terminalsEach = 16
	linksEach     = 8
	concentrators = 30
)

// decimalText is the table of decimal digits.
func decimalText() string {
	var s sheet
	s.remark("The three decimal digits of 0-999, four bits each, by rule: the machine does not divide.")
	s.at("code-table-end")
	words := make([]int, 1000)
	for n := range words {
		words[n] = n/100<<8 | n/10%10<<4 | n%10
	}
	s.label("decimal-table")
	s.run(words)
	fmt.Fprintln(&s, "decimal-table-end:")
	return s.String()
}

// wiringText is where terminals and links stand, as the pulser must be told.
func wiringText() string {
	var s sheet
	s.remark(
		"The crosspoints where the links of each concentrator meet junctors, by rule: bit 16, the middle switch, which is the",
		"link, in bits 14-12, and the concentrator in bits 11-3. Bits 2-0 are left for the number of the junctor.")
	s.at("dial-checks-end")
	var words []int
	for c := range concentrators {
		for k := range linksEach {
			words = append(words, 1<<16|k<<12|c<<3)
		}
	}
	s.label("link-terminals")
	s.run(words)
	fmt.Fprintln(&s, "link-terminals-end:")

	fmt.Fprintln(&s)
	s.remark(
		"The crosspoints of terminals, by rule: the terminal in bits 15-3; bits 2-0 are left for the number of the link. Lines",
		"have the terminals from 000 on, trunks those from 640, and receivers those from 720.")
	words = make([]int, concentrators*terminalsEach)
	for t := range words {
		words[t] = t << 3
	}
	s.label("terminals")
	s.run(words)
	fmt.Fprintln(&s, "terminals-end:")

	return s.String()
}
