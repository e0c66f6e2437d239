package syntax

import (
	"fmt"
	"strconv"
	"unicode/utf8"
)

// A lookalike is a character that a word processor or another alphabet puts where ASCII is meant.
type lookalike struct {
	name string
	mean string // what was meant; empty where nothing can be said
}

// lookalikes holds those met in typed tables; ranges of digits and letters are worked out in nameRune.
var lookalikes = map[rune]lookalike{
	'\u00a0': {"no-break space", "a blank"},
	'\u00ad': {"soft hyphen", "-"},
	'\u00b7': {"middle dot", "."},
	'\u00d7': {"multiplication sign", ""},
	'\u200b': {"zero width space", ""},
	'\u2010': {"hyphen", "-"},
	'\u2011': {"no-break hyphen", "-"},
	'\u2012': {"figure dash", "-"},
	'\u2013': {"en dash", "-"},
	'\u2014': {"em dash", "-"},
	'\u2018': {"left single quote", `"`},
	'\u2019': {"right single quote", `"`},
	'\u201c': {"left double quote", `"`},
	'\u201d': {"right double quote", `"`},
	'\u201e': {"low double quote", `"`},
	'\u2026': {"ellipsis", ""},
	'\u2190': {"leftwards arrow", "<-"},
	'\u2212': {"minus sign", "-"},
	'\u2260': {"not equal sign", "/="},
	'\u2264': {"less-than or equal sign", "<="},
	'\u2265': {"greater-than or equal sign", ">="},
	'\u00ab': {"left angle quote", `"`},
	'\u00bb': {"right angle quote", `"`},
	'\u202e': {"right-to-left override", ""},
	'\ufeff': {"byte order mark", ""},
}

// The letters of two alphabets that look like Latin ones, pair by pair.
const (
	cyrillic      = "АВЕЅІЈКМНОРСТУХаеѕіјорсух"
	cyrillicLatin = "ABESIJKMHOPCTYXaesijopcyx"
	greek         = "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧορν"
	greekLatin    = "ABEZHIKMNOPTYXopv"
)

// nameRune gives the name of a character, and what was probably meant; both empty where it is not known.
func nameRune(r rune) (name, mean string) {
	if l, ok := lookalikes[r]; ok {
		return l.name, l.mean
	}
	switch {
	case r >= 0xff10 && r <= 0xff19:
		return "full-width digit", string('0' + r - 0xff10)
	case r >= 0xff01 && r <= 0xff5e:
		return "full-width letter or sign", string('!' + r - 0xff01)
	case r >= 0x0660 && r <= 0x0669:
		return "Arabic-Indic digit", string('0' + r - 0x0660)
	}
	if m := paired(r, cyrillic, cyrillicLatin); m != "" {
		return "Cyrillic letter", "the Latin letter " + m
	}
	if m := paired(r, greek, greekLatin); m != "" {
		return "Greek letter", "the Latin letter " + m
	}
	return "", ""
}

// paired gives the Latin letter that stands where r stands among its likes.
func paired(r rune, likes, latin string) string {
	n := 0
	for _, l := range likes {
		if l == r {
			return latin[n : n+1]
		}
		n++
	}
	return ""
}

// scanStrange refuses the character at a place: outside comments and quotes only ASCII stands, so that nothing looks
// like what it is not.
func scanStrange(line string, at int) item {
	r, size := utf8.DecodeRuneInString(line[at:])
	if t, bad := unprintable(line, at, r); bad {
		return t
	}
	t := item{strange, "", at, at + size}
	if r < utf8.RuneSelf {
		t.text = fmt.Sprintf("expected a word, a number or a mark, found %q", string(r))
		if r == '\'' {
			t.text += `; did you mean "`
		}
		return t
	}
	name, mean := nameRune(r)
	t.text = fmt.Sprintf("found %U", r)
	if name != "" {
		t.text += ", " + name
	}
	t.text += "; only plain letters, digits and marks stand outside comments and quotes"
	if mean != "" {
		t.text += "; did you mean " + mean
	}
	return t
}

// unprintable refuses what no part of a line may hold, comments and quotes included.
func unprintable(line string, at int, r rune) (item, bool) {
	t := item{strange, "", at, at + 1}
	switch {
	case r == '\t':
		t.text = "found a tab; use blanks"
	case r == 0:
		t.text = "found a NUL byte; this may not be a text file"
	case r == '\r':
		t.text = "found a carriage return inside a line; save the file with line ends LF or CRLF"
	case r == utf8.RuneError && badByte(line[at:]):
		t.text = fmt.Sprintf("found byte %#02x, which is no UTF-8; save the file as plain text", line[at])
	case !strconv.IsGraphic(r):
		t.text = fmt.Sprintf("found %U, which does not print", r)
		if name, _ := nameRune(r); name != "" {
			t.text = fmt.Sprintf("found %U, %s, which does not print", r, name)
		}
	default:
		return t, false
	}
	return t, true
}

// badByte reports whether s begins with a byte that begins no character.
func badByte(s string) bool {
	_, size := utf8.DecodeRuneInString(s)
	return size == 1
}
