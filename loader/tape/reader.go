package tape

import (
	"bufio"
	"fmt"
	"io"
	"slices"
)

// A Reader goes through the blocks of one recording. Call Scan until it gives false, and Block after each true; Err then
// says whether it was the recording that ended. The memory it takes is bounded by the layout, whatever a block claims.
//
// Behind a block that is damaged it looks for the next mark by single bits, so that words or bits lost in one block, or
// too many, do not harm those behind it.
type Reader struct {
	sequence
	layout *Layout
	file   string
	src    *bufio.Reader
	block  *Block
	err    error

	ended                 bool
	position              int    // of the block to come
	offset                int64  // of the block to come
	bit                   int    // recorded bits from there on that have been read
	absent                int    // the next number to look at for missing blocks
	mark, fileMark, count []byte // their patterns
}

// ahead is how many of the longest blocks a Reader looks ahead: one that is damaged, and one to find behind it.
const ahead = 3

// NewReader makes a Reader of a recording in layout l; file is the name it goes by in errors and origins.
func NewReader(l *Layout, file string, src io.Reader) *Reader {
	r := &Reader{layout: l, file: file, absent: l.first, sequence: sequence{seen: map[int]earlier{}, expect: l.first, guess: -1}}
	r.src = bufio.NewReaderSize(src, ahead*l.packing.size(l.head+l.data+l.tail)+l.packing.units)
	if !l.expects && l.has(numberPart) {
		r.expect = -1
	}
	r.mark, r.fileMark, r.count = l.markPattern(), l.pattern(0, l.fileMark), l.countPattern()
	return r
}

// Scan goes on to the next block: those on the recording in their order, good or damaged, then those the layout expects
// and that were not there. It gives false after the last, or when the recording cannot be read on.
func (r *Reader) Scan() bool {
	if !r.ended && r.err == nil && r.next() {
		return true
	}
	r.ended = true
	return r.err == nil && r.missing()
}

// Block gives the block Scan has come to. It is never used again by the Reader.
func (r *Reader) Block() *Block { return r.block }

// Err gives what stopped the reading, nil if it was the end of the recording: an error of the source, ErrEmpty, or more
// blocks than any recording has. A bad block is no such error.
func (r *Reader) Err() error { return r.err }

// next reads one block of the recording.
func (r *Reader) next() bool {
	w, failed := r.window()
	f, ok := r.frame(w, failed)
	if !ok {
		return false
	}
	l := r.layout
	b := &Block{File: r.file, Position: r.position, Offset: r.offset, Bit: r.bit, Number: max(0, r.expect), layout: l, spare: r.behind}
	b.Name = l.BlockName(b.Number)
	bytes, bit := w.done(f)
	b.Bytes = slices.Clone(w.src[:min(len(w.src), bytes+min(bit, 1)*l.packing.units)])
	start, _ := l.packing.bytes(r.bit)
	b.from = r.offset + int64(start)
	words, filling := r.words(b, w, f) // behind it what w looks at may be overwritten
	r.advance(bytes, bit)
	b.extent = r.reached() - b.from
	if f.rubbish {
		if r.wander(b); r.err != nil {
			return false
		}
	}
	r.decode(b, f, words, filling)
	r.again(b)
	r.pass(b)
	r.block = b
	r.position++
	return true
}

// advance goes on to a place so many bytes and bits further.
func (r *Reader) advance(bytes, bit int) {
	r.offset += int64(bytes)
	r.bit = bit
	r.src.Discard(bytes) // they have been peeked, so nothing can fail
}

// reached gives the bytes of the file read so far, the last one perhaps in part.
func (r *Reader) reached() int64 {
	whole, part := r.layout.packing.bytes(r.bit)
	if part {
		whole++
	}
	return r.offset + int64(whole)
}

// wander goes on to the end of a stretch of rubbish, of which no more is kept than was looked at first.
func (r *Reader) wander(b *Block) {
	for {
		w, failed := r.window()
		if failed != nil || len(w.src) == 0 {
			return
		}
		f := w.next()
		if !f.rubbish {
			return
		}
		bytes, bit := w.done(f)
		r.advance(bytes, bit)
		if b.extent = r.reached() - b.from; b.extent > mostRubbish {
			r.err = fmt.Errorf("%s: nothing in %d bytes from byte %d on reads as a block; is it a recording in layout %s?", r.file, b.extent, b.from, r.layout.name)
			return
		}
	}
}

// window gives what lies ahead, and what stopped the reading of it, but the end of the recording.
func (r *Reader) window() (w *window, failed error) {
	src, err := r.src.Peek(r.src.Size())
	w = &window{l: r.layout, src: src, from: r.bit, ended: err == io.EOF, behind: r.behind, mark: r.mark, fileMark: r.fileMark, count: r.count}
	if err != nil && err != io.EOF {
		failed = fmt.Errorf("%s: reading stopped after %d bytes: %w", r.file, r.offset+int64(len(src)), err)
	}
	return w, failed
}

// frame finds how to read what comes next, false where nothing comes. After a failure only what is proved is still given:
// of anything else, the end may be missing.
func (r *Reader) frame(w *window, failed error) (f frame, ok bool) {
	switch {
	case failed != nil && len(w.src) == 0:
		r.err = failed
	case len(w.src) == 0:
		if r.position == 0 {
			r.err = fmt.Errorf("%s: %w", r.file, ErrEmpty)
		}
	case r.position == mostBlocks:
		r.err = fmt.Errorf("%s: more than %d blocks; is it a recording in layout %s?", r.file, mostBlocks, r.layout.name)
	case failed != nil:
		if c, o := w.trusts(0, 0); c == proved {
			return w.whole(o.n, 0), true
		}
		r.err = failed
	default:
		return w.next(), true
	}
	return frame{}, false
}

// missing makes a block of the next expected number that was not on the recording.
func (r *Reader) missing() bool {
	l := r.layout
	for ; l.expects && r.absent <= l.last; r.absent++ {
		if _, seen := r.seen[r.absent]; !seen {
			r.block = &Block{File: r.file, Position: -1, Offset: r.offset, Number: r.absent, Name: l.BlockName(r.absent), layout: l}
			r.block.problem(-1, fmt.Errorf("%w: none on the recording has this number", ErrMissing))
			r.absent++
			return true
		}
	}
	return false
}

// problem notes what is wrong with b.
func (b *Block) problem(word int, err error) { b.Problems = append(b.Problems, b.Problem(word, err)) }

// note notes what is worth knowing of b.
func (b *Block) note(err error) { b.Notes = append(b.Notes, b.Problem(-1, err)) }
