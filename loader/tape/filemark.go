package tape

import (
	"go/token"
	"slices"

	"coldstart/loader/list"
	"coldstart/memory"
)

// fileMark reads the words of a file mark.
func (p *parser) fileMark(s *list.Settings) {
	for s.More() {
		v := p.number(s, "a word", uint64(memory.Mask(p.l.StoreWidth())))
		p.l.fileMark = append(p.l.fileMark, memory.Word(v))
	}
}

// fileMarkFits checks that a file mark, if there is one, can be told from a block: blocks begin with a mark, and another one.
func (p *parser) fileMarkFits(pos token.Position) {
	l := p.l
	if len(l.fileMark) == 0 {
		return
	}
	first := &l.parts[0]
	if first.kind != markPart {
		p.errs.Add(pos, "a file mark can be told from a block only where blocks begin with a mark; write the mark record before the others")
		return
	}
	if n := min(len(first.mark), len(l.fileMark)); slices.Equal(first.mark[:n], l.fileMark[:n]) {
		p.errs.Add(pos, "the file mark begins with the words of the block mark; one of the two is mistyped")
	}
}
