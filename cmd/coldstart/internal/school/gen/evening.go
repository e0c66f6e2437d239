package main

import (
	"fmt"
	"strings"
)

// eveningFile is the traffic list of a scripted evening.
const eveningFile = "evening.list"

// eveningCalls is how many calls it has.
const eveningCalls = 28

// eveningList is a busy minute of an evening, by rule: who calls whom, and one change typed in between. Times are decimal,
// from power-up; the idle loop begins at 5.3 s.
func eveningList() []byte {
	var s strings.Builder
	fmt.Fprint(&s, "# A busy minute of an evening, made by rule. Lines and trunks are octal, as the machine file writes numbers, digits as\n",
		"# they are dialled, times decimal from power-up: base level begins at 5.3 s.\n",
		"# Of each seven calls three go from line to line, one over a trunk, one comes in over a trunk, one is never answered, and\n",
		"# one is to a number that nobody has.\n\n")
	typed := false
	for n := range eveningCalls {
		at := 7000 + n*1700 + n*n%7*130 // ms
		if at > 30000 && !typed {
			typed = true
			fmt.Fprintf(&s, "type at %s on TT1 \"LINE 017 CLASS 3\"\n", seconds(30000))
		}
		fmt.Fprintf(&s, "call at %s %s\n", seconds(at), eveningCall(n))
	}
	fmt.Fprint(&s, "\nexpect on TT1 \"WENDLE FERRY UP\" before 6 s\nexpect on TT1 \"LINE 017 CLASS 3 DONE\" before 40 s\n")
	return []byte(s.String())
}

// seconds writes a time given in milliseconds.
func seconds(ms int) string { return fmt.Sprintf("%d.%03d s", ms/1000, ms%1000) }

// eveningCall is one call: lines of class 2 modulo 3 may call out and be called, see classTable.
func eveningCall(n int) string {
	caller := (n*37*3 + 5) % lineCount / 3 * 3
	called := (n*53*3+100)%(lineCount-3)/3*3 + 1
	for numberOf(called) >= 900 { // a 9 asks for a trunk
		called = (called + 3) % (lineCount - 1)
	}
	talks := 2000 + n*n%5*900
	switch n % 7 {
	case 2:
		return fmt.Sprintf("from line %03o dials 9%03d answers 2 s talks %s ends called", caller, 200+n*17%70*10, seconds(talks))
	case 3:
		return fmt.Sprintf("from trunk %02o dials %03d answers 1.5 s talks %s", n*5%trunkCount, numberOf(called), seconds(talks))
	case 4:
		return fmt.Sprintf("from line %03o dials %03d answers never waits 5 s", caller, numberOf(called))
	case 6:
		return fmt.Sprintf("from line %03o dials %03d", caller, vacantNumber(n))
	}
	ends := [...]string{"caller", "called"}[n%2]
	return fmt.Sprintf("from line %03o dials %03d answers 2 s talks %s ends %s", caller, numberOf(called), seconds(talks), ends)
}

// vacantNumber is a number that no line has: the first from a start on that each call has for itself.
func vacantNumber(call int) int {
	taken := map[int]bool{}
	for line := range lineCount {
		taken[numberOf(line)] = true
	}
	n := (call*29 + 300) % numberCount
	for taken[n] || n >= 900 {
		n = (n + 1) % numberCount
	}
	return n
}
