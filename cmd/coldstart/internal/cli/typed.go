package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// typedFor gives the command lines by which a person starts other commands from what this one was started from: with all
// options that were given to this one and that the other has too, but for those left out, quoted for the shell.
func typedFor(c *cobra.Command, leave ...string) func(command string) string {
	return func(command string) string {
		line := []string{c.Root().Name(), command}
		other := child(c.Root(), command)
		for _, name := range options(other) {
			f := c.Flags().Lookup(strings.TrimPrefix(name, "--"))
			if f == nil || !f.Changed || f.Name == "json" || f.Name == "help" || slices.Contains(leave, f.Name) {
				continue
			}
			values := []string{f.Value.String()}
			if many, ok := f.Value.(interface{ GetSlice() []string }); ok {
				values = many.GetSlice()
			}
			for _, v := range values {
				if command == "survey" && f.Name == "tape" { // it has the file alone
					if _, file, err := seat(name, v); err == nil {
						v = file
					}
				}
				switch {
				case f.Value.Type() != "bool":
					line = append(line, name, shellWord(v))
				case v == "true":
					line = append(line, name)
				}
			}
		}
		return strings.Join(line, " ")
	}
}

// isCommand tells a line of a report that is to be typed as it stands from one that is prose.
func isCommand(line string) bool { return strings.HasPrefix(line, "coldstart ") }

// foldCommand breaks a command line for paper behind a label. Each line but the last ends in a backslash, so that the shell
// takes them as the one they are; quoted words stay whole.
func foldCommand(label, line string) string {
	var b strings.Builder
	hang := strings.Repeat(" ", len(label)+2)
	said := label
	words := shellWords(line)
	for i, word := range words {
		tail := 2 // columns for the backslash that may follow
		if i == len(words)-1 {
			tail = 0
		}
		if i > 0 && len(said)+1+len(word)+tail > 80 {
			b.WriteString(said + " \\\n")
			said = hang
		}
		said += " " + word
	}
	b.WriteString(said)
	return b.String()
}

// shellWords parts a command line at its blanks, but not at those between single quotes.
func shellWords(line string) []string {
	var words []string
	word, quoted := "", false
	for i, r := range line {
		switch {
		case r == ' ' && !quoted:
			words, word = append(words, word), ""
			continue
		case r == '\'' && (quoted || !strings.HasSuffix(line[:i], `\`)):
			quoted = !quoted
		}
		word += string(r)
	}
	return append(words, word)
}
