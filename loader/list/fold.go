package list

import "strings"

// Paper is how many columns a sheet, and the narrowest terminal that still counts, is wide.
const Paper = 80

// Fold breaks a line for paper: what does not fit in Paper columns goes on below, each further line behind hang. Blanks
// within what fits stay as they are, so that columns of a table stay too. What is between backquotes, or between double
// quotes and begins with this program's name, is there to be typed and is never broken; neither is a word that is itself
// wider than paper. The line has no line end, and neither has what is given.
func Fold(line, hang string) string {
	var b strings.Builder
	for indent := 0; ; indent = len([]rune(hang)) {
		at := fold([]rune(line), indent)
		if at < 0 {
			b.WriteString(line)
			return b.String()
		}
		rest := []rune(line)
		b.WriteString(strings.TrimRight(string(rest[:at]), " ") + "\n")
		line = hang + strings.TrimLeft(string(rest[at:]), " ")
	}
}

// fold finds the blank at which a line is broken: the last that fits, or else the first that does not; -1 where the line fits
// or cannot be broken. A line is never broken before its first word behind the indent, so every break leaves less to break.
func fold(line []rune, indent int) int {
	if len(line) <= Paper {
		return -1
	}
	at, begun, end := -1, false, len(line)
	for end > 0 && line[end-1] == ' ' {
		end--
	}
	for i := 0; i < end; i++ {
		switch {
		case line[i] != ' ':
			begun = begun || i >= indent
			i += typed(line[i:])
		case begun && (at < 0 || i <= Paper):
			at = i
		}
		if at >= 0 && i >= Paper {
			break
		}
	}
	return at
}

// toType are the ways that a message marks what is to be typed: how it begins, and the sign it ends at.
var toType = []struct{ begins, ends string }{{"`", "`"}, {`"coldstart `, `"`}}

// typed gives how many characters after the first of text belong to something to be typed that begins there; 0 for none.
func typed(text []rune) int {
	for _, t := range toType {
		n := len([]rune(t.begins))
		if len(text) <= n || string(text[:n]) != t.begins {
			continue
		}
		if end := strings.Index(string(text[n:]), t.ends); end >= 0 {
			return n + len([]rune(string(text[n:])[:end]))
		}
	}
	return 0
}
