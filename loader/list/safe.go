package list

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Safe gives text from outside in a form that can be put on a terminal or on paper: controls, escapes, marks that change
// the direction of writing, invisible characters and bytes that are not UTF-8 become backslash escapes. Everything else,
// backslashes included, stays, so doing it twice changes nothing. Line ends are escaped too.
func Safe(s string) string {
	if at, _ := unprintable(s); at == len(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		c, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case c == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case strconv.IsPrint(c):
			b.WriteRune(c)
		default:
			b.WriteString(strings.Trim(strconv.QuoteRune(c), "'"))
		}
		i += n
	}
	return b.String()
}

// unprintable finds the first character of s that must not reach a terminal, and names it; len(s) and "" if there is none.
func unprintable(s string) (at int, name string) {
	for i := 0; i < len(s); {
		c, n := utf8.DecodeRuneInString(s[i:])
		if c == utf8.RuneError && n == 1 || !strconv.IsPrint(c) {
			return i, show(s[i:])
		}
		i += n
	}
	return len(s), ""
}

// show names the first character of s in a message.
func show(s string) string {
	c, n := utf8.DecodeRuneInString(s)
	switch {
	case c == utf8.RuneError && n == 1:
		return fmt.Sprintf("a byte %02x that is not UTF-8", s[0])
	case strconv.IsPrint(c):
		return fmt.Sprintf("%q (%U)", string(c), c)
	}
	return fmt.Sprintf("an unprintable character (%U)", c)
}

// Lookalike gives the plain character that c is easily taken for, or "" if c is plain or like none. Pages pasted from a
// scan or a word processor are full of them. The pairs are common practice, no source.
func Lookalike(c rune) string {
	switch {
	case c >= '！' && c <= '～': // the full-width forms stand in the order of ASCII
		return string(c - '！' + '!')
	case c < utf8.RuneSelf:
		return ""
	}
	for _, l := range lookalikes {
		if strings.ContainsRune(l.like, c) {
			return l.plain
		}
	}
	return ""
}

// lookalikes gives the characters that look like each plain one.
var lookalikes = []struct{ plain, like string }{
	{" ", "\u00a0\u2002\u2003\u2007\u2009\u202f\u3000"},
	{"-", "\u2010\u2011\u2012\u2013\u2014\u2212"},
	{`"`, "\u201c\u201d\u201e\u00ab\u00bb"},
	{"'", "\u2018\u2019\u00b4"},
	{"0", "\u0660\u06f0"},
	{"1", "\u0661\u06f1"},
	{"A", "\u0410\u0391"}, {"B", "\u0412\u0392"}, {"C", "\u0421"}, {"E", "\u0415\u0395"},
	{"H", "\u041d\u0397"}, {"K", "\u041a\u039a"}, {"M", "\u041c\u039c"}, {"O", "\u041e\u039f"},
	{"P", "\u0420\u03a1"}, {"T", "\u0422\u03a4"}, {"X", "\u0425\u03a7"}, {"I", "\u0406\u0399"},
	{"a", "\u0430"}, {"c", "\u0441"}, {"e", "\u0435"}, {"o", "\u043e\u03bf"}, {"p", "\u0440"}, {"x", "\u0445"}, {"i", "\u0456"},
	{"x", "\u00d7"}, {".", "\u2024\u00b7"}, {":", "\u2236"}, {"/", "\u2044\u2215"},
}
