package tape

import (
	"fmt"
	"slices"

	"coldstart/loader/list"
	"coldstart/memory"
)

// Parts gives what a block is made of, in the order recorded, each by the name that sums and check codes know it by.
func (l *Layout) Parts() []string {
	var all []string
	for i := range l.parts {
		all = append(all, string(l.parts[i].kind))
	}
	return all
}

// WithCheck gives a layout like l whose blocks have the check code of a record, written as in a list file. It stands in
// place of l's own check if there is one, else of spare words that end the block, else of the last words of its data;
// in says where, in words for a person. The error says what is wrong with the record, or that it has no place.
func (l *Layout) WithCheck(record string) (with *Layout, in string, err error) {
	records, err := list.Read("check", []byte(record))
	if err != nil {
		return nil, "", err
	}
	with = &Layout{}
	*with = *l
	with.parts = slices.Clone(l.parts)
	p := parser{l: with}
	for _, r := range records {
		p.check(p.settings(r))
	}
	if err := p.errs.Err(); err != nil {
		return nil, "", err
	}
	last := len(with.parts) - 1
	check := with.parts[last] // it was added behind all others
	with.parts = with.parts[:last]
	if own := with.partOf(checkPart); own != nil && own.words != check.words {
		p.errs.Add(records[0].Pos, "the code would take %d words, and the layout's own check takes %d; make the check a `field spare`", check.words, own.words)
	} else if in = with.place(check); in == "" {
		p.errs.Add(records[0].Pos, "the code has no place: what ends a block is its %s; for the code, add a line `%s` behind it", with.parts[last-1].kind, spare(check.words))
	}
	p.overParts(&check, records[0].Pos)
	if err := p.errs.Err(); err != nil {
		return nil, "", err
	}
	return with, in, nil
}

// place puts a check in place of what holds the code, and says in place of what; "" where there is no such thing.
func (l *Layout) place(check part) string {
	own := slices.IndexFunc(l.parts, func(p part) bool { return p.kind == checkPart })
	end := &l.parts[len(l.parts)-1]
	in := ""
	switch {
	case own >= 0:
		l.parts[own], in = check, "its check"
	case end.kind == sparePart && end.words >= check.words:
		in = lastOf(check.words, fmt.Sprintf("the %d spare words at its end", end.words))
		if end.words -= check.words; end.words == 0 {
			l.parts, in = l.parts[:len(l.parts)-1], "the spare words at its end"
		}
		l.parts = append(l.parts, check)
	case end.kind == dataPart && !l.vary && l.data > check.words:
		in = lastOf(check.words, fmt.Sprintf("its %d words of data", l.data))
		l.data -= check.words
		l.parts = append(l.parts, check)
	}
	l.head, l.tail = 0, 0
	after := &l.head
	for i := range l.parts {
		*after += l.parts[i].length(0)
		if l.parts[i].kind == dataPart {
			after = &l.tail
		}
	}
	return in
}

// spare is the record of so many spare words.
func spare(words int) string {
	if words == 1 {
		return "field spare"
	}
	return fmt.Sprintf("field spare %d words high first", words)
}

// lastOf names the last n of some words.
func lastOf(n int, of string) string {
	if n == 1 {
		return "the last of " + of
	}
	return fmt.Sprintf("the last %d of %s", n, of)
}

// Code gives the check code of a block as recorded, and as made of its bits; false where the layout has none, or the block
// is not of the right length, or bits beside the code are set. Raw are all its words as recorded, mark and header included.
func (l *Layout) Code(raw []memory.Word) (recorded, made uint64, ok bool) {
	n, fits := l.dataWords(len(raw))
	if !fits {
		return 0, 0, false
	}
	for _, s := range l.seals(raw, n) {
		if s.part.kind == checkPart && s.read&^s.part.code.ones == 0 {
			return s.read, s.found, true
		}
	}
	return 0, 0, false
}
