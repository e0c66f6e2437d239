package list

// Nearest gives the word most like the one typed, for a hint in an error; "" where none is near enough. Distance is the
// number of letters put in, left out, changed, or exchanged with a neighbour; ties go to the earlier word. Where more than one
// letter differs and that is half of those typed, a word is near only if it begins alike: people know how the word they
// mean begins. So is a single letter near to nothing but itself.
func Nearest(typed string, words []string) string {
	best, at := "", (len(typed)+2)/3+1
	for _, w := range words {
		d := distance(typed, w, at)
		if d < at && (2*d < max(3, len(typed)) && len(typed) > 1 || w != "" && differ(typed[0], w[0]) == 0) {
			best, at = w, d
		}
	}
	return best
}

// distance counts the edits from a to b, giving up at limit. It works on bytes: the words of both notations are ASCII.
func distance(a, b string, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+differ(a[i-1], b[j-1]))
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

// differ is 0 for like letters, upper case or lower.
func differ(x, y byte) int {
	if x|0x20 == y|0x20 {
		return 0
	}
	return 1
}
