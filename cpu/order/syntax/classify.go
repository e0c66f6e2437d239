package syntax

import (
	"maps"
	"slices"

	"coldstart/loader/list"
)

// A class says what part of a file a line is, by its first word.
type class int

const (
	headLine     class = iota // a statement's head or a clause
	transferLine              // targets <- sources
	actionLine                // halt, wait, spend, restart, trap
	blockLine                 // let, if, repeat
	closeLine                 // else, end
)

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
	case slices.Contains(actionWords, t.text), t.text == "trap" && !p.textAhead():
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

// transferAhead reports whether the word at the cursor begins a transfer, whatever the word is.
func (p *parser) transferAhead() bool {
	next := p.peek()
	return next.kind == pick || next.kind == mark && slices.Contains(transferMarks, next.text)
}

// textAhead reports whether the second token after the cursor is text: so a trap statement differs from the action.
func (p *parser) textAhead() bool { return p.toks[min(p.at+2, len(p.toks)-1)].kind == quoted }

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
	"pattern":   "order",
	"each":      "order",
	"except":    "order",
	"operand":   "order",
	"mode":      "order",
	"must":      "order",
	"does":      "order, mode, trap, interrupt, boot or undefined",
	"unknown":   "order",
	"cost":      "order or undefined",
	"check":     "order",
	"when":      "trap or interrupt",
	"level":     "interrupt",
	"after":     "interrupt",
	"wired":     "store",
	"inverted":  "store",
	"parity":    "store",
	"check-bit": "store",
	"corrects":  "store",
	"chips":     "store",
}

// mistyped reports a first word that is no keyword, and takes the line for what was probably meant, so that the lines
// below it are read in their right place. It reports whether anything was near enough.
func (p *parser) mistyped() bool {
	t := p.tok()
	heads := slices.Concat(slices.Sorted(maps.Keys(p.statements)), slices.Sorted(maps.Keys(clauseOwners)))
	words := slices.Concat(heads, actionWords, blockWords, closeWords)
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
