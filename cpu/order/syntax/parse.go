package syntax

import (
	"bytes"
	"fmt"
	"go/scanner"
	"go/token"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"coldstart/loader/list"
)

const (
	maxFile   = 4 << 20
	maxDepth  = 200
	maxErrors = 1000
)

// Parse reads a machine file; name is the one its positions carry. On error the File is nil and the error a sorted
// go/scanner.ErrorList with one entry for each line that is wrong, 1,000 at most.
func Parse(name string, src []byte) (*File, error) {
	p := &parser{file: name, rest: bytes.TrimPrefix(src, []byte("\ufeff")), statements: statementTable()}
	p.offset = len(src) - len(p.rest)
	f := &File{Name: name}
	if why := unfit(src); why != "" {
		p.errs.Add(token.Position{Filename: name, Line: 1, Column: 1}, why)
		return nil, p.errs.Err()
	}
	p.nextLine()
	for !p.done {
		if s := p.statement(); s != nil {
			f.Statements = append(f.Statements, s)
		}
	}
	if len(p.errs) > 0 {
		p.errs.Sort()
		return nil, p.errs.Err()
	}
	return f, nil
}

// unfit says why a file is not worth reading by lines: too long, or no text at all.
func unfit(src []byte) string {
	if len(src) > maxFile {
		return "the file is longer than 4 MB; a machine file is text of some hundred lines"
	}
	head := src[:min(len(src), 4096)]
	odd := 0
	for i := 0; i < len(head); {
		r, size := utf8.DecodeRune(head[i:])
		if r == utf8.RuneError && size == 1 || r < ' ' && r != '\n' && r != '\r' && r != '\t' {
			odd++
		}
		i += size
	}
	if odd > len(head)/20+3 {
		return "this is no text: it may be a picture, a program, or text saved as UTF-16; a machine file is plain text"
	}
	return ""
}

// A class says what part of a file a line is, by its first word.
type class int

const (
	headLine     class = iota // a statement's head or a clause
	transferLine              // targets <- sources
	actionLine                // halt, wait, spend, restart, trap
	blockLine                 // let, if, repeat
	closeLine                 // else, end
)

// A parser reads a file line by line, by recursive descent. After an error the rest of the line is passed over: the
// cursor then stands at the line's end, where nothing matches, so the callers unwind without a second complaint.
type parser struct {
	file       string
	statements map[string]func(*parser) Statement
	rest       []byte
	offset     int // of rest in the file
	errs       scanner.ErrorList

	line    int
	typed   string // the line
	start   int    // its offset in the file
	toks    []item
	at      int    // cursor in toks
	lead    string // the line's keyword, put right where it was mistyped; empty for a transfer
	class   class
	failed  bool // this line has its error
	done    bool // no line is left
	depth   int
	stopped bool // the rest of the file was given up
}

// nextLine goes to the next line that holds anything and that a keyword or a transfer begins.
func (p *parser) nextLine() {
	for len(p.rest) > 0 && len(p.errs) < maxErrors {
		raw, rest, _ := bytes.Cut(p.rest, []byte("\n"))
		p.line++
		p.start = p.offset
		p.offset += len(p.rest) - len(rest)
		p.rest = rest
		p.typed = string(bytes.TrimSuffix(raw, []byte("\r")))
		p.toks, p.at, p.failed = scanLine(p.typed), 0, false
		if p.toks[0].kind != lineEnd && p.classify() {
			return
		}
	}
	if len(p.errs) == maxErrors {
		p.failed = false
		p.fail(p.tok(), "1,000 lines are wrong; the rest of the file was not read")
	}
	p.done, p.failed = true, p.stopped
	p.toks, p.at, p.lead, p.class = []item{{kind: lineEnd}}, 0, "", headLine
}

// classify finds out what the rest of the line is, and reports whether it is anything.
func (p *parser) classify() bool {
	t := p.tok()
	p.lead, p.class = t.text, headLine
	switch {
	case t.kind != word:
		p.expected("a statement, a clause or a transfer", nil)
		return false
	case p.transferAhead():
		p.lead, p.class = "", transferLine
	case t.text == "trap" && p.toks[min(p.at+2, len(p.toks)-1)].kind != quoted, slices.Contains(actionWords, t.text):
		p.class = actionLine
	case slices.Contains(blockWords, t.text):
		p.class = blockLine
	case slices.Contains(closeWords, t.text):
		p.class = closeLine
	case p.statements[t.text] != nil || clauseOwners[t.text] != "":
	case p.peek().kind == strange:
		p.advance()
		p.expected("", nil)
		return false
	case p.peek().kind == mark:
		p.lead, p.class = "", transferLine
	default:
		return p.mistyped()
	}
	return true
}

// transferMarks are the marks that may follow the first word of a transfer and no keyword.
var transferMarks = []string{"<-", ",", ":", "["}

// The first words of lines that are no statement heads. A trap line is an action where no text follows the name.
var (
	actionWords = []string{"halt", "wait", "spend", "restart"}
	blockWords  = []string{"let", "if", "repeat"}
	closeWords  = []string{"else", "end"}
)

