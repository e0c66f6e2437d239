package tape

import (
	"go/token"
	"slices"

	"coldstart/loader/list"
)

// whole checks what no single record of the layout can show: that its parts fit each other.
func (p *parser) whole(records []list.Record) {
	l := p.l
	at := map[string]token.Position{}
	for _, r := range records {
		at[r.Name()] = r.Pos
	}
	if have, want := l.packing.units*l.packing.bits, l.packing.words*l.width; have < want {
		p.errs.Add(at["bytes"], "%d bytes of %d bits hold %d bits; %d words of %d bits need %d",
			l.packing.units, l.packing.bits, have, l.packing.words, l.width, want)
		return
	}
	l.packing.width = l.width
	l.packing.lay()
	if have := l.text.units * l.text.bits; have > l.width {
		p.errs.Add(at["text"], "%d characters of %d bits need %d bits; a word has %d", l.text.units, l.text.bits, have, l.width)
	}
	if total := l.head + l.data + l.tail; total > mostWords || l.packing.size(total) > mostBytes {
		p.errs.Add(at["data"], "a block takes %d bytes; it may take %d", l.packing.size(total), mostBytes)
	}
	for i := range l.parts {
		if s := &l.parts[i]; s.kind == sumPart {
			p.sumParts(s, at["sum"])
		}
	}
	// Block numbers have the digits they were typed with in the "blocks" record; three where there is none.
	if !l.expects {
		l.digits = 3
	}
}

// sumParts checks that a sum is over parts that there are, each once.
func (p *parser) sumParts(s *part, pos token.Position) {
	if len(s.over) == 0 {
		p.errs.Add(pos, "the sum is over nothing; name the parts that are added up")
	}
	for i, k := range s.over {
		if !p.l.has(k) {
			p.errs.Add(pos, "the sum is over %q, but a block has no such part", k)
		}
		if slices.Index(s.over, k) < i {
			p.errs.Add(pos, "the sum names %q twice", k)
		}
	}
}
