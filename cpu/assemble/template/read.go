package template

import (
	"fmt"
	"go/token"
	"regexp"
	"slices"
	"strings"

	"coldstart/loader/list"
)

// A Template is order text in pieces, checked as far as it can be without a machine file. It does not change.
type Template struct {
	name     string
	pieces   map[string]piece
	findings []list.Record
}

// A piece is some lines of a template.
type piece struct {
	lines []line
	at    token.Position // of the line that begins it
	arg   string         // what stands behind its name
}

// A line is a line of order text, and the line of the template it comes from.
type line struct {
	text string
	from int
}

// needed and optional are the names of the pieces.
var (
	needed   = []string{"head", "up", "down", "w0", "w1", "r0", "r1", "up-end", "down-end", "tail"}
	optional = []string{"blocks", "background", "pad", "findings"}
	names    = slices.Concat(needed, optional)
)

// places are what can be filled in, and the pieces where it can: everywhere if none are named.
var places = map[string][]string{
	"first": nil, "last": nil, "backgrounds": nil, "operations": nil, "test": nil,
	"background": {"background"},
	"element":    {"up", "down", "up-end", "down-end", "w0", "w1", "r0", "r1"},
	"op":         {"w0", "w1", "r0", "r1"},
}

// brace is something to be filled in.
var brace = regexp.MustCompile(`\{([^{}]*)\}`)

// Read reads a template; name is the file name shown in errors, which are a go/scanner.ErrorList.
func Read(name string, src []byte) (*Template, error) {
	t := &Template{name: name, pieces: map[string]piece{}}
	var errs list.Errors
	wrong := ""
	switch {
	case !list.IsText(src):
		wrong = "this is no text; name the template that goes with the machine file"
	case len(src) > mostText:
		wrong = fmt.Sprintf("this has more than %d characters; name the template that goes with the machine file", mostText)
	}
	if wrong != "" {
		errs.Add(token.Position{Filename: name, Line: 1, Column: 1}, "%s", wrong)
		return nil, errs.Err()
	}
	at := ""
	number := 0
	for text := range strings.Lines(string(src)) {
		number++
		text = strings.TrimRight(text, " \t\r\n")
		pos := token.Position{Filename: name, Line: number, Column: 1}
		if text == "piece" || strings.HasPrefix(text, "piece ") {
			at = t.begin(&errs, pos, strings.Fields(text)[1:])
			continue
		}
		if at == "" {
			if rest := strings.TrimLeft(text, " \t"); rest != "" && rest[0] != '#' && len(t.pieces) == 0 {
				errs.Add(pos, "%q stands before the first piece; begin with a line `piece head`", rest)
				return nil, errs.Err()
			}
			continue
		}
		p := t.pieces[at]
		p.lines = append(p.lines, line{text, number})
		t.pieces[at] = p
		if at != "findings" {
			t.braces(&errs, at, pos, text)
		}
	}
	for _, want := range needed {
		if _, there := t.pieces[want]; !there {
			errs.Add(token.Position{Filename: name, Line: max(number, 1), Column: 1}, "the piece %s is missing; add a line `piece %s` and what it does", want, want)
		}
	}
	t.readFindings(&errs)
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return t, nil
}

// begin begins a piece, and gives its name; "" where it is none.
func (t *Template) begin(errs *list.Errors, pos token.Position, words []string) string {
	name, arg := "", ""
	if len(words) > 0 {
		name = words[0]
	}
	if len(words) > 1 {
		arg = words[1]
	}
	before, twice := t.pieces[name]
	switch {
	case !slices.Contains(names, name):
		errs.Add(pos, "%s", list.Unknown("piece", name, names))
		t.pieces[name] = piece{at: pos}
		return ""
	case twice:
		errs.Add(pos, "piece %s is there already, from line %d; strike out one of them", name, before.at.Line)
		return ""
	case len(words) > 2 || (name == "pad") != (len(words) == 2):
		errs.Add(pos, "write `piece pad ADDRESS`, and any other without a word behind its name")
	}
	t.pieces[name] = piece{at: pos, arg: arg}
	return name
}

// braces checks what is to be filled in, in a line of a piece.
func (t *Template) braces(errs *list.Errors, in string, pos token.Position, text string) {
	var known []string
	for name, pieces := range places {
		if pieces == nil || slices.Contains(pieces, in) {
			known = append(known, name)
		}
	}
	slices.Sort(known)
	for _, m := range brace.FindAllStringSubmatchIndex(text, -1) {
		if name := text[m[2]:m[3]]; !slices.Contains(known, name) {
			pos.Column = m[0] + 1
			errs.Add(pos, "%s", list.Unknown("thing to be filled in", name, known))
		}
	}
}

// readFindings reads the piece findings, which is a list.
func (t *Template) readFindings(errs *list.Errors) {
	p, there := t.pieces["findings"]
	if !there {
		return
	}
	var src strings.Builder
	for _, l := range p.lines {
		src.WriteString(l.text + "\n")
	}
	records, err := list.Read(t.name, []byte(src.String()))
	if err != nil {
		errs.Add(p.at, "piece findings: %s", list.Report(err))
		return
	}
	for _, r := range records {
		r.Pos.Line += p.at.Line
		if len(r.Words) != 2 {
			errs.Add(r.Pos, "a finding is a label and, between quotes, what stands there")
			continue
		}
		t.findings = append(t.findings, r)
	}
}
