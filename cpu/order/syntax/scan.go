package syntax

import (
	"strings"
	"unicode/utf8"
)

// A kind says what a token is.
type kind int

const (
	lineEnd kind = iota
	word         // load, X1, flip-flop
	number       // 17, 0F
	quoted       // "handbook, issue 3", without its quotes
	mark         // <- , : and the like
	pick         // .14-0
	drawing      // 01rr, only where a pattern stands
	sheet        // 3-4, only after the words page and issue
	strange      // what no line may hold; text is the complaint
)

// An item is one word or mark of a line. A strange one ends its line: nothing after it can be trusted.
type item struct {
	kind     kind
	text     string
	col, end int // bytes from the line's start: first byte, and the one after the last
}

const (
	maxLine  = 4000
	maxSpelt = 3600 // bytes of a line whose tokens stand one blank apart; what Print adds keeps it below maxLine
)

// marks holds what is neither word nor number, longest first.
var marks = []string{"<-", "<=", ">=", "/=", "<", ">", "=", "+", "-", ":", ";", ",", "(", ")", "[", "]", "/", "?"}

// scanLine splits one line, without its end, into tokens, and adds them to toks, which is empty; the last one is always
// lineEnd, close behind the rest.
func scanLine(toks []item, line string) []item {
	if len(line) > maxLine {
		return append(toks, item{strange, "the line is longer than 4,000 bytes; break it up", 0, 1}, item{kind: lineEnd})
	}
	spelt := 0
	for at := 0; at < len(line); {
		if line[at] == ' ' {
			at++
			continue
		}
		var t item
		if line[at] == '#' {
			t = comment(line, at)
		} else {
			t = scanAfter(toks, line, at)
		}
		if t.kind == lineEnd {
			break
		}
		toks = append(toks, t)
		if t.kind == strange {
			break
		}
		at = t.end
		spelt += weight(t)
	}
	if spelt > maxSpelt {
		toks = append(toks[:0], item{strange, "too many words and marks on one line; break it up, with let perhaps", 0, 1})
	}
	end := 0
	if len(toks) > 0 {
		end = toks[len(toks)-1].end
	}
	return append(toks, item{kind: lineEnd, col: end, end: end})
}

// scanAfter takes the next token; the ones before it say where drawings and page numbers stand.
func scanAfter(before []item, line string, at int) item {
	if n := len(before); n > 0 {
		switch first, last := before[0], before[n-1]; {
		case drawn(before, line[at:]):
			return scanDrawing(line, at, last.kind == drawing)
		case first.text == "order" && n == 1, first.text == "except":
			return scanStarred(line, at)
		case last.kind == word && digit(line[at]) &&
			(last.text == "page" || last.text == "issue" && n > 2 && before[n-3].kind == word && before[n-3].text == "page"):
			end := at
			for end < len(line) && (alnum(line[end]) || strings.IndexByte("-./", line[end]) >= 0) {
				end++
			}
			return item{sheet, line[at:end], at, end}
		}
	}
	return scanToken(line, at)
}

// drawn reports whether the rest of a line goes on with a drawing, the tokens before it known.
func drawn(before []item, rest string) bool {
	n := len(before)
	first, last := before[0].text, before[n-1]
	switch {
	case before[0].kind != word:
		return false
	case n == 1:
		return (first == "pattern" || first == "undefined") && strings.IndexByte("<,:.[", rest[0]) < 0
	case first == "pattern":
		return before[1].kind == drawing
	case first == "undefined" || first == "declares": // a page may follow
		return last.kind == drawing && (alnum(rest[0]) || rest[0] == '*' || rest[0] == '?') && !strings.HasPrefix(rest, "page ") ||
			n == 4 && last.kind == word && last.text == "of"
	}
	return false
}

// weight is how many bytes Print may need for a token: it sets tokens apart, and the pieces inside drawings.
func weight(t item) int {
	if t.kind == quoted || t.kind == drawing {
		return 2*(t.end-t.col) + 1
	}
	return t.end - t.col + 1
}

// comment checks that a comment is printable and ends the line there.
func comment(line string, at int) item {
	for i, r := range line[at:] {
		if t, bad := unprintable(line, at+i, r); bad {
			return t
		}
	}
	return item{kind: lineEnd}
}

