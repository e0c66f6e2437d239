package cli

import (
	"fmt"
	"io"

	"coldstart/debug/watch"
)

// The exit statuses. Scripts of other people hang on them: one may be added, none changed.
const (
	exitGood      = 0
	exitTrouble   = 1
	exitUnusable  = 2
	exitUndecided = 3
	exitFault     = 70
	exitStopped   = 130
)

// statuses is what each exit status says, as help prints it.
var statuses = []struct {
	status int
	says   string
}{
	{exitGood, "GOOD; or done, by a command that judges nothing"},
	{exitTrouble, "TROUBLE"},
	{exitUnusable, "unusable input or usage, or a result that could not be written"},
	{exitUndecided, "UNDECIDED or NOT TESTED"},
	{exitFault, "a fault of this program"},
	{exitStopped, "stopped by you"},
}

// printStatuses prints the table of exit statuses.
func printStatuses(w io.Writer) {
	for _, s := range statuses {
		fmt.Fprintf(w, "  %3d  %s\n", s.status, s.says)
	}
}

// statusOf is the exit status that says the same as the verdict.
func statusOf(v watch.Verdict) int {
	switch v {
	case watch.Good:
		return exitGood
	case watch.Trouble:
		return exitTrouble
	}
	return exitUndecided
}
