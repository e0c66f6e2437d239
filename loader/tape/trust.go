package tape

import (
	"fmt"
	"slices"

	"coldstart/memory"
)

// A trust is how much speaks for a block beginning somewhere.
type trust uint8

// How far a block can be trusted to begin where it seems to.
const (
	nothing trust = iota
	marked        // its mark is right, but bits like it may stand in the data of any block
	headed        // and its header says nothing that cannot be
	proved        // and its sum or check code is right over all of it
)

// An opening is what the words of a block before its data say.
type opening struct {
	marked  bool   // every mark is right
	count   uint64 // as recorded, in a block of varying length
	n       int    // words of data
	sane    bool   // n can be, and so can the number
	checked bool   // there was something to be sane about
	blank   bool   // all of it but marks is 0
	refuted bool   // its count is wrong, so that nothing can prove it
	wrong   error  // of the count, where a block of varying length cannot be measured by it
}

// rare is how rarely words of no meaning must look like a right field, for a right field to mean something.
const rare = 256

// opening reads the words before the data, as far as they can be told right from wrong without the rest.
func (l *Layout) opening(words []memory.Word) opening {
	o := opening{n: l.data, sane: true, marked: true, blank: true}
	at := 0
	for i := 0; l.parts[i].kind != dataPart; i++ {
		p := &l.parts[i]
		v, ok := p.value(l.Stored(words[at:at+p.words]), l.StoreWidth())
		least, most := uint64(0), ^uint64(0)
		switch {
		case p.kind != markPart && v != 0:
			o.blank = false
		}
		switch {
		case p.kind == markPart:
			o.marked = o.marked && slices.Equal(l.Stored(words[at:at+p.words]), p.mark)
		case p.kind == countPart && l.vary:
			most = uint64(l.data)
			if o.n, o.count = int(v), v; !ok || v > most {
				o.n, o.wrong = 0, fmt.Errorf("%w: it says %s words, and a block holds at most %s", ErrCount, l.style.Number(v), l.style.Number(most))
			}
		case p.kind == countPart:
			least, most = uint64(l.data), uint64(l.data)
			o.refuted = !ok || v != uint64(l.data)
		case p.kind == numberPart && l.expects:
			least, most = uint64(l.first), uint64(l.last)
		}
		if most != ^uint64(0) {
			o.sane = o.sane && ok && least <= v && v <= most
			o.checked = o.checked || most-least < uint64(memory.Mask(min(62, p.words*l.StoreWidth())))/rare
		}
		at += p.words
	}
	return o
}

// trusts says how far to trust that a block begins at bit p turned t, not backwards, and what its header says.
func (w *window) trusts(p int, t turn) (trust, opening) {
	head := p + w.size(w.l.head)
	if w.mark == nil || head > w.len() || w.all != nil && !w.stands(w.mark, p, t) {
		return nothing, opening{}
	}
	o := w.l.opening(w.read(p, head, t))
	switch {
	case !o.marked:
		return nothing, o
	case o.wrong == nil && !o.refuted && w.proved(p, o.n, t):
		return proved, o
	case o.sane && o.checked:
		return headed, o
	}
	return marked, o
}

// proved says whether the block at bit p, with n words of data, is right in all that can be proved, and something can.
// Where no sum or check code is recorded, another block, or the end, must come right behind it.
func (w *window) proved(p, n int, t turn) bool {
	end := p + w.block(n)
	if end > w.len() {
		return false
	}
	l := w.l
	words, whole := w.read(p, end, t), l.head+n+l.tail
	proof := l.Prove(words[:whole])
	filled := slices.ContainsFunc(words[whole:], func(w memory.Word) bool { return w != 0 })
	return !proof.wrong() && !filled && (proof.firm() || end == w.len() && w.ended || w.stands(w.mark, end, t))
}

// firm says that a sum or a check code speaks for all of a block.
func (p *Proof) firm() bool { return p.Sum == Right || p.Check == Right }

// wrong says that anything is.
func (p *Proof) wrong() bool {
	return slices.Contains([]Outcome{p.Mark, p.Count, p.Check, p.Sum, p.Parity}, Wrong)
}

