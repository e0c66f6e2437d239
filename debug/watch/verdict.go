// Package watch judges a run by what can be seen of it: milestones an office expects in order, and lamps that chase along a
// row. It is told of orders done, of lamp rows that changed and of lines printed, and gives a Verdict with the Evidence for
// it. It never learns what was jammed: what it says of a fault it has worked out from the three views of a row, the word
// asked for, the word the store shows, and the lamps.
package watch

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// A Verdict is a judgement; its zero value is NotTested.
type Verdict uint8

// The verdicts there are.
const (
	NotTested Verdict = iota // nothing was run that could tell
	Good                     // all that was wanted was seen
	Trouble                  // something was seen that should not be, or cannot come any more
	Undecided                // nothing wrong so far, but not all that was wanted was seen
)

// verdicts are the words of the verdicts, everywhere.
var verdicts = [...]string{NotTested: "NOT TESTED", Good: "GOOD", Trouble: "TROUBLE", Undecided: "UNDECIDED"}

// String is the verdict as it stands on every sheet.
func (v Verdict) String() string { return verdicts[v] }

// Evidence leads from a lamp back to the order, the word and the tape block behind it: each Lead is what the one before it
// comes from.
type Evidence []Lead

// A Lead is one thing somebody can put a finger on.
type Lead struct {
	At     cpu.Time
	Text   string        // a phrase, such as "the order there wrote the row"
	Place  memory.Addr   // the store address concerned
	Word   memory.Word   // what stands or stood there
	Origin memory.Origin // where that word came from; its Kind is Nowhere if that is not known
}
