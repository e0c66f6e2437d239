package list

import (
	"fmt"
	"strings"
)

// Append adds records to dst in the one canonical form: one a line, one blank between words, quotes where a word had them
// or needs them, no comments. Reading it gives equal records but for their positions. An error means a record that no
// list can hold: without words, over-long, or with a character that cannot be printed; dst is then returned unchanged.
func Append(dst []byte, records ...Record) ([]byte, error) {
	out := dst
	for i, r := range records {
		start := len(out)
		for j, w := range r.Words {
			if j > 0 {
				out = append(out, ' ')
			}
			if _, bad := unprintable(w.Text); bad != "" {
				return dst, fmt.Errorf("record %d cannot be written: word %d holds %s", i+1, j+1, bad)
			}
			out = append(out, w.written()...)
		}
		if n := len(out) - start; n == 0 || n > maxLine {
			return dst, fmt.Errorf("record %d cannot be written: it takes %d bytes, and a line holds 1 to %d", i+1, n, maxLine)
		}
		out = append(out, '\n')
	}
	return out, nil
}

// escaper puts the two escapes of a quoted word.
var escaper = strings.NewReplacer(`"`, `\"`, `\`, `\\`)

// written gives the word as it stands in a file.
func (w Word) written() string {
	if w.Quoted || w.Text == "" || w.Text == `\` || strings.ContainsFunc(w.Text, needsQuotes) {
		return `"` + escaper.Replace(w.Text) + `"`
	}
	return w.Text
}

// needsQuotes says whether c cannot stand in a word without quotes.
func needsQuotes(c rune) bool { return c <= ' ' || c > '~' || c == '"' || c == '#' }
