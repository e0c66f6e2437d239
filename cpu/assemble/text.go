package assemble

import (
	"math/bits"
	"strings"

	"coldstart/memory"
)

// textCodes names the codes text can be written in, in the order a message lists them.
var textCodes = []string{"ascii", "ascii-even"}

// evenParity gives a 7-bit character an eighth bit that makes the number of ones even, as ANSI X3.16 states for
// asynchronous lines (from memory).
func evenParity(char memory.Word) memory.Word {
	return char | memory.Word(bits.OnesCount64(uint64(char))%2)<<7
}

// printable says that c is a character that can stand between quotes.
func printable(c byte) bool { return ' ' <= c && c <= '~' }

// textSize counts the characters of a text job, whose cursor it leaves at the name of the code.
func (j *job) textSize() (n uint64, ok bool) {
	k := j.cursor
	code := k.take()
	for _, known := range textCodes {
		ok = ok || code.kind == isName && code.text == known
	}
	if !ok {
		k.wrong(code, "%v is no code for text; there are %s%s", code, strings.Join(textCodes, ", "), k.nearest(code.text, func() []string { return textCodes }))
		return 0, false
	}
	for {
		if s, whole := k.string(); whole {
			n += uint64(len(s))
		} else {
			n++
		}
		if !k.more() {
			return n, true
		}
	}
}

// string gives the characters of a text that stands alone between commas; one in a sum, as "A" + 1, is a value.
func (k *cursor) string() (string, bool) {
	it, after := k.peek(), k.ahead(1)
	if it.kind != isText || after.kind != isEnd && !after.is(",") {
		return "", false
	}
	return it.text, true
}

// characters gives the words of a text job to emit, with their index.
func (j *job) characters(emit func(int, memory.Word)) {
	k := j.cursor
	even := k.take().text == "ascii-even"
	at := 0
	give := func(first item, char memory.Word) {
		if even {
			char = evenParity(char)
		}
		if char > memory.Mask(k.code.Geometry.Width) {
			k.wrong(first, "the character does not fit a word of %d bits", k.code.Geometry.Width)
			return
		}
		emit(at, char)
		at++
	}
	for {
		first := k.peek()
		if s, whole := k.string(); whole {
			for i := range len(s) {
				if !printable(s[i]) {
					k.wrong(first, "%q is no character of ASCII", s)
					return
				}
				give(first, memory.Word(s[i]))
			}
			k.next++
		} else {
			// A number is a character of the code too, and gets its parity.
			n, ok := k.plain("a character", k.on(j.at, at), 0x7F)
			if !ok {
				return
			}
			give(first, memory.Word(n))
		}
		if it := k.peek(); it.kind != isEnd && !it.is(",") {
			k.wrong(it, "a comma or the end of the line is wanted here, not %v", it)
			return
		}
		if !k.more() {
			return
		}
	}
}
