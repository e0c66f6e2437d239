package list

import "unicode/utf8"

// textHead is how many bytes at the start of a file are looked at to tell text from anything else.
const textHead = 4096

// IsText says whether src begins as text does: a slip or two is left for its reader to name by line, but a picture, a
// program or text saved as UTF-16 would be nothing but slips, and is better refused in one sentence.
func IsText(src []byte) bool {
	head := src[:min(len(src), textHead)]
	odd := 0
	for i := 0; i < len(head); {
		r, size := utf8.DecodeRune(head[i:])
		if r == utf8.RuneError && size == 1 || r < ' ' && r != '\n' && r != '\r' && r != '\t' {
			odd++
		}
		i += size
	}
	return odd <= len(head)/20+3
}
