package syntax

import (
	_ "embed"
	"strings"
)

// The package comment stands in three files, in their order.
var (
	//go:embed doc.go
	docMachine string
	//go:embed doc_does.go
	docDoes string
	//go:embed doc_grammar.go
	docGrammar string

	doc = strings.Join([]string{unclause(docMachine), unclause(docDoes), unclause(docGrammar)}, "//\n")
)

// unclause gives a file without its package clause.
func unclause(file string) string { return strings.TrimSuffix(file, "package syntax\n") }

// Manual gives the manual of the notation: the package comment as plain text, examples set in by four blanks.
func Manual() string {
	var b strings.Builder
	for line := range strings.Lines(doc) {
		text := strings.TrimPrefix(strings.TrimPrefix(line, "//"), " ")
		b.WriteString(strings.Replace(text, "\t", "    ", 1)) // only an example begins with a tab
	}
	return b.String()
}
