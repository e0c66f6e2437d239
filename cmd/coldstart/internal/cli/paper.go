package cli

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	"coldstart/loader/list"
)

// wideVariable is the environment variable that keeps messages on one line each, for programs that search them.
const wideVariable = "COLDSTART_WIDE"

// A folding writes whole lines, folded for paper. It is for lines that come one or more to a Write; what is not ended by a
// line end goes through as it is.
type folding struct{ w io.Writer }

// newFolding folds what goes to w, unless the person wants each message on one line.
func newFolding(w io.Writer) io.Writer {
	if os.Getenv(wideVariable) != "" {
		return w
	}
	return folding{w}
}

func (f folding) Write(text []byte) (int, error) {
	if _, err := io.WriteString(f.w, folded(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// folded gives a text with every line folded; a line's own indent is kept by what goes on below it, four columns further in.
func folded(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		said, ended := strings.CutSuffix(line, "\n")
		indent := said[:len(said)-len(strings.TrimLeft(said, " "))]
		b.WriteString(list.Fold(said, indent+"    "))
		if ended {
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// fold prints a line that may hold text from outside, after an indent; what does not fit on paper goes on below, four columns
// further in. An empty line is left out.
func fold(w io.Writer, indent, line string) {
	if line != "" {
		fmt.Fprintln(w, list.Fold(indent+list.Safe(line), indent+"    "))
	}
}

// production is the head of a production of a grammar; what does not fit goes on below its right side.
var production = regexp.MustCompile(`^ *\w+ += `)

// refill sets the paragraphs of a text anew, so that they fit on paper however wide they were written, and so the points of
// a list, which begin with "  - ". Other lines that begin with a blank, and headings, are folded alone.
func refill(text string) string {
	var b strings.Builder
	var words []string
	point := false // the words are those of a point
	end := func() {
		head, hang := "", ""
		if point {
			head, hang = "  ", "    "
		}
		if len(words) > 0 {
			b.WriteString(list.Fold(head+strings.Join(words, " "), hang) + "\n")
		}
		words, point = nil, false
	}
	for line := range strings.Lines(text) {
		said := strings.TrimRight(line, "\n")
		switch {
		case strings.HasPrefix(said, "  - "):
			end()
			point = true
		case said == "" || said[0] == '#' || said[0] == ' ' && !(point && strings.HasPrefix(said, "    ")):
			end()
			hang := max(len(production.FindString(said)), len(said)-len(strings.TrimLeft(said, " ")))
			b.WriteString(list.Fold(said, strings.Repeat(" ", hang)) + "\n")
			continue
		}
		words = append(words, strings.Fields(said)...)
	}
	end()
	return b.String()
}