// find gives the first place from bit first on and before bit before where a block can be trusted to begin, and how it is turned.
func (w *window) find(first, before int) (at int, t turn, found bool) {
	if w.mark == nil {
		return 0, 0, false
	}
	before = min(before, w.len())
	var crowd crowd
	w.scan(w.mark, first, before, func(p int, turn turn) bool {
		if !w.counts(p, turn) || crowd.tires(p-first) && w.crowded(w.mark, p, 1) {
			return false
		}
		if c, _ := w.trusts(p, turn); c >= headed {
			at, t, found, before = p, turn, true, p
		}
		return found
	})
	// The beginning of a block recorded backwards is found from its end, where its mark is.
	marks := slices.Clone(w.mark)
	slices.Reverse(marks)
	crowd = 0
	w.scan(marks, first, min(w.len(), before+w.most()), func(p int, _ turn) bool {
		if crowd.tires(p-first) && w.crowded(marks, p, -1) {
			return false
		}
		start, _, turn, ok := w.back(p + len(marks))
		if ok && first <= start && start < before {
			at, t, found = start, turn, true
		}
		return ok && first <= start
	})
	return at, t, found
}

// A crowd counts the places that look like marks and were looked into. Rubbish can look like marks at every bit, where a mark
// is bits by turns; then only the last before other bits is looked into, for a block that follows begins there.
type crowd int

// tires says that more places were looked into, over so many bits, than there would be without such rubbish.
func (c *crowd) tires(bits int) bool {
	if int(*c) > 16+bits/256 {
		return true
	}
	*c++
	return false
}

// crowded says whether another mark stands within the length of one, on the way given: 1 is ahead, -1 behind.
func (w *window) crowded(mark []byte, p, way int) bool {
	for d := 1; d < len(mark); d++ {
		if w.stands(mark, p+way*d, 0) || w.stands(mark, p+way*d, inverted) {
			return true
		}
	}
	return false
}

// scan calls visit for the places from bit first on and before bit before where a pattern may stand, upright or inverted,
// until visit says that it has seen enough. It looks at no more than 64 bits of the pattern.
func (w *window) scan(pattern []byte, first, before int, visit func(p int, t turn) bool) {
	bits := w.bits()
	n := min(len(pattern), 64)
	var want, mask, have uint64
	for _, c := range pattern[:n] {
		want, mask = want<<1|uint64(c&1), mask<<1
		if c != anyBit {
			mask |= 1
		}
	}
	want &= mask
	for end := first; end < min(before+n-1, len(bits)); end++ {
		have = have<<1 | uint64(bits[end])
		if p := end + 1 - n; p >= first {
			switch {
			case have&mask == want && visit(p, 0), have&mask == want^mask && visit(p, inverted):
				return
			}
		}
	}
}

// back finds the block whose bits in reverse order end at bit end, with its words of data.
func (w *window) back(end int) (p, n int, t turn, found bool) {
	for _, t := range []turn{backwards, backwards | inverted} {
		head := end - w.size(w.l.head)
		if head < 0 || !w.stands(w.mark, end, t) || !w.counts(end, t) {
			continue
		}
		o := w.l.opening(w.read(head, end, t))
		if p := end - w.block(o.n); o.wrong == nil && !o.refuted && p >= 0 && w.proved(p, o.n, t) {
			return p, o.n, t, true
		}
	}
	return 0, 0, 0, false
}

// backAt finds the block recorded backwards that begins at bit p, and where it ends.
func (w *window) backAt(p int) (end, n int, t turn, found bool) {
	if w.mark == nil {
		return 0, 0, 0, false
	}
	least := w.most()
	if w.l.vary {
		least = w.block(0)
	}
	for end := p + least; end <= min(w.len(), p+w.most()); end += w.group() {
		if at, n, t, ok := w.back(end); ok && at == p {
			return end, n, t, true
		}
	}
	return 0, 0, 0, false
}

// bounded says whether a block can be trusted to end at bit p: another begins there, or a file mark, or the recording ends.
func (w *window) bounded(p int) bool {
	if p == w.len() && w.ended || w.fileMarkAt(p) {
		return true
	}
	for _, t := range []turn{0, inverted} {
		if c, _ := w.trusts(p, t); c >= headed {
			return true
		}
	}
	_, _, _, ok := w.backAt(p)
	return ok
}

// fileMarkAt says whether a file mark stands at bit p.
func (w *window) fileMarkAt(p int) bool { return w.fileMark != nil && w.stands(w.fileMark, p, 0) }
