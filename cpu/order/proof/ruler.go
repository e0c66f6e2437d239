package proof

import (
	"coldstart/cpu/order/ruler"
	"coldstart/cpu/order/syntax"
)

// mostRulers is how many wrong patterns are drawn; with many more something other than single slips is the matter.
const mostRulers = 10

// rulers draws the first patterns that something is wrong with below the bit numbers of a word, so that a bit too few or too
// many shows where it is. Where words hold two orders a pattern alone has no numbers.
func (p *prover) rulers() {
	if p.code == nil || p.code.PerWord > 1 {
		return
	}
	left := mostRulers
	for i := range p.report.Findings {
		f := &p.report.Findings[i]
		if f.Kind != Wrong || left == 0 {
			continue
		}
		if drawn := patternAt(p.statement(f.Line), f.Line, f.Column); drawn != "" {
			width := p.report.Width
			rows := ruler.Lines(p.report.Style, drawn, ruler.Numbers(p.report.Style, width, width, 0))
			if len(rows) == 1 { // three lines at most
				f.Ruler = rows[0]
				left--
			}
		}
	}
}

// patternAt is the pattern that a statement has at a place; empty where it has none there.
func patternAt(s syntax.Statement, line, column int) string {
	var all []syntax.Pattern
	switch s := s.(type) {
	case *syntax.Order:
		all = s.Patterns
	case *syntax.Undefined:
		all = []syntax.Pattern{s.Pattern}
	case *syntax.Declares:
		all = []syntax.Pattern{s.Pattern}
	}
	for _, drawn := range all {
		if drawn.At.Line == line && drawn.At.Column == column {
			return drawn.Text
		}
	}
	return ""
}
