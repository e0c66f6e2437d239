package syntax

import (
	_ "embed"
	"strings"

	"coldstart/loader/list"
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
func Manual() string { return list.Manual("syntax", docMachine, docDoes, docGrammar) }
