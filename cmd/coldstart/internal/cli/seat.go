package cli

import (
	"errors"
	"fmt"
	"io/fs"
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
		channel, file, err := seat("--tape", text)
		if err != nil {
			return nil, err
		}
		s := bringup.Seat{Channel: channel, File: file}
		if s.Data, err = e.read(s.File); err != nil {
			return nil, err
		}
		s.Lineage, err = e.read(s.File + bringup.LineageSuffix)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// seat parts [CHANNEL=]FILE; where says what it was typed for.
func seat(where, text string) (channel, file string, err error) {
	// What holds a stroke or a point is a path, and no channel: ./a=b.tape names a file.
	name, rest, both := strings.Cut(text, "=")
	switch {
	case !both || strings.ContainsAny(name, "/."):
		name, rest = "", text
	case name == "":
		rest = ""
	}
	if rest == "" {
		return "", "", &unusable{where: where, what: fmt.Sprintf("a channel or a file is missing in %q", text), next: "write it like `TC1=FILE`, or the file alone"}
	}
	return name, rest, nil
}
