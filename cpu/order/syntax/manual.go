package syntax

import (
	_ "embed"
	"strings"
)

//go:embed doc.go
var doc string

// Manual gives the manual of the notation: the package comment as plain text, examples set in by four blanks.
func Manual() string {
	var b strings.Builder
	for line := range strings.Lines(doc) {
		text, ok := strings.CutPrefix(line, "//")
		if !ok {
			break // the package clause
		}
		text = strings.TrimPrefix(text, " ")
		b.WriteString(strings.Replace(text, "\t", "    ", 1)) // only an example begins with a tab
	}
	return b.String()
}
