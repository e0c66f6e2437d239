package tape

import (
	"math/bits"
	"slices"

	"coldstart/memory"
)

// A turn is how a block lies on a recording; 0 is as it should.
type turn uint8

// The ways a block can be turned.
const (
	inverted  turn = 1 << iota // every bit is the complement of what it should be
	backwards                  // its bits stand in reverse order
)

// A window is what lies ahead of a Reader, from where it stands. All its places and lengths count recorded bits.
type window struct {
	l      *Layout
	src    []byte // bytes of the file; nil where only all is there
	from   int    // bits that belong to what came before
	ended  bool   // the recording ends with src
	behind bool   // all blocks that are expected have gone by
	all    []byte // the bits of src, made when first asked for

	// What stands where a block or a file mark begins, as pattern gives it, and of a block its count, where that is always the
	// same; nil where the layout has none.
	mark, fileMark, count []byte

	last struct { // what was read last, for it is often asked for again
		p, q  int
		turn  turn
		words []memory.Word
	}
}

// group gives the bits of a group of bytes.
func (w *window) group() int { return w.l.packing.words * w.l.width }

// size gives the bits that so many words take up on the recording: those of whole groups.
func (w *window) size(words int) int {
	p := &w.l.packing
	return (words + p.words - 1) / p.words * w.group()
}

// block gives the bits of a block with n words of data.
func (w *window) block(n int) int { return w.size(w.l.head + n + w.l.tail) }

// most gives the bits of the longest block.
func (w *window) most() int { return w.block(w.l.data) }

// len gives the bits ahead, those of a last group that is not whole included.
func (w *window) len() int {
	if w.all != nil {
		return len(w.all) - w.from
	}
	return w.l.packing.recorded(w.src) - w.from
}

// bytes gives the bytes of a group that so many of its recorded bits fill, and whether they fill a part of one more.
func (p *packing) bytes(n int) (whole int, part bool) {
	for whole < p.units && n >= bits.OnesCount8(p.used[whole]) {
		n -= bits.OnesCount8(p.used[whole])
		whole++
	}
	return whole, n > 0
}

// ahead is the window from bit p on.
func (w *window) ahead(p int) *window {
	w.bits() // made once for both
	return &window{l: w.l, src: w.src, from: w.from + p, ended: w.ended, behind: w.behind, all: w.all, mark: w.mark, fileMark: w.fileMark, count: w.count}
}

// bits gives the bits ahead, one a byte.
func (w *window) bits() []byte {
	if w.all == nil {
		pack := &w.l.packing
		src := slices.Concat(w.src, make([]byte, -len(w.src)%pack.units+pack.units)) // so that the last group is whole
		w.all = w.l.Bits(pack.unpack(nil, src))[:pack.recorded(w.src)]
	}
	return w.all[w.from:]
}

// recorded gives the number of bits that stand in src, unused ones left out; the last group need not be whole.
func (p *packing) recorded(src []byte) int {
	n := len(src) / p.units * p.words * p.width
	for unit := range len(src) % p.units {
		n += bits.OnesCount8(p.used[unit])
	}
	return n
}

// words gives the words that stand from bit p to bit q; a rest shorter than a word is dropped.
func (w *window) words(p, q int) []memory.Word {
	pack, group := &w.l.packing, w.group()
	first, last := (w.from+p)/group, (w.from+q+group-1)/group
	if w.src == nil || last*pack.units > len(w.src) {
		return w.l.FromBits(w.bits()[p:q])
	}
	words := pack.unpack(make([]memory.Word, 0, (last-first)*pack.words), w.src[first*pack.units:last*pack.units])
	if start := w.from + p - first*group; start != 0 || (q-p)%group != 0 {
		words = w.l.FromBits(w.l.Bits(words)[start : start+q-p])
	}
	return words
}

// done gives the bytes that are done with when f has been read, and how many bits of the group behind them. At the end
// of the recording nothing is left of bits that only fill up a group, where a slip has moved all before them.
func (w *window) done(f frame) (bytes, bit int) {
	total := w.from + f.bits
	rest := w.len() - f.bits
	filling := 0 < rest && rest < w.group() && total%w.group() != 0 && !slices.Contains(w.bits()[f.bits:], 1)
	if w.ended && (f.cut || rest == 0 || filling) {
		return len(w.src), 0
	}
	return total / w.group() * w.l.packing.units, total % w.group()
}

