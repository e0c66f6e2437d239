package main

import "fmt"

// The size of the office, decimal.
const (
	lineCount      = 412
	trunkCount     = 38
	routeCount     = 8
	classCount     = 24
	numberCount    = 1000 // the last three digits of a number of ours
	codeCount      = 1000 // the three digits dialled after a 9
	treatmentCount = 4
)

// Where a number or a code leads to nobody: bit 17, and which treatment.
const (
	vacant   = 0o400000 + iota // a tone
	changed                    // an announcement
	operator                   // the operator answers
	barred                     // an announcement
)

// numberOf is the number of a line. 617 shares no factor with 1000, so no two lines have the same.
func numberOf(line int) int { return (line*617 + 203) % numberCount }

// codesText is the translation of the codes dialled after a 9.
func codesText() string {
	var s sheet
	s.remark(
		"What the three digits dialled after a 9 lead to, by rule: codes 200-899 go out over a route, seven by turns of",
		"twenty codes, and wait for four to seven digits more (bits 8-5); route 0 goes to the operator by code 000.",
		"Bit 17 marks a treatment: 0 a tone, 1 and 3 an announcement, 2 the operator.")
	s.at("bit-table-end")
	words := make([]int, codeCount)
	for code := range words {
		words[code] = codeWord(code)
	}
	s.label("code-table")
	s.run(words)
	fmt.Fprintf(&s, "code-table-end:\ncode-count = %o\n", codeCount)
	return s.String()
}

// codeWord is the translation of one code.
func codeWord(code int) int {
	switch {
	case code == 0:
		return 0
	case code < 100:
		return operator
	case code < 200:
		return barred
	case code >= 900, code%10 == 9:
		return vacant
	}
	route, more := 1+code/20%(routeCount-1), 4+code%4
	return more<<5 | route
}

// officeText is the office data: what a board of wiring lists would say of this one office.
func officeText() string {
	var s sheet
	s.remark("Office data of Wendle Ferry: 412 lines, 38 trunks. Made by the rules stated at each table; numbers are invented.")
	for n := range 8 {
		fmt.Fprintf(&s, "block %o, %o, 400\n", 0o44+n, 0o26000+0o400*n)
	}
	s.at("26000")
	lineTable(&s)
	numberTable(&s)
	trunkTable(&s)
	routeTable(&s)
	classTable(&s)
	officeWords(&s)
	return s.String()
}

// lineTable writes the records of the lines.
func lineTable(s *sheet) {
	fmt.Fprint(s, "\n# Lines, two words each. First: class in bits 15-10, number in bits 9-0, which is 617 times the line plus 203,\n",
		"# the last three decimal digits. Second: scan point in bits 8-0, which is the line, and ringing in bits 11-9.\n")
	s.label("line-table")
	for line := range lineCount {
		class, ringing := line*7%classCount, line%5
		s.words(fmt.Sprintf("line %03o, number %03d", line, numberOf(line)), class<<10|numberOf(line), ringing<<9|line)
	}
	fmt.Fprintf(s, "line-table-end:\nline-count = %o\n", lineCount)
}

// numberTable writes the translation from numbers to lines.
func numberTable(s *sheet) {
	words := make([]int, numberCount)
	for n := range words {
		words[n] = vacant
		if n%20 == 7 {
			words[n] = changed
		}
	}
	for line := range lineCount {
		words[numberOf(line)] = line
	}
	fmt.Fprint(s, "\n# Numbers 000-999, decimal: the line that has the number, or with bit 17 the treatment: 0 a tone, 1 an\n",
		"# announcement that the number has changed.\n")
	s.label("translation")
	s.run(words)
	fmt.Fprintf(s, "translation-end:\nnumber-count = %o\ntreatment-count = %o\n", numberCount, treatmentCount)
}

// routeOf is the route of a trunk: trunks are dealt out to the routes in turn.
func routeOf(trunk int) int { return trunk % routeCount }

// trunkTable writes the records of the trunks.
func trunkTable(s *sheet) {
	fmt.Fprint(s, "\n# Trunks, four words each: route, signalling (0 loop, 1 ear and mouth, 2 tone), scan point, next trunk of the\n",
		"# route or 777777 after the last. Trunks are dealt out to the routes in turn.\n")
	s.label("trunk-table")
	for trunk := range trunkCount {
		next := trunk + routeCount
		if next >= trunkCount {
			next = mask
		}
		s.words(fmt.Sprintf("trunk %02o", trunk), routeOf(trunk), routeOf(trunk)%3, 0o1000+trunk, next)
	}
	fmt.Fprintf(s, "trunk-table-end:\ntrunk-count = %o\n", trunkCount)
}

// routeTable writes the routes.
func routeTable(s *sheet) {
	fmt.Fprint(s, "\n# Routes, four words each: first trunk, how many, digits to send ahead, route to overflow to or 777777.\n")
	s.label("route-table")
	for route := range routeCount {
		overflow := route - 1
		if overflow < 1 {
			overflow = mask
		}
		s.words(fmt.Sprintf("route %o", route), route, (trunkCount-route+routeCount-1)/routeCount, route%3, overflow)
	}
	fmt.Fprintf(s, "route-table-end:\nroute-count = %o\n", routeCount)
}

// classTable writes what each class of service may do.
func classTable(s *sheet) {
	fmt.Fprint(s, "\n# Classes of service: bit 0 may call out, bit 1 may be called, bit 2 coin, bit 3 party line, bit 4 priority, and\n",
		"# in bits 8-5 how many digits may be dialled.\n")
	s.label("class-table")
	words := make([]int, classCount)
	for class := range words {
		words[class] = (3+class%8)<<5 | class%5<<2 | 1 + class%3
	}
	s.run(words)
	fmt.Fprintf(s, "class-table-end:\nclass-count = %o\n", classCount)
}

// officeWords writes the words that say which office this is.
func officeWords(s *sheet) {
	fmt.Fprint(s, "\n# The office itself: issue of these data, lines, trunks, numbers, routes, classes, codes, treatments,\n",
		"# links of a concentrator; then its name.\n")
	s.label("office-words")
	fmt.Fprint(s, "        words 3, line-count, trunk-count, number-count, route-count, class-count, code-count, treatment-count, 10\n",
		"        text ascii \"WENDLE\", 0\n", "office-words-end:\n")
}
