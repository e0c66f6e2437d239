package main

import "fmt"

// The network, decimal: concentrators of 16 lines or trunks, 8 links each, to 8 middle switches.
const (
	linesEach     = 16
	linksEach     = 8
	lineGroups    = (lineCount + linesEach - 1) / linesEach
	trunkGroups   = (trunkCount + linesEach - 1) / linesEach
	concentrators = lineGroups + trunkGroups
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

// wiringText is where lines, trunks and links stand on the frame, as the pulser must be told.
func wiringText() string {
	var s sheet
	s.remark(
		"Where lines and trunks meet their links, by rule: bay in bits 14-12, nine shelves a bay in bits 11-8, and 16",
		"positions a shelf in bits 7-4. Bits 2-0 are left for the number of the link. Trunks begin on a shelf of their own.")
	s.at("decimal-table-end")
	var words []int
	for line := range lineCount {
		words = append(words, terminal(line))
	}
	for trunk := range trunkCount {
		words = append(words, terminal(lineGroups*linesEach+trunk))
	}
	s.label("terminals")
	s.run(words)
	fmt.Fprintln(&s, "terminals-end:")

	fmt.Fprintln(&s)
	s.remark(
		"Where the links of each concentrator meet the middle switches: bit 15, the switch in bits 10-8, and the inlet,",
		"which is the concentrator, in bits 7-3.")
	words = words[:0]
	for c := range concentrators {
		for k := range linksEach {
			words = append(words, 1<<15|k<<8|c<<3)
		}
	}
	s.label("link-terminals")
	s.run(words)
	fmt.Fprintln(&s, "link-terminals-end:")
	return s.String()
}

// terminal is place n on the frame as the pulser is told it.
func terminal(n int) int {
	const shelves = 9
	shelf := n / linesEach
	return shelf/shelves<<12 | shelf%shelves<<8 | n%linesEach<<4
}
