package tape

import (
	"bufio"
	"fmt"
	"io"
)

// A Reader goes through the blocks of one recording. Call Scan until it gives false, and Block after each true; Err then
// says whether it was the recording that ended. The memory it takes is bounded by the layout, whatever a block claims.
type Reader struct {
	layout *Layout
	file   string
	src    *bufio.Reader
	block  *Block
	err    error

	ended    bool
	position int   // of the block to come
	offset   int64 // of the block to come
	expect   int   // number of the block to come, as far as can be told; -1 before the first where any will do
	guess    int   // the number given to the block before, which could not be read; else -1
	seen     map[int]bool
	absent   int // the next number to look at for missing blocks
}

// NewReader makes a Reader of a recording in layout l; file is the name it goes by in errors and origins.
func NewReader(l *Layout, file string, src io.Reader) *Reader {
	r := &Reader{layout: l, file: file, seen: map[int]bool{}, absent: l.first, expect: l.first, guess: -1}
	// Besides a block, one group is held, so that a block of any length can be told from one that goes on.
	r.src = bufio.NewReaderSize(src, l.packing.size(l.head+l.data+l.tail)+l.packing.units)
	if !l.expects && l.has(numberPart) {
		r.expect = -1
	}
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
	n, wrong := r.measure()
	want := r.layout.packing.size(r.layout.head + n + r.layout.tail)
	src := r.peek(want)
	switch {
	case r.err != nil:
		return false
	case len(src) == 0:
		if r.position == 0 {
			r.err = fmt.Errorf("%s: %w", r.file, ErrEmpty)
		}
		return false
	case r.position == mostBlocks:
		r.err = fmt.Errorf("%s: more than %d blocks; is it a recording in layout %s?", r.file, mostBlocks, r.layout.name)
		return false
	}
	b := &Block{File: r.file, Position: r.position, Offset: r.offset, Number: max(0, r.expect), layout: r.layout, head: r.layout.head}
	b.Name = r.layout.BlockName(b.Number)
	if wrong != nil {
		src = r.resync()
	}
	r.decode(b, src, n, want, wrong)
	r.block = b
	r.position++
	r.offset += int64(len(src))
	r.src.Discard(len(src)) // it has been peeked, so nothing can fail
	return true
}

// peek gives the next n bytes, or as many as are left, without going past them.
func (r *Reader) peek(n int) []byte {
	src, err := r.src.Peek(n)
	if err != nil && err != io.EOF && r.err == nil {
		r.err = fmt.Errorf("%s: reading stopped after %d bytes: %w", r.file, r.offset+int64(len(src)), err)
	}
	return src
}

// measure gives the words of data of the block to come. Where they vary, mark and count must be right for that; if not,
// wrong says why, and n is 0.
func (r *Reader) measure() (n int, wrong error) {
	l := r.layout
	if !l.vary {
		return l.data, nil
	}
	src := r.peek(l.packing.size(l.head))
	if len(src) < l.packing.size(l.head) {
		return 0, nil // cut short within its header
	}
	words := l.packing.unpack(nil, src)
	at := 0
	for i := 0; l.parts[i].kind != dataPart; i++ {
		p := &l.parts[i]
		switch p.kind {
		case markPart:
			if err := l.markWrong(p, words[at:at+p.words]); err != nil {
				return 0, err
			}
		case countPart:
			v, ok := p.value(l.Stored(words[at:at+p.words]), l.stores())
			if !ok || v > uint64(l.data) {
				return 0, fmt.Errorf("%w: it says %s words, and a block holds at most %s",
					ErrCount, l.style.Number(v), l.style.Number(uint64(l.data)))
			}
			n = int(v)
		}
		at += p.words
	}
	return n, nil
}

// resync gives the bytes from a block that cannot be measured to the next block mark, or to the end of what one block can
// take where no mark is found.
func (r *Reader) resync() []byte {
	l := r.layout
	most := l.packing.size(l.head + l.data + l.tail)
	src := r.peek(most + l.packing.units)
	if l.parts[0].kind != markPart {
		return src[:min(len(src), most)]
	}
	mark := &l.parts[0]
	words := l.packing.unpack(nil, src[:l.packing.size(l.packing.fits(len(src)))])
	for at := l.packing.words; at+mark.words <= len(words); at += l.packing.words {
		if l.markWrong(mark, words[at:at+mark.words]) == nil {
			return src[:l.packing.size(at)]
		}
	}
	return src[:min(len(src), most)]
}

// missing makes a block of the next expected number that was not on the recording.
func (r *Reader) missing() bool {
	l := r.layout
	for ; l.expects && r.absent <= l.last; r.absent++ {
		if !r.seen[r.absent] {
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