// read gives the words from bit p to bit q, turned back. They are not to be changed.
func (w *window) read(p, q int, t turn) []memory.Word {
	if last := &w.last; last.words != nil && last.p == p && last.q == q && last.turn == t {
		return last.words
	}
	var words []memory.Word
	if t&backwards == 0 {
		words = w.words(p, q)
	} else {
		bits := slices.Clone(w.bits()[p:q])
		slices.Reverse(bits)
		words = w.l.FromBits(bits)
	}
	if t&inverted != 0 {
		for i := range words {
			words[i] ^= memory.Mask(w.l.width)
		}
	}
	w.last.p, w.last.q, w.last.turn, w.last.words = p, q, t, words
	return words
}

// anyBit stands in a pattern for a bit that may be 0 or 1.
const anyBit = 2

// markPattern is the pattern of the first mark of a block, wherever it stands before the data; nil where there is none.
func (l *Layout) markPattern() []byte {
	at := 0
	for i := 0; l.parts[i].kind != dataPart; i++ {
		if p := &l.parts[i]; p.kind == markPart {
			return l.pattern(at, p.mark)
		}
		at += l.parts[i].words
	}
	return nil
}

// countPattern gives the bits of the count of every block, behind whatever stands before it; nil where blocks have none
// before their data, or it varies.
func (l *Layout) countPattern() []byte {
	at := 0
	for i := 0; l.parts[i].kind != dataPart && !l.vary; i++ {
		p := &l.parts[i]
		if p.kind == countPart {
			words, err := p.split(nil, uint64(l.data), l.StoreWidth(), l.style)
			if err != nil {
				return nil // no block can be right; that is told of each
			}
			return l.pattern(at, words)
		}
		at += p.words
	}
	return nil
}

// counts says whether the count of a block that begins at bit p turned t can be right. It is a quick look: where rubbish looks
// like marks, it spares reading a header at every other bit.
func (w *window) counts(p int, t turn) bool { return w.count == nil || w.stands(w.count, p, t) }

// pattern gives the bits of words as recorded, behind so many others that may be anything, as may what does not go to store.
func (l *Layout) pattern(others int, words []memory.Word) []byte {
	if len(words) == 0 {
		return nil
	}
	n := others + len(words)
	whole := make([]memory.Word, (n+l.packing.words-1)/l.packing.words*l.packing.words)
	known := slices.Clone(whole)
	for i, word := range words {
		whole[others+i], known[others+i] = l.record(word), l.kept()
	}
	bits := l.Bits(whole)
	for i, k := range l.Bits(known) {
		if k == 0 {
			bits[i] = anyBit
		}
	}
	for len(bits) > 0 && bits[len(bits)-1] == anyBit {
		bits = bits[:len(bits)-1]
	}
	return bits
}

// recordedMark gives the bits of the mark a block begins with.
func (l *Layout) recordedMark() []byte {
	raw := make([]memory.Word, len(l.parts[0].mark)+l.packing.words-1) // whole groups at least
	for i, word := range l.parts[0].mark {
		raw[i] = l.record(word)
	}
	return l.Bits(raw)
}

// kept gives the bits of a recorded word that go to store.
func (l *Layout) kept() memory.Word {
	if l.store == nil {
		return memory.Mask(l.width)
	}
	var kept memory.Word
	for _, s := range l.store {
		kept |= s.mask()
	}
	return kept
}

// stands says whether a pattern stands from bit p on, or backwards up to there.
func (w *window) stands(pattern []byte, p int, t turn) bool {
	bits, flip := w.bits(), byte(t&inverted)
	if t&backwards != 0 {
		if p > len(bits) || p < len(pattern) {
			return false
		}
		for i, c := range pattern {
			if c != anyBit && bits[p-1-i]^flip != c {
				return false
			}
		}
		return true
	}
	if p < 0 || p+len(pattern) > len(bits) {
		return false
	}
	for i, c := range pattern {
		if c != anyBit && bits[p+i]^flip != c {
			return false
		}
	}
	return true
}
