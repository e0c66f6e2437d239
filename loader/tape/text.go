package tape

import "coldstart/memory"

// leastText is the number of printable characters in a row that count as a string.
const leastText = 4

// Strings finds runs of four or more printable characters in words, with characters standing in a word as the layout's
// text record says; without one, a word that is a character is one. Printable is ASCII from 40 to 176 octal.
func (l *Layout) Strings(words []memory.Word) []string {
	var found []string
	var run []byte
	end := func() {
		if len(run) >= leastText {
			found = append(found, string(run))
		}
		run = run[:0]
	}
	for _, w := range words {
		for _, c := range l.characters(w) {
			if c < ' ' || c > '~' {
				end()
				continue
			}
			run = append(run, byte(c))
		}
	}
	end()
	return found
}

// characters takes the characters out of a word. A word with bits set beyond them holds none: 0 stands for it.
func (l *Layout) characters(w memory.Word) []memory.Word {
	t := l.text
	switch {
	case t.units == 0:
		return []memory.Word{w}
	case w&^memory.Mask(t.units*t.bits) != 0:
		return []memory.Word{0}
	}
	chars := make([]memory.Word, t.units)
	for i := range chars {
		at := i
		if !t.lowFirst {
			at = t.units - 1 - i
		}
		chars[i] = w >> (at * t.bits) & memory.Mask(t.bits)
	}
	return chars
}
