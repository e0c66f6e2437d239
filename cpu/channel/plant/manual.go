package plant

import (
	_ "embed"

	"coldstart/loader/list"
)

//go:embed doc.go
var doc string

// Manual gives the manual of exchanges and traffic lists: the package comment as plain text, examples set in by four blanks.
func Manual() string { return list.Manual("plant", doc) }
