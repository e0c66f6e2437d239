package tape

import (
	"go/token"
	"slices"

	"coldstart/loader/list"
	"coldstart/memory"
)

// whole checks what no single record of the layout can show: that its parts fit each other.
func (p *parser) whole(records []list.Record) {
	l := p.l
	at := map[string]token.Position{}
	for _, r := range records {
		at[r.Name()] = r.Pos
	}
	if !p.packed(at["bytes"]) {
		return
	}
	p.makers(at["store"])
	if have := l.text.units * l.text.bits; have > l.StoreWidth() {
		p.errs.Add(at["text"], "%d characters of %d bits need %d bits; a word has %d", l.text.units, l.text.bits, have, l.StoreWidth())
	}
	if total := l.head + l.data + l.tail; total > mostWords || l.packing.size(total) > mostBytes {
		p.errs.Add(at["data"], "a block takes %d bytes; it may take %d", l.packing.size(total), mostBytes)
	}
	p.fileMarkFits(at["file-mark"])
	for i := range l.parts {
		if s := &l.parts[i]; s.kind == sumPart || s.kind == checkPart {
			p.overParts(s, at[string(s.kind)])
		}
	}
	// Block numbers have the digits they were typed with in the "blocks" record; three where there is none.
	if !l.expects {
		l.digits = 3
	}
}

// packed checks that the bytes hold the words, and lays out where each bit stands.
func (p *parser) packed(pos token.Position) bool {
	k := &p.l.packing
	k.width = p.l.width
	if have, want := k.units*k.bits, k.words*k.width; have < want {
		p.errs.Add(pos, "%d bytes of %d bits hold %d bits; %d words of %d bits need %d", k.units, k.bits, have, k.words, k.width, want)
		return false
	}
	if k.piece > 0 {
		all := k.words * k.width
		pieces := all / k.piece
		switch {
		case all%k.piece != 0:
			p.errs.Add(pos, "pieces of %d bits do not make up %d words of %d bits", k.piece, k.words, k.width)
		case k.units%pieces != 0 || k.units/pieces*k.bits < k.piece:
			p.errs.Add(pos, "%d bytes of %d bits cannot be shared out to %d pieces of %d bits", k.units, k.bits, pieces, k.piece)
		default:
			k.lay()
			return true
		}
		return false
	}
	k.lay()
	return true
}

// makers settles which bit makes each parity, and that what one makes no earlier one counts.
func (p *parser) makers(store token.Position) {
	l := p.l
	var kept memory.Word // bits that go to store
	for _, s := range l.store {
		kept |= s.mask()
	}
	if l.store == nil {
		return // all do: the words carry their parity themselves
	}
	for i, rule := range p.rules {
		for _, s := range rule.named {
			for bit := s.high; bit >= s.low && l.parity[i].makes < 0; bit-- {
				if kept>>bit&1 == 0 {
					l.parity[i].makes = bit
				}
			}
		}
		if l.parity[i].makes < 0 {
			continue
		}
		made := memory.Word(1) << l.parity[i].makes
		for k := range i {
			if l.parity[k].mask&made != 0 {
				p.errs.Add(p.rules[k].pos, "this parity counts bit %d, which the parity in line %d makes; put that one first", l.parity[i].makes, rule.pos.Line)
			}
		}
		kept |= made
	}
}

// overParts checks that a sum or check is over parts that there are, each once, and that bytes added up hold whole words.
func (p *parser) overParts(s *part, pos token.Position) {
	if len(s.over) == 0 {
		p.errs.Add(pos, "the %s is over nothing; name the parts that it is made of", s.kind)
	}
	for i, k := range s.over {
		if !p.l.has(k) {
			p.errs.Add(pos, "the %s is over %q, but a block has no such part", s.kind, k)
		}
		if slices.Index(s.over, k) < i {
			p.errs.Add(pos, "the %s names %q twice", s.kind, k)
		}
	}
	if !s.sum.bytes {
		return
	}
	for _, unit := range p.l.packing.runs {
		for _, r := range unit {
			if r.word != unit[0].word {
				p.errs.Add(pos, "a byte here holds bits of two words, so that no sum can be over bytes; make it over words")
				return
			}
		}
	}
}