// scanToken takes the token that starts at a byte which is no blank.
func scanToken(line string, at int) item {
	c := line[at]
	switch {
	case letter(c):
		return scanWord(line, at)
	case digit(c):
		return scanNumber(line, at)
	case c == '"':
		return scanQuoted(line, at)
	case c == '.' && at+1 < len(line) && digit(line[at+1]):
		return scanPick(line, at)
	}
	for _, m := range marks {
		if strings.HasPrefix(line[at:], m) {
			return item{mark, m, at, at + len(m)}
		}
	}
	return scanStrange(line, at)
}

// scanWord takes letters, digits and hyphens; a hyphen belongs to the word only where the word goes on after it.
func scanWord(line string, at int) item {
	end := at + 1
	for end < len(line) && (alnum(line[end]) || line[end] == '-' && end+1 < len(line) && alnum(line[end+1])) {
		end++
	}
	return item{word, line[at:end], at, end}
}

// scanStarred takes a word in which stars stand for parts of an order's name, or any other token.
func scanStarred(line string, at int) item {
	part := func(i int) bool { return i < len(line) && (alnum(line[i]) || line[i] == '*') }
	end := at
	for !digit(line[at]) && (part(end) || end > at && line[end:] != "" && line[end] == '-' && part(end+1)) {
		end++
	}
	if end == at {
		return scanToken(line, at)
	}
	return item{word, line[at:end], at, end}
}

// scanNumber takes a digit and the digits and hexadecimal letters after it. A number run into a word is refused here,
// where the letters O and l among digits show.
func scanNumber(line string, at int) item {
	end := at + 1
	for end < len(line) && alnum(line[end]) {
		end++
	}
	text := line[at:end]
	for i := range len(text) {
		if !hexDigit(text[i]) {
			return item{strange, badNumber(text), at, end}
		}
	}
	return item{number, text, at, end}
}

// lettersRepaired turns letters that look like digits into those.
var lettersRepaired = strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1")

// badNumber says what is wrong with a number that has a letter in it.
func badNumber(text string) string {
	repaired := lettersRepaired.Replace(text)
	for i := range len(repaired) {
		if !hexDigit(repaired[i]) {
			return "expected a number, or a number and a word with a blank between, found " + show(text)
		}
	}
	return "expected a number, found " + show(text) + " with a letter in it; did you mean " + clip(repaired)
}

// scanQuoted takes text between straight quotes; there is no way to put a quote into it.
func scanQuoted(line string, at int) item {
	for i, r := range line[at+1:] {
		if r == '"' {
			return item{quoted, line[at+1 : at+1+i], at, at + i + 2}
		}
		if t, bad := unprintable(line, at+1+i, r); bad {
			return t
		}
	}
	return item{strange, `expected a closing " on the same line`, at, len(line)}
}

// scanPick takes .17 or .14-0.
func scanPick(line string, at int) item {
	end := digits(line, at+1)
	if end+1 < len(line) && line[end] == '-' && digit(line[end+1]) {
		end = digits(line, end+1)
	}
	if end < len(line) && letter(line[end]) {
		return item{strange, "expected decimal bit numbers, found " + show(scanNumber(line, at+1).found(line)), at, end}
	}
	return item{pick, line[at+1 : end], at, end}
}

// scanDrawing takes a run of bits as a pattern line draws them, or the stroke between two words. A ? that stands alone at
// the end of the line, behind other bits, is the doubt mark.
func scanDrawing(line string, at int, behind bool) item {
	end := at
	for end < len(line) && (line[end] == '0' || line[end] == '1' || letter(line[end]) || line[end] == '*' || line[end] == '?') {
		end++
	}
	rest := strings.TrimLeft(line[end:], " ")
	switch {
	case behind && line[at:end] == "?" && (rest == "" || rest[0] == '#'):
		return item{mark, "?", at, end}
	case end > at:
		return item{drawing, line[at:end], at, end}
	case line[at] == '/':
		return item{mark, "/", at, at + 1}
	case line[at] > ' ' && line[at] < utf8.RuneSelf:
		return item{strange, "expected 0, 1, a field letter, * or ? in a pattern, found " + show(line[at:at+1]), at, at + 1}
	}
	return scanStrange(line, at)
}

// found is the token as it stands in its line.
func (t item) found(line string) string { return line[t.col:t.end] }

func letter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }
func digit(c byte) bool  { return '0' <= c && c <= '9' }
func alnum(c byte) bool  { return letter(c) || digit(c) }
func hexDigit(c byte) bool {
	return digit(c) || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F'
}

// digits gives the place after the digits that start at a place.
func digits(line string, at int) int {
	for at < len(line) && digit(line[at]) {
		at++
	}
	return at
}
