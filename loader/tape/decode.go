package tape

import (
	"fmt"
	"math"

	"coldstart/memory"
)

// decode fills in b from its bytes: want of them for n words of data, unless the recording ends before. Where the block
// could not be measured, wrong says why, and its bytes are taken as words of no known meaning.
func (r *Reader) decode(b *Block, src []byte, n, want int, wrong error) {
	l := r.layout
	b.Raw = l.packing.unpack(make([]memory.Word, 0, l.packing.fits(len(src))), src)
	if wrong != nil {
		b.given = l.Stored(b.Raw)
		b.head = 0
		b.problem(-1, fmt.Errorf("%w; the %d bytes up to the next block mark or the end are passed over", wrong, len(src)))
		r.pass(b)
		return
	}
	whole := l.head + n + l.tail
	filling := b.Raw[min(len(b.Raw), whole):]
	b.Raw = b.Raw[:min(len(b.Raw), whole)]
	r.header(b, n)
	b.given = l.Stored(b.Raw)
	b.Words = b.given[min(len(b.Raw), l.head):min(len(b.Raw), l.head+n)]
	r.sequence(b)
	r.shape(b, src, want)
	for _, w := range filling {
		if w != 0 {
			b.problem(-1, fmt.Errorf("%w: the words that fill up its last bytes are not 0 but %s", ErrByte, l.WordName(w)))
			break
		}
	}
	r.parities(b)
	if len(src) == want {
		r.sums(b)
	}
	r.pass(b)
}

// header reads mark and fields of a block with n words of data, as far as b.Raw reaches. What is wrong is noted when all
// are read, for a problem goes under the number of its block.
func (r *Reader) header(b *Block, n int) {
	l := r.layout
	b.Count = n
	marked := true
	var late []error
	at := 0
	for i := range l.parts {
		p := &l.parts[i]
		end := at + p.length(n)
		if end > len(b.Raw) {
			break
		}
		switch p.kind {
		case markPart:
			if err := l.markWrong(p, b.Raw[at:end]); err != nil {
				late, marked = append(late, err), false
			}
		case numberPart, addressPart, countPart:
			v, ok := p.value(l.Stored(b.Raw[at:end]), l.stores())
			if err := b.field(l, p.kind, v, ok, marked); err != nil {
				late = append(late, err)
			}
		}
		at = end
	}
	b.Name = l.BlockName(b.Number)
	for _, err := range late {
		b.problem(-1, err)
	}
}

// markWrong says what stands where a mark should.
func (l *Layout) markWrong(p *part, words []memory.Word) error {
	for i, w := range l.Stored(words) {
		switch w {
		case p.mark[i]:
		case p.mark[i] ^ memory.Mask(l.stores()):
			return fmt.Errorf("%w: %s stands where %s should, its complement; polarity may be inverted in the decode",
				ErrMark, l.storeName(w), l.storeName(p.mark[i]))
		default:
			return fmt.Errorf("%w: %s stands where %s should", ErrMark, l.storeName(w), l.storeName(p.mark[i]))
		}
	}
	return nil
}

// field takes the value of one field; ok says that it fits 64 bits. A number behind a wrong mark is not trusted: a block
// that is shifted would take a name from anywhere.
func (b *Block) field(l *Layout, k kind, v uint64, ok, marked bool) error {
	switch {
	case k == addressPart && ok:
		b.Addr, b.Addressed = memory.Addr(v), true
	case k == numberPart && ok && v <= math.MaxInt32:
		if marked {
			b.Number, b.named = int(v), true
		}
	case k == countPart && ok && v <= math.MaxInt32:
		b.Count = int(v)
		if !l.vary && b.Count != l.data {
			return fmt.Errorf("%w: it says %s words, and a block holds %s", ErrCount, l.style.Number(v), l.style.Number(uint64(l.data)))
		}
	case !ok:
		return fmt.Errorf("%w: the %s is recorded as more than 64 bits", ErrField, k)
	default:
		return fmt.Errorf("%w: the %s is recorded as %s", ErrField, k, l.style.Number(v))
	}
	return nil
}

// shape checks the length of the block and the bits that no word uses.
func (r *Reader) shape(b *Block, src []byte, want int) {
	l := r.layout
	if len(src) < want {
		b.problem(-1, fmt.Errorf("%w: the recording ends %d bytes before the block does, which has %d", ErrShort, want-len(src), want))
	}
	first, count := l.packing.stray(src)
	if count == 0 {
		return
	}
	word := first/l.packing.units - l.head
	if l.packing.words > 1 || word < 0 || word >= len(b.Words) {
		word = -1
	}
	b.problem(word, fmt.Errorf("%w: byte %d of the file is %s, with bits set that the layout does not use; bytes like it in the block: %d",
		ErrByte, b.Offset+int64(first), l.style.Number(uint64(src[first])), count))
}

// sequence holds the number of b against the one expected at its place.
func (r *Reader) sequence(b *Block) {
	l := r.layout
	switch {
	case l.expects && b.Number > l.last && !b.named:
		b.problem(-1, fmt.Errorf("%w: the recording goes on behind %s, the last expected", ErrNumber, l.BlockName(l.last)))
	case l.expects && (b.Number < l.first || b.Number > l.last):
		b.problem(-1, fmt.Errorf("%w: its number is not from %s to %s", ErrNumber, l.BlockName(l.first), l.BlockName(l.last)))
	case r.expect < 0 || b.Number == r.expect || b.Number == r.guess:
	case r.seen[b.Number]:
		b.problem(-1, fmt.Errorf("%w: its number has been on the recording before; %s was expected here", ErrNumber, l.BlockName(r.expect)))
	default:
		b.problem(-1, fmt.Errorf("%w: it stands where %s was expected", ErrNumber, l.BlockName(r.expect)))
	}
}

// pass notes that b went by, and what is expected next. Only a block that is whole is believed about its place: after any
// other, the count goes on from where it was. A block that could not be read may have been an extra one, so that the
// number it was given may still come.
func (r *Reader) pass(b *Block) {
	r.seen[b.Number] = true
	r.guess = -1
	switch {
	case !b.named && r.expect < 0: // still nothing to count from
	case !b.named && r.layout.has(numberPart):
		r.guess = b.Number
		r.expect = b.Number + 1
	case b.Whole() || r.expect < 0:
		r.expect = b.Number + 1
	default:
		r.expect++
	}
}
