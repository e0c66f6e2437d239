package tape

import (
	"bytes"
	"fmt"
	"slices"
)

// A frame says how the next bits of a recording are to be read: as one block, right or wrong, or as something else.
type frame struct {
	bits     int   // it takes up
	lead     int   // of them, those before the block; below 0, the bits of its mark that are missing
	n        int   // words of data a block of its kind has; -1 where that cannot be told
	slip     int   // bits it has too many, or below 0 too few, before what comes next
	turn     turn  // how it lies
	cut      bool  // the recording ends in it
	missing  int   // bits of it that are then not there
	fileMark bool  // it is a file mark
	rubbish  bool  // it is no block at all
	wrong    error // it seems to be a block, but cannot be measured
}

// next finds the frame of what stands ahead. Of a block that is cut short, what is not a whole group is left out.
func (w *window) next() frame {
	f := w.frame()
	if f.cut {
		f.bits = f.lead + (f.bits-f.lead)/w.group()*w.group()
	}
	return f
}

// frame finds the frame of what stands ahead.
func (w *window) frame() frame {
	if w.mark == nil {
		return w.blind()
	}
	if !w.ended && w.void() {
		return frame{bits: w.len() - w.most(), rubbish: true}
	}
	if w.fileMarkAt(0) {
		return frame{bits: min(w.len(), w.size(len(w.l.fileMark))), fileMark: true}
	}
	c, o := w.trusts(0, 0)
	if c == marked { // bits like a mark may stand a little before one
		if f, ok := w.late(); ok {
			return f
		}
	}
	if c > nothing {
		return w.fit(0, c, o)
	}
	if w.size(w.l.head) > w.len() && w.stands(w.mark, 0, 0) {
		return w.whole(w.l.data, 0)
	}
	return w.unmarked()
}

// blind measures a block of a layout without a mark: by its count, or by what a block must have.
func (w *window) blind() frame {
	head := w.size(w.l.head)
	if head > w.len() {
		return w.whole(w.l.data, 0)
	}
	o := w.l.opening(w.read(0, head, 0))
	if o.wrong != nil {
		return frame{bits: min(w.len(), w.most()), n: -1, wrong: o.wrong}
	}
	return w.whole(o.n, 0)
}

// whole is a block of full length, unless the recording ends before.
func (w *window) whole(n int, t turn) frame {
	full := w.block(n)
	return frame{bits: min(full, w.len()), n: n, turn: t, cut: full > w.len(), missing: max(0, full-w.len())}
}

// fit measures a block whose mark is right. Where nothing proves it, the next block should begin behind it; if another
// one is found sooner, or a little later, words or bits of this one are lost, or came to it.
func (w *window) fit(t turn, c trust, o opening) frame {
	full := w.block(o.n)
	if c == proved || o.wrong == nil && full <= w.len() && w.bounded(full) {
		return w.whole(o.n, t)
	}
	next, _, found := w.find(1, full+w.most())
	if w.l.vary && found {
		if n, ok := w.holds(next); ok && n != o.n {
			return frame{bits: next, n: n, turn: t, wrong: fmt.Errorf("%w: it says %s words, and the next block begins behind %s", ErrCount, w.l.style.Number(o.count), w.l.style.Number(uint64(n)))}
		}
	}
	switch {
	case o.wrong != nil && found:
		return frame{bits: next, n: -1, turn: t, wrong: o.wrong}
	case o.wrong != nil:
		return frame{bits: min(w.len(), w.most()), n: -1, turn: t, wrong: o.wrong}
	case found && next < full+w.size(w.l.head):
		return frame{bits: next, n: o.n, slip: next - full, turn: t}
	}
	return w.whole(o.n, t)
}

// holds gives the words of data of a block that takes up so many bits, if one can.
func (w *window) holds(bits int) (n int, ok bool) {
	n = bits/w.l.width - w.l.head - w.l.tail
	return n, bits%w.group() == 0 && 0 <= n && n <= w.l.data
}

