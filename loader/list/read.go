package list

import (
	"bytes"
	"fmt"
	"go/token"
	"strings"
	"unicode/utf8"
)

// Read gives the records of the list file src; name is the file name shown in positions. The error is a
// go/scanner.ErrorList, at most one entry a line, and then no record is given: half a list is never taken for a whole one.
func Read(name string, src []byte) ([]Record, error) {
	r := reader{name: name}
	r.file(src)
	if len(r.begun) > 0 && r.errs.Err() == nil {
		r.errs.Add(r.begun[0].Pos, "the list ends where this record should go on; take out the backslash")
	}
	if err := r.errs.Err(); err != nil {
		return nil, err
	}
	return r.records, nil
}

// A reader goes through one file, line by line.
type reader struct {
	name    string
	line    int
	words   int
	records []Record
	begun   []Word // of a record that goes on
	errs    Errors
}

// at gives the position of byte col, counted from 0, of the present line.
func (r *reader) at(col int) token.Position {
	return token.Position{Filename: r.name, Line: r.line, Column: col + 1}
}

// file reads all lines, and stops early where nothing further can make sense.
func (r *reader) file(src []byte) {
	if len(src) > maxFile {
		r.errs.Add(token.Position{Filename: r.name}, "the file holds %d bytes; a list may hold %d: is this the right file?", len(src), maxFile)
		return
	}
	if !IsText(src) {
		r.line = 1
		r.errs.Add(r.at(0), "this is no text: it may be a picture, a program, or text saved as UTF-16; a list is plain text")
		return
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	for len(src) > 0 && !r.errs.full() {
		var line []byte
		line, src, _ = bytes.Cut(src, []byte("\n"))
		r.line++
		if i := bytes.IndexByte(line, 0); i >= 0 {
			r.errs.Add(r.at(i), "a NUL byte: this is not a text file, so not a list")
			return
		}
		words := r.record(string(bytes.TrimSuffix(line, []byte("\r"))))
		r.words += len(words)
		r.add(words)
		if r.words > maxWords {
			r.errs.Add(r.at(0), "more than %d words up to here; a list may not hold more: is this the right file?", maxWords)
			return
		}
	}
}

// add takes the words of one line. Where the last is a backslash by itself, the record goes on in the next line.
func (r *reader) add(words []Word) {
	last := len(words) - 1
	on := last >= 0 && words[last].Text == `\` && !words[last].Quoted
	if on {
		words = words[:last]
	}
	r.begun = append(r.begun, words...)
	if _, err := Append(nil, Record{Words: r.begun}); len(r.begun) > len(words) && err != nil {
		r.errs.Add(r.begun[0].Pos, "this record takes more than %d bytes over its lines; make it shorter", maxLine)
		r.begun = nil
	}
	if !on && len(r.begun) > 0 {
		r.records = append(r.records, Record{Pos: r.begun[0].Pos, Words: r.begun})
		r.begun = nil
	}
}

// record splits one line into words. The first thing wrong ends the line: what follows it is guesswork.
func (r *reader) record(line string) []Word {
	if len(line) > maxLine {
		r.errs.Add(r.at(0), "the line holds %d bytes; a line may hold %d", len(line), maxLine)
		return nil
	}
	var words []Word
	for i := 0; ; {
		for i < len(line) && isBlank(line[i]) {
			i++
		}
		if i == len(line) {
			return words
		}
		if line[i] == '#' {
			if at, msg := unprintable(strings.ReplaceAll(line[i:], "\t", " ")); msg != "" {
				r.errs.Add(r.at(i+at), "%s in a comment; take it out", msg)
			}
			return words
		}
		scan := bare
		if line[i] == '"' {
			scan = quoted
		}
		text, n, msg := scan(line[i:])
		if msg != "" {
			r.errs.Add(r.at(i+n), "%s", msg)
			return nil
		}
		words = append(words, Word{Text: text, Pos: r.at(i), Quoted: line[i] == '"'})
		i += n
	}
}

// isBlank says whether c separates words.
func isBlank(c byte) bool { return c == ' ' || c == '\t' }

// bare reads a word without quotes at the start of s: its text, its length, and what is wrong at that length, if anything.
func bare(s string) (text string, n int, wrong string) {
	for n < len(s) && !isBlank(s[n]) && s[n] != '#' {
		if s[n] == '"' {
			return "", n, "a quote in the middle of a word; put a blank before it, or quote the whole word"
		}
		if s[n] < '!' || s[n] > '~' {
			return "", n, notPlain(s[n:])
		}
		n++
	}
	return s[:n], n, ""
}

// quoted reads a word in quotes at the start of s, with results as bare has them.
func quoted(s string) (text string, n int, wrong string) {
	var b strings.Builder
	for n = 1; n < len(s); {
		switch c := s[n]; {
		case c == '"':
			n++
			if n < len(s) && !isBlank(s[n]) && s[n] != '#' {
				return "", n, "a word goes on after its closing quote; put a blank between, or write \\\" for a quote inside"
			}
			return b.String(), n, ""
		case c == '\\':
			if n+1 == len(s) || s[n+1] != '"' && s[n+1] != '\\' {
				return "", n, `a backslash before something other than " or \; write \\ for a backslash`
			}
			b.WriteByte(s[n+1])
			n += 2
		default:
			m := runeLen(s[n:])
			if _, msg := unprintable(s[n : n+m]); msg != "" {
				return "", n, msg + " inside quotes; take it out"
			}
			b.WriteString(s[n : n+m])
			n += m
		}
	}
	return "", 0, `the quote opened here is not closed on its line; end the word with "`
}

// runeLen gives the bytes of the first character of s, 1 when it is not UTF-8.
func runeLen(s string) int {
	_, n := utf8.DecodeRuneInString(s)
	return n
}

// notPlain words the refusal of the character at the start of s, which is not plain ASCII, in a word without quotes.
func notPlain(s string) string {
	c, _ := utf8.DecodeRuneInString(s)
	if like := Lookalike(c); like != "" {
		return fmt.Sprintf("%s only looks like %q; type %q", show(s), like, like)
	}
	if _, msg := unprintable(s[:runeLen(s)]); msg != "" {
		return msg + "; take it out"
	}
	return show(s) + " in a word without quotes; check the spelling, or quote the word"
}
