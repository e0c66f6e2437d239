package channel

import (
	_ "embed"

	"coldstart/loader/list"
)

//go:embed doc.go
var doc string

// Manual gives the manual of device records: the package comment as plain text, examples set in by four blanks.
func Manual() string { return list.Manual("channel", doc) }
