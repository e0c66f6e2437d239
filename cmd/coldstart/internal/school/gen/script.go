package main

import "fmt"

// The events of a call, as the call states number them.
const (
	pause     = iota // nothing happens
	offHook          // a line goes off-hook
	digit            // a digit is dialled
	_                // the number is whole: the program's own
	answer           // the called party answers
	callerEnd        // the caller hangs up
	calledEnd        // the called party hangs up
)

// testCalls is how many calls the script has.
const testCalls = 69

// scriptText is what the test call plays.
func scriptText() string {
	var s sheet
	s.remark(
		"The script of the test call, by rule: an event, and the line that goes off-hook or the digit dialled.",
		"Of each eight calls five are to a line, one to a trunk, one to a number that nobody has, and one is given up.")
	s.at("link-terminals-end")
	s.label("script")
	for call := range testCalls {
		playCall(&s, call)
	}
	fmt.Fprintln(&s, "script-end:")
	return s.String()
}

// playCall writes one call.
func playCall(s *sheet, call int) {
	caller := (call*61 + 5) % lineCount
	called := (call*97 + 40) % lineCount
	switch call % 8 {
	case 5:
		code := 200 + call*11%700/10*10 // no code that ends in 9
		s.event("over a trunk", offHook, caller)
		s.dial(9, code/100, code/10%10, code%10)
		s.event("", pause, 0, answer, 0, calledEnd, 0)
	case 6:
		s.event("to a number that nobody has", offHook, caller)
		n := vacantNumber(call)
		s.dial(n/100, n/10%10, n%10)
		s.event("", pause, 0, callerEnd, 0)
	case 7:
		s.event("given up", offHook, caller)
		s.dial(call%9, call%10)
		s.event("", callerEnd, 0)
	default:
		n := numberOf(called)
		s.event(fmt.Sprintf("line %03o to line %03o", caller, called), offHook, caller)
		s.dial(n/100, n/10%10, n%10)
		s.event("", pause, 0, answer, 0, callerEnd+call%2, 0)
	}
}

// event writes events with their lines or digits.
func (s *sheet) event(remark string, words ...int) { s.words(remark, words...) }

// dial writes digits.
func (s *sheet) dial(digits ...int) {
	var words []int
	for _, d := range digits {
		words = append(words, digit, d)
	}
	s.words("", words...)
}

// vacantNumber is a number that no line has: the first from a start on that each call has for itself.
func vacantNumber(call int) int {
	taken := map[int]bool{}
	for line := range lineCount {
		taken[numberOf(line)] = true
	}
	n := (call*29 + 300) % numberCount
	for taken[n] {
		n = (n + 1) % numberCount
	}
	return n
}