// clauseOwners names, for each clause, the statements it stands below.
var clauseOwners = map[string]string{
	"pattern": "order",
	"operand": "order",
	"mode":    "order",
	"must":    "order",
	"does":    "order, mode, trap or boot",
	"cost":    "order",
	"check":   "order",
	"when":    "trap",
	"wired":   "store",
	"parity":  "store",
	"chips":   "store",
}

// mistyped reports a first word that is no keyword, and takes the line for what was probably meant, so that the lines
// below it are read in their right place. It reports whether anything was near enough.
func (p *parser) mistyped() bool {
	t := p.tok()
	words := slices.Concat(slices.Sorted(maps.Keys(p.statements)), slices.Sorted(maps.Keys(clauseOwners)), actionWords, blockWords, closeWords)
	p.expected("a statement, a clause or a transfer", words)
	near := list.Nearest(t.text, words)
	p.lead = near
	switch {
	case slices.Contains(actionWords, near):
		p.class = actionLine
	case slices.Contains(blockWords, near):
		p.class = blockLine
	case slices.Contains(closeWords, near):
		p.class = closeLine
	}
	return near != ""
}

// statement reads one statement: its head line and the clauses below it; nil where the line is no head.
func (p *parser) statement() Statement {
	if read := p.statements[p.lead]; read != nil {
		return read(p)
	}
	p.misplaced("a statement")
	return nil
}

// misplaced reports a line that is none of those wanted here, and passes over it.
func (p *parser) misplaced(wanted string) {
	owner := clauseOwners[p.lead]
	switch {
	case owner != "":
		wanted += " (" + p.lead + " stands below " + owner + ")"
	case p.class != headLine:
		wanted += " (what an order does stands below does)"
	}
	p.expected(wanted, nil)
	if p.lead == "does" {
		p.does()
		return
	}
	p.nextLine()
}

// A clause is one kind of line below a statement's head.
type clause struct {
	word string
	once bool
	read func()      // from the word after the keyword to the line's end and past it
	here func() bool // where the word begins statements too: whether it is the clause; nil: always
}

// clauses reads the clause lines below a head line.
func (p *parser) clauses(list ...clause) {
	seen := map[string]bool{}
	for !p.done {
		i := slices.IndexFunc(list, func(c clause) bool { return c.word == p.lead && (c.here == nil || c.here()) })
		switch {
		case i < 0 && p.statements[p.lead] != nil:
			return
		case i < 0:
			var words []string
			for _, c := range list {
				words = append(words, c.word)
			}
			p.misplaced(strings.Join(words, ", ") + " or the next statement")
		case list[i].once && seen[list[i].word]:
			p.fail(p.tok(), fmt.Sprintf("%q stands twice below one statement", list[i].word))
			p.nextLine()
		default:
			seen[list[i].word] = true
			p.advance()
			list[i].read()
		}
	}
}

// tok is the token at the cursor.
func (p *parser) tok() item { return p.toks[p.at] }

// peek is the token after the one at the cursor.
func (p *parser) peek() item { return p.toks[min(p.at+1, len(p.toks)-1)] }

// advance takes the token at the cursor.
func (p *parser) advance() item {
	t := p.toks[p.at]
	if t.kind != lineEnd {
		p.at++
	}
	return t
}

// where is the place of a token of this line.
func (p *parser) where(t item) token.Position {
	return token.Position{Filename: p.file, Offset: p.start + t.col, Line: p.line, Column: t.col + 1}
}

// here is the place of the token at the cursor.
func (p *parser) here() token.Position { return p.where(p.tok()) }

// fail records an error at a token, unless the line has one, and passes over the rest of the line.
func (p *parser) fail(t item, message string) {
	if !p.failed {
		p.errs.Add(p.where(t), message)
	}
	p.failed = true
	p.at = len(p.toks) - 1
}

// expected fails at the cursor: something else should stand there, one of words perhaps.
func (p *parser) expected(what string, words []string) {
	t := p.tok()
	message := "expected " + what + ", found "
	switch t.kind {
	case strange:
		message = t.text
	case lineEnd:
		message += "the end of the line"
	default:
		message += show(t.found(p.typed))
		if near := list.Nearest(t.text, words); near != "" && near != t.text {
			message += "; did you mean " + near
		}
	}
	p.fail(t, message)
}

// show quotes what was typed, so that nothing odd reaches the screen, and cuts it to a readable length.
func show(typed string) string {
	if strings.HasPrefix(typed, `"`) {
		return clip(typed)
	}
	return fmt.Sprintf("%q", clip(typed))
}

// clip cuts typed text to a length that a message can hold.
func clip(typed string) string {
	if utf8.RuneCountInString(typed) <= 40 {
		return typed
	}
	return string([]rune(typed)[:40]) + "..."
}

// endLine takes the end of the line and goes to the next one.
func (p *parser) endLine(instead string) {
	if p.tok().kind != lineEnd {
		p.expected(instead, nil)
	}
	p.nextLine()
}
