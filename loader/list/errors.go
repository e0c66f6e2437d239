package list

import (
	"errors"
	"fmt"
	"go/scanner"
	"go/token"
	"strings"
)

// shown is the number of errors Report prints; further ones are counted.
const shown = 10

// maxErrors is the number of errors kept for one file: enough to count slips, too few to fill a laptop.
const maxErrors = 1000

// Errors collects what is wrong in a file. The zero value is ready for use.
type Errors struct {
	list scanner.ErrorList
}

// Add notes one error at pos. After the thousandth, errors are let go.
func (e *Errors) Add(pos token.Position, format string, args ...any) {
	if !e.full() {
		e.list.Add(pos, fmt.Sprintf(format, args...))
	}
}

// full says whether further errors would be let go.
func (e *Errors) full() bool { return len(e.list) >= maxErrors }

// Err gives the errors as a go/scanner.ErrorList sorted by position; nil when there is none.
func (e *Errors) Err() error {
	e.list.Sort()
	return e.list.Err()
}

// Report gives err for printing: of an error list the first ten, one a line, then how many more there are. The text is
// made safe for a terminal, and has no line end at its end.
func Report(err error) string {
	var all scanner.ErrorList
	if !errors.As(err, &all) {
		return Safe(err.Error())
	}
	var b strings.Builder
	for i, e := range all {
		if i == shown {
			fmt.Fprintf(&b, "\nand %d more", len(all)-shown)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(Safe(e.Error()))
	}
	return b.String()
}

// Unknown words the refusal of a word that is none of those known: what kind of word was wanted, the one typed, and the
// nearest known one, or all of them where none is near.
func Unknown(kind, typed string, known []string) string {
	if near := Nearest(typed, known); near != "" {
		return fmt.Sprintf("%q is no %s here; the nearest is %q", typed, kind, near)
	}
	return fmt.Sprintf("%q is no %s here; known are: %s", Brief(typed), kind, strings.Join(known, ", "))
}

// Brief gives what was typed for a message that repeats it: the beginning alone, and three points, where it is longer than
// anything a person types, as it is when the wrong file was named.
func Brief(typed string) string {
	const most = 60 // characters
	n := 0
	for i := range typed {
		if n == most {
			return typed[:i] + "..."
		}
		n++
	}
	return typed
}