// unmarked finds the frame where no mark stands as it should.
func (w *window) unmarked() frame {
	if c, o := w.trusts(0, inverted); c >= headed {
		return w.fit(inverted, c, o)
	}
	if end, n, t, ok := w.backAt(0); ok {
		return frame{bits: end, n: n, turn: t}
	}
	if f, ok := w.early(); ok {
		return f
	}
	return w.astray()
}

// early finds a block that lost the first bits of its mark.
func (w *window) early() (frame, bool) {
	if w.l.parts[0].kind != markPart {
		return frame{}, false
	}
	mark := w.l.recordedMark()
	for k := 1; k <= len(w.mark); k++ {
		if !w.stands(w.mark[k:], 0, 0) {
			continue
		}
		v := &window{l: w.l, ended: w.ended, mark: w.mark, count: w.count, all: slices.Concat(mark[:k], w.bits())}
		if c, o := v.trusts(0, 0); c == proved && v.bounded(v.block(o.n)) { // for a part of a mark proves less than all of it
			return frame{bits: v.block(o.n) - k, lead: -k, n: o.n}, true
		}
	}
	return frame{}, false
}

// late finds a block that begins a little further on, where there is no room for another before it.
func (w *window) late() (frame, bool) {
	next, t, found := w.find(1, w.size(w.l.head))
	if !found || t&backwards != 0 {
		return frame{}, false
	}
	v := w.ahead(next)
	c, o := v.trusts(0, t)
	f := v.fit(t, c, o)
	f.lead, f.bits = next, f.bits+next
	return f, true
}

// astray finds the frame of something that does not begin like a block, however turned: a block without a good mark, the
// stray bits before a block, or rubbish.
func (w *window) astray() frame {
	head := w.size(w.l.head)
	if head > w.len() && w.ended {
		return frame{bits: w.len(), rubbish: true}
	}
	o := w.l.opening(w.read(0, head, 0))
	full := w.block(o.n)
	next, _, found := w.find(1, w.len())
	if !w.l.vary || o.wrong == nil {
		if w.unmarkedBlock(o, next, found) {
			return w.whole(o.n, 0)
		}
	}
	if f, ok := w.late(); ok {
		return f
	}
	switch {
	case found && next < full && o.wrong == nil && o.sane && o.checked:
		return frame{bits: next, n: o.n, slip: next - full}
	case found:
		return frame{bits: next, rubbish: true}
	case w.ended:
		return frame{bits: w.len(), rubbish: true}
	}
	// What comes behind the window may be the rest of a block that begins in it.
	return frame{bits: w.len() - w.most(), rubbish: true}
}

// unmarkedBlock says whether a block with a wrong mark stands here: all else proves it, or its header is sane, or as much
// room as whole blocks take is left before the next one.
func (w *window) unmarkedBlock(o opening, next int, found bool) bool {
	l, full := w.l, w.block(o.n)
	if full > w.len() {
		return !found && o.sane && o.checked && !o.blank && !w.behind
	}
	if !found {
		next = w.len()
	}
	proof := l.Prove(w.read(0, full, 0)[:l.head+o.n+l.tail])
	proof.Mark = Right
	switch {
	case next < full:
		return false // a block that begins in it speaks against it
	case proof.firm() && !proof.wrong() && !proof.Blank, o.sane && o.checked && !o.blank && !w.behind:
		return true
	case l.vary:
		return found && next == full
	}
	return next%full == 0 && !w.behind && (found || w.ended)
}

// void says that there is nothing but 0 ahead, which can be told without looking at single bits, and no mark in it.
func (w *window) void() bool {
	return w.fileMark == nil && w.src[0] == 0 && slices.Contains(w.mark, 0) && slices.Contains(w.mark, 1) &&
		len(bytes.TrimLeft(w.src, "\x00")) == 0
}
