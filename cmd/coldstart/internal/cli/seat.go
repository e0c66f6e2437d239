package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/debug/bringup"
)

// takesTapes gives a command the option for recordings in the place of those the office names.
func (e *env) takesTapes(c *cobra.Command, to *[]string) {
	c.Flags().StringArrayVar(to, "tape", nil, "seat this recording, `[CHANNEL=]FILE`, instead of the office's; may be given again")
}

// seats reads the recordings to be seated instead of the office's.
func (e *env) seats(tapes []string) ([]bringup.Seat, error) {
	var all []bringup.Seat
	for _, text := range tapes {
		s := bringup.Seat{File: text}
		// What holds a stroke or a point is a path, and no channel: ./a=b.tape names a file.
		if name, file, both := strings.Cut(text, "="); both && !strings.ContainsAny(name, "/.") {
			s.Channel, s.File = name, file
		}
		if s.File == "" || s.Channel == "" && s.File != text {
			return nil, &unusable{where: "--tape", what: fmt.Sprintf("a channel or a file is missing in %q", text), next: "write it like `TC1=FILE`, or the file alone"}
		}
		var err error
		if s.Data, err = e.read(s.File); err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}
