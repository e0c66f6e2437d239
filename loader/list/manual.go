package list

import "strings"

// Manual gives the comment of a package as plain text, examples set in by four blanks: the manual of a notation is the
// comment of the package that reads it. The files hold the comment and the package clause, and nothing else; a comment
// in several files goes on after an empty line.
func Manual(pkg string, files ...string) string {
	var b strings.Builder
	for i, file := range files {
		if i > 0 {
			b.WriteByte('\n')
		}
		for line := range strings.Lines(strings.TrimSuffix(file, "package "+pkg+"\n")) {
			text := strings.TrimPrefix(strings.TrimPrefix(line, "//"), " ")
			b.WriteString(strings.Replace(text, "\t", "    ", 1)) // only an example begins with a tab
		}
	}
	return b.String()
}
