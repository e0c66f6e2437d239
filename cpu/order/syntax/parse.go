package syntax

import (
	"cmp"
	"fmt"
	"go/scanner"
	"go/token"
	"slices"
	"strings"

	"coldstart/loader/list"
)

const (
	maxFile   = 4 << 20
	maxDepth  = 200
	maxErrors = 1000

	// What bounds the size of a file's tree, so that checking it takes a second or two and 200 MB at most.
	maxItems      = 250_000 // words and marks
	maxStatements = 30_000
)

// Parse reads a machine file; name is the one its positions carry. On error the File is nil and the error a sorted
// go/scanner.ErrorList with one entry for each line that is wrong, 1,000 at most.
func Parse(name string, src []byte) (*File, error) {
	p := &parser{file: name, rest: string(src), statements: statementTable()}
	f := &File{Name: name}
	if why := unfit(src); why != "" {
		p.errs.Add(token.Position{Filename: name, Line: 1, Column: 1}, why)
		return nil, p.errs.Err()
	}
	if rest, marked := strings.CutPrefix(p.rest, "\ufeff"); marked { // an editor's mark that the text is UTF-8
		p.rest, p.offset = rest, len("\ufeff")
	}
	p.nextLine()
	for !p.done {
		if len(f.Statements) == maxStatements {
			p.fail(p.tok(), "the file has more than 30,000 statements; a machine file has some hundreds")
			break
		}
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
	if !list.IsText(src) {
		return "this is no text: it may be a picture, a program, or text saved as UTF-16; a machine file is plain text"
	}
	return ""
}

// A parser reads a file line by line, by recursive descent. After an error the rest of the line is passed over: the
// cursor then stands at the line's end, where nothing matches, so the callers unwind without a second complaint.
type parser struct {
	file       string
	statements map[string]func(*parser) Statement
	rest       string
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
	depth   int  // of brackets and the like
	blocks  int  // that are open
	items   int  // of the file so far
	stopped bool // the rest of the file was given up

	clause string  // whose lines are read
	nth    int     // line of that clause
	doubts []Doubt // of the statement so far
}

// nextLine goes to the next line that holds anything and that a keyword or a transfer begins.
func (p *parser) nextLine() {
	for len(p.rest) > 0 && len(p.errs) < maxErrors {
		line, rest, _ := strings.Cut(p.rest, "\n")
		p.line++
		p.start = p.offset
		p.offset += len(p.rest) - len(rest)
		p.rest = rest
		p.typed = strings.TrimSuffix(line, "\r")
		p.toks, p.at, p.failed = scanLine(p.toks[:0], p.typed), 0, false
		p.items += len(p.toks) - 1
		if p.items > maxItems {
			p.fail(p.tok(), "the file has more than 250,000 words and marks; a machine file has some thousands")
			p.rest, p.stopped = "", true
		} else if p.toks[0].kind != lineEnd && p.classify() {
			return
		}
	}
	if len(p.errs) >= maxErrors && !p.done {
		p.failed = false
		p.fail(p.tok(), "1,000 lines are wrong; the rest of the file was not read")
	}
	p.done, p.failed = true, p.stopped
	p.toks, p.at, p.lead, p.class = append(p.toks[:0], item{kind: lineEnd}), 0, "", headLine
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
	p.skip()
}

// skip goes past a clause that failed; the lines of a does would only bring more errors.
func (p *parser) skip() {
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
	list bool        // its lines are parts of one list, and doubted together
	read func()      // from the word after the keyword to the line's end and past it
	here func() bool // where the word begins statements too: whether it is the clause; nil: always
}

// clauses reads the clause lines below a head line, and puts their doubts into its mark.
func (p *parser) clauses(m *Mark, known ...clause) {
	seen := map[string]int{}
	p.doubts = nil
	defer func() {
		slices.SortStableFunc(p.doubts, Doubt.compare)
		m.Doubts = slices.CompactFunc(p.doubts, func(a, b Doubt) bool { return a.compare(b) == 0 })
	}()
	for !p.done {
		i := slices.IndexFunc(known, func(c clause) bool { return c.word == p.lead && (c.here == nil || c.here()) })
		switch {
		case i < 0 && p.statements[p.lead] != nil:
			return
		case i < 0:
			var words []string
			for _, c := range known {
				words = append(words, c.word)
			}
			p.misplaced(strings.Join(words, ", ") + " or the next statement")
		case known[i].once && seen[known[i].word] > 0:
			p.fail(p.tok(), fmt.Sprintf("%q stands twice below one statement", known[i].word))
			p.skip()
		default:
			p.clause, p.nth = known[i].word, seen[known[i].word]
			if known[i].list {
				p.nth = 0
			}
			seen[known[i].word]++
			p.advance()
			known[i].read()
		}
	}
}

// compare orders doubts by clause and line.
func (d Doubt) compare(e Doubt) int {
	return cmp.Or(strings.Compare(d.Clause, e.Clause), cmp.Compare(d.Nth, e.Nth))
}
