package syntax

import (
	"fmt"
	"go/token"
	"unicode/utf8"

	"coldstart/loader/list"
)

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
	if len(typed) > 1 && typed[0] == '"' {
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

// endLine takes the end of a clause line, with its doubt mark, and goes to the next line.
func (p *parser) endLine(instead string) {
	p.doubtMark()
	p.nth++
	p.lastly(instead)
}

// doubtMark takes the doubt mark of a clause line.
func (p *parser) doubtMark() {
	if p.accept("?") {
		p.doubts = append(p.doubts, Doubt{At: p.where(p.toks[0]), Clause: p.clause, Nth: p.nth})
	}
}

// lastly takes the end of the line and goes to the next one; words are those that could have stood there instead.
func (p *parser) lastly(instead string, words ...string) {
	if p.tok().kind != lineEnd {
		p.expected(instead, words)
	}
	p.nextLine()
}
