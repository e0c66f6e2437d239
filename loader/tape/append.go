package tape

import (
	"fmt"

	"coldstart/memory"
)

// Append records one block in layout l behind dst: mark, fields, words as they go to store, sum and check code; parity is
// made, and spare words are 0. The error says what does not fit the layout; dst is then returned unchanged.
func (l *Layout) Append(dst []byte, number int, addr memory.Addr, words []memory.Word) ([]byte, error) {
	if n := len(words); n > l.data || n < l.data && !l.vary {
		return dst, fmt.Errorf("block %s: %d words, and layout %s records %d in a block", l.BlockName(number), n, l.name, l.data)
	}
	for i, w := range words {
		if w&^memory.Mask(l.StoreWidth()) != 0 {
			return dst, fmt.Errorf("block %s: word %d is %s, wider than %d bits", l.BlockName(number), i, l.storeName(w), l.StoreWidth())
		}
	}
	raw, err := l.assemble(number, addr, words)
	if err != nil {
		return dst, fmt.Errorf("block %s: %w", l.BlockName(number), err)
	}
	for i, w := range raw {
		raw[i] = l.record(w)
	}
	l.seal(raw, len(words))
	for i, w := range raw {
		if !l.fitting(w) {
			return dst, fmt.Errorf("block %s: %s, word %d of all, has the wrong parity, and the layout has no bit to put it right",
				l.BlockName(number), l.WordName(w), i)
		}
	}
	return l.packing.pack(dst, raw), nil
}

// assemble puts the words of a block together as they go to store; those of sum and check code are 0 as yet.
func (l *Layout) assemble(number int, addr memory.Addr, words []memory.Word) ([]memory.Word, error) {
	raw := make([]memory.Word, 0, l.head+len(words)+l.tail)
	var err error
	for i := range l.parts {
		p := &l.parts[i]
		switch p.kind {
		case markPart:
			raw = append(raw, p.mark...)
		case numberPart:
			raw, err = p.split(raw, uint64(number), l.StoreWidth(), l.style)
		case addressPart:
			raw, err = p.split(raw, uint64(addr), l.StoreWidth(), l.style)
		case countPart:
			raw, err = p.split(raw, uint64(len(words)), l.StoreWidth(), l.style)
		case dataPart:
			raw = append(raw, words...)
		default:
			raw = append(raw, make([]memory.Word, p.words)...)
		}
		if err != nil {
			return nil, err
		}
	}
	return raw, nil
}

// seal puts the sum into raw, the words of a block with n words of data as recorded, and then the check code, which may be
// made of the sum as well.
func (l *Layout) seal(raw []memory.Word, n int) {
	starts := l.starts(len(raw))
	for _, k := range []kind{sumPart, checkPart} {
		for i := range l.parts {
			p := &l.parts[i]
			if p.kind != k {
				continue
			}
			// The layout has room for it: that was made sure of when it was read.
			words, _ := p.split(nil, l.made(p, raw, n), l.StoreWidth(), l.style)
			for j, w := range words {
				raw[starts[i]+j] = l.record(w)
			}
		}
	}
}
