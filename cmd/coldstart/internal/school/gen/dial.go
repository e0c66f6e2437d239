package main

import "fmt"

// dialCount is how many numbers are on the list of those dialled by hand: as many as there is room for.
const dialCount = 343

// dialText is a list of numbers that were dialled once, and what answered.
func dialText() string {
	var s sheet
	s.remark(
		"Numbers that were dialled from the test desk when the office was new, by rule: the number in bits 17-8, and the last",
		"eight bits of the line that answered in bits 7-0. A task of base level holds them against the number list for ever.")
	s.at("decimal-table-end")
	words := make([]int, dialCount)
	for i := range words {
		line := (i*61 + 5) % lineCount
		words[i] = numberOf(line)<<8 | line&0o377
	}
	s.label("dial-checks")
	s.run(words)
	fmt.Fprintln(&s, "dial-checks-end:")
	return s.String()
}
