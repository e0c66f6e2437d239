package tape

import (
	"fmt"

	"coldstart/memory"
)

// Append records one block in layout l behind dst: mark, fields, words and sum. Spare words are 0. The error says what
// does not fit the layout; dst is then returned unchanged.
func (l *Layout) Append(dst []byte, number int, addr memory.Addr, words []memory.Word) ([]byte, error) {
	if n := len(words); n > l.data || n < l.data && !l.vary {
		return dst, fmt.Errorf("block %s: %d words, and layout %s records %d in a block", l.BlockName(number), n, l.name, l.data)
	}
	for i, w := range words {
		if w&^memory.Mask(l.width) != 0 {
			return dst, fmt.Errorf("block %s: word %d is %s, wider than %d bits", l.BlockName(number), i, l.WordName(w), l.width)
		}
	}
	raw := make([]memory.Word, 0, l.head+len(words)+l.tail)
	var err error
	for i := range l.parts {
		p := &l.parts[i]
		switch p.kind {
		case markPart:
			raw = append(raw, p.mark...)
		case numberPart:
			raw, err = p.split(raw, uint64(number), l.width, l.style)
		case addressPart:
			raw, err = p.split(raw, uint64(addr), l.width, l.style)
		case countPart:
			raw, err = p.split(raw, uint64(len(words)), l.width, l.style)
		case dataPart:
			raw = append(raw, words...)
		default: // spare words stay 0; the sum is made when the rest is there
			raw = append(raw, make([]memory.Word, p.words)...)
		}
		if err != nil {
			return dst, fmt.Errorf("block %s: %w", l.BlockName(number), err)
		}
	}
	l.seal(raw, len(words))
	return l.packing.pack(dst, raw), nil
}

// seal puts the sum into raw, the words of a block with n words of data.
func (l *Layout) seal(raw []memory.Word, n int) {
	at := 0
	for i := range l.parts {
		p := &l.parts[i]
		if p.kind == sumPart {
			raw[at] = l.sum(p, raw, n)
		}
		at += p.length(n)
	}
}
