package cli

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"coldstart/loader/list"
)

// lasting refuses names that a lineage or a sheet could not keep as they are: both are UTF-8, and with other bytes put in
// place of the name's own nobody could ever make them again from the files that they name.
func lasting(c *cobra.Command, words []string) error {
	all := slices.Clone(words)
	for _, option := range options(c) {
		f := c.Flags().Lookup(strings.TrimPrefix(option, "--"))
		if many, ok := f.Value.(interface{ GetSlice() []string }); ok {
			all = append(all, many.GetSlice()...)
			continue
		}
		all = append(all, f.Value.String())
	}
	for _, name := range all {
		if !utf8.ValidString(name) {
			return &unusable{where: list.Safe(name), what: "this name has bytes that are no UTF-8, and what is written here could never be checked by it",
				next: "give the file a plain name, or name a copy that has one"}
		}
	}
	return nil
}
