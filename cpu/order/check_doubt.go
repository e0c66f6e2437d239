package order

import (
	"cmp"
	"slices"

	"coldstart/cpu/order/syntax"
)

// doubted says whether the head of a statement, or any clause line below it, has a doubt mark.
func doubted(s syntax.Statement) bool { return s.Head().Doubt || len(s.Head().Doubts) > 0 }

// doubts keeps every doubt mark of the file by its line.
func (c *checker) doubts() {
	for _, s := range c.file.Statements {
		head, what := s.Head(), called(s)
		if head.Doubt {
			c.code.Doubts = append(c.code.Doubts, Doubt{Line: head.At.Line, What: what, Page: head.Reference()})
		}
		for _, d := range head.Doubts {
			c.code.Doubts = append(c.code.Doubts, Doubt{Line: d.At.Line, What: what + ", " + d.Clause, Page: head.Reference()})
		}
	}
	slices.SortStableFunc(c.code.Doubts, func(a, b Doubt) int { return cmp.Compare(a.Line, b.Line) })
}

// called is a statement as a person speaks of it: its keyword, and the name it gives where it gives one.
func called(s syntax.Statement) string {
	switch s := s.(type) {
	case *syntax.Registers:
		return s.Keyword + " " + s.Names[0].Text
	case *syntax.Store:
		return "store " + s.Areas[0].Name.Text
	case *syntax.PlugIn:
		return "plug-in " + s.Name.Text
	case *syntax.Group:
		return "group " + s.Field.Text
	case *syntax.Choice:
		return "choice " + s.Field.Text
	case *syntax.Mode:
		return "mode " + s.Name.Text
	case *syntax.Order:
		return "order " + s.Name.Text
	case *syntax.Undefined:
		return "undefined " + s.Pattern.Text
	case *syntax.Trap:
		return "trap " + s.Name.Text
	case *syntax.Interrupt:
		return "interrupt " + s.Name.Text
	case *syntax.Timer:
		return "timer " + s.Name.Text
	case *syntax.Channel:
		return "channel " + s.Name.Text
	case *syntax.Protect:
		return "protect " + s.Area.Text + s.First.Text // one of the two
	case *syntax.Mirror:
		return "mirror " + s.First.Text
	case *syntax.Lamps:
		return "lamps " + s.First.Text
	case *syntax.Duplex:
		return "duplex " + s.OnLine.Text
	case *syntax.Declares:
		return "declares " + s.Count.Text
	}
	word, _ := headWord(s)
	return word
}
