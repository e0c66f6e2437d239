package assemble

import (
	"fmt"
	"go/token"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A line is one line of a source.
type line struct {
	source string
	number int
	text   string
	items  []item
}

// An item is one piece of a line: a name, a number, a text between quotes, or a mark.
type item struct {
	kind kind
	text string // without the quotes
	from int    // where it begins in the line, counted from 0
	to   int    // behind its end
}

// A kind says what an item is.
type kind uint8

const (
	isEnd kind = iota // the end of the line
	isName
	isNumber
	isText
	isMark
)

// longest is how many characters a name or a number may have: a binary number of 64 bits.
const longest = 64

// at is a place in the line, counted from 0.
func (l *line) at(column int) token.Position {
	return token.Position{Filename: l.source, Line: l.number, Column: column + 1}
}

// start is where the first item of the line stands.
func (l *line) start() token.Position {
	if len(l.items) == 0 {
		return l.at(0)
	}
	return l.at(l.items[0].from)
}

// seenFrom names the line in a sentence about a line of a source.
func (l *line) seenFrom(source string) string {
	if l.source == source {
		return fmt.Sprintf("line %d", l.number)
	}
	return fmt.Sprintf("%s:%d", l.source, l.number)
}

// scan cuts the line into items. An error carries the column, counted from 0, of what cannot be read.
func (l *line) scan() (column int, err error) {
	text := l.text
	for i := 0; i < len(text); {
		from := i
		c := text[i]
		switch {
		case c == ' ' || c == '\t' || c == '\r' && i == len(text)-1:
			i++
			continue
		case c == '#':
			return 0, nil
		case letter(c) || digit(c):
			kind := isNumber
			if letter(c) {
				kind = isName
			}
			if i = wordEnd(text, i, kind); i-from > longest {
				return from, fmt.Errorf("this word has %d characters, and none may have more than %d", i-from, longest)
			}
			l.add(kind, text[from:i], from, i)
		case c == '"':
			length := strings.IndexByte(text[i+1:], '"')
			if length < 0 {
				return from, fmt.Errorf("the text has no closing quote on this line")
			}
			i += length + 2
			l.add(isText, text[from+1:i-1], from, i)
		case strings.IndexByte(",:=+-.", c) >= 0:
			i++
			l.add(isMark, text[from:i], from, i)
		default:
			return from, strange(text[i:])
		}
	}
	return 0, nil
}

// add puts an item at the end of the line.
func (l *line) add(k kind, text string, from, to int) {
	l.items = append(l.items, item{k, text, from, to})
}

// wordEnd is where the name or number beginning at i ends. A hyphen belongs to a name where a letter or digit follows.
func wordEnd(text string, i int, k kind) int {
	for i++; i < len(text); i++ {
		c := text[i]
		hyphen := k == isName && c == '-' && i+1 < len(text) && (letter(text[i+1]) || digit(text[i+1]))
		if !letter(c) && !digit(c) && !hyphen {
			break
		}
	}
	return i
}

// strange says what is wrong with the first character of rest. Order text is ASCII, so that no character merely looks
// like another.
func strange(rest string) error {
	r, size := utf8.DecodeRuneInString(rest)
	switch {
	case r == utf8.RuneError && size == 1:
		return fmt.Errorf("the byte %02X is no character; order text is written in ASCII", rest[0])
	case r >= utf8.RuneSelf:
		return fmt.Errorf("%q (%U) cannot stand here; order text is written in ASCII", r, r)
	}
	return fmt.Errorf("%q cannot stand here", r)
}

// letter says that c is an ASCII letter.
func letter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }

// digit says that c is an ASCII digit.
func digit(c byte) bool { return '0' <= c && c <= '9' }

// A cursor reads the items of a line from left to right.
type cursor struct {
	*assembler
	line *line
	next int // index of the item peek gives
}

// peek is the next item, left where it is.
func (k *cursor) peek() item { return k.ahead(0) }

// ahead is the item n places after the next.
func (k *cursor) ahead(n int) item {
	if k.next+n >= len(k.line.items) {
		last := k.line.items[len(k.line.items)-1].to // a line without items has no cursor
		return item{kind: isEnd, from: last, to: last}
	}
	return k.line.items[k.next+n]
}

// take is the next item.
func (k *cursor) take() item {
	it := k.peek()
	if it.kind != isEnd {
		k.next++
	}
	return it
}

// is says that the item is that mark.
func (it item) is(text string) bool { return it.kind == isMark && it.text == text }

// starts says that a value or a register or a word can begin with the item.
func (it item) starts() bool { return it.kind == isName || it.kind == isNumber || it.kind == isText }

// String is the item as a sentence shows it.
func (it item) String() string {
	switch it.kind {
	case isEnd:
		return "the end of the line"
	case isText:
		if len(it.text) > longest {
			return "a text"
		}
		return strconv.Quote(it.text) // nothing in it may act on the terminal
	case isMark:
		return "`" + it.text + "`"
	}
	return it.text
}

// wrong records an error at an item.
func (k *cursor) wrong(it item, format string, args ...any) {
	k.errorf(k.line.at(it.from), format, args...)
}

// comma takes the comma that has to stand here.
func (k *cursor) comma(before string) bool {
	if k.peek().is(",") {
		k.next++
		return true
	}
	k.wrong(k.peek(), "a comma and %s are wanted here, not %v", before, k.peek())
	return false
}

// more goes to the next operand, behind the next comma; false where none follows.
func (k *cursor) more() bool {
	for {
		it := k.take()
		if it.kind == isEnd {
			return false
		}
		if it.is(",") {
			return true
		}
	}
}

// finish complains where anything is left on the line.
func (k *cursor) finish() bool {
	if it := k.peek(); it.kind != isEnd {
		k.wrong(it, "the line should end here, before %v", it)
		return false
	}
	return true
}

// lastFrom is the text of the line from item first to the one just taken.
func (k *cursor) lastFrom(first item) string {
	return k.line.text[first.from:max(first.from, k.line.items[k.next-1].to)]
}
