package tape

import (
	"fmt"
	"math"
	"slices"

	"coldstart/memory"
)

// decode fills in b, whose words were read as f says; filling are those that only fill its last bytes.
func (r *Reader) decode(b *Block, f frame, words, filling []memory.Word) {
	l := r.layout
	if f.rubbish || f.fileMark || f.n < 0 {
		r.passedOver(b, f)
		return
	}
	b.read, b.given = words, l.Stored(b.Raw)
	end := len(words)
	if !f.cut {
		end = max(l.head, len(words)-l.tail)
	}
	b.Words = l.Stored(words[min(len(words), l.head):min(end, len(words))])
	whole := !f.cut && f.slip == 0
	if whole {
		proof := l.Prove(words)
		proof.Mark = Right
		b.proved = proof.firm() && !proof.wrong()
	}
	late := r.header(b, words, f)
	b.Name = l.BlockName(b.Number)
	for _, err := range late {
		b.problem(-1, err)
	}
	r.inOrder(b)
	r.lies(b, f)
	r.length(b, f)
	if f.turn == 0 && b.Bit == 0 && f.lead == 0 {
		r.stray(b)
	}
	for _, w := range filling {
		if w != 0 {
			b.problem(-1, fmt.Errorf("%w: the words that fill up its last bytes are not 0 but %s", ErrByte, l.WordName(w)))
			break
		}
	}
	r.parities(b)
	if whole {
		r.sums(b)
		r.blank(b)
	}
}

// passedOver fills in what is no block, or none that can be measured: its words have no known meaning.
func (r *Reader) passedOver(b *Block, f frame) {
	b.given = r.layout.Stored(b.Raw)
	switch {
	case f.fileMark:
		b.FileMark, b.Name, b.where = true, notNumbered, "file mark "+r.stands()
	case f.rubbish:
		b.Name, b.where = notNumbered, r.stands()
		e := b.Problem(-1, fmt.Errorf("%w: %s, from byte %d of the file on, belong to none", ErrRubbish, bytesOf(b.extent), b.from))
		if b.spare {
			b.Notes = append(b.Notes, e)
		} else {
			b.Problems = append(b.Problems, e)
		}
	default:
		b.problem(-1, fmt.Errorf("%w; %s up to the next block or the end are passed over", f.wrong, bytesOf(b.extent)))
	}
}

// stands says where something is that is no block.
func (r *Reader) stands() string {
	if r.last == nil {
		return "before the first block"
	}
	return "behind block " + r.layout.BlockName(*r.last)
}

// notNumbered is the name of what is no block.
const notNumbered = "-"

// bytesOf writes a number of bytes.
func bytesOf(n int64) string {
	if n == 1 {
		return "1 byte"
	}
	return fmt.Sprintf("%d bytes", n)
}

// words gives the words of a block from its mark on, turned as they should be, and those that only fill its last bytes; it
// sets Raw, and how to find one in the other.
func (r *Reader) words(b *Block, w *window, f frame) (words, filling []memory.Word) {
	head, start := r.layout.head, max(0, f.lead)
	b.Raw = w.read(start, f.bits, 0)
	if f.rubbish || f.fileMark || f.n < 0 {
		return nil, nil
	}
	words = b.Raw
	b.whence = func(k int) int { return k - head }
	switch {
	case f.lead < 0:
		words = r.layout.FromBits(slices.Concat(r.layout.recordedMark()[:-f.lead], w.bits()[:f.bits]))
		b.whence = nil
	case f.turn != 0:
		words = w.read(start, f.bits, f.turn)
		if all := len(b.Raw); f.turn&backwards != 0 {
			b.whence = func(k int) int { return all - 1 - k - head }
		}
	}
	if whole := head + f.n + r.layout.tail; whole < len(words) && f.slip == 0 {
		words, filling = words[:whole], words[whole:]
		if f.lead >= 0 && f.turn&backwards == 0 {
			b.Raw = b.Raw[:whole]
		}
	}
	return words, filling
}

// header reads the fields of a block from its words, turned as they should be, as far as they reach. What is wrong is
// returned, to be noted when all are read, for a problem goes under the number of its block.
func (r *Reader) header(b *Block, words []memory.Word, f frame) (wrong []error) {
	l := r.layout
	b.Count = f.n
	right := true
	for i, at := range l.starts(len(words)) {
		p := &l.parts[i]
		end := at + p.length(0)
		if end > len(words) || f.cut && p.kind == dataPart {
			break
		}
		switch p.kind {
		case markPart:
			if f.lead < 0 {
				continue // its first bits were put there
			}
			if err := l.markWrong(p, words[at:end]); err != nil {
				wrong, right = append(wrong, err), false
			}
		case numberPart, addressPart, countPart:
			v, ok := p.value(l.Stored(words[at:end]), l.StoreWidth())
			if err := b.field(l, p.kind, v, ok, right || b.proved); err != nil {
				wrong = append(wrong, err)
			}
		}
	}
	if f.wrong != nil {
		wrong = append(wrong, f.wrong)
	}
	return wrong
}

// markWrong says what stands where a mark should.
func (l *Layout) markWrong(p *part, words []memory.Word) error {
	for i, w := range l.Stored(words) {
		switch w {
		case p.mark[i]:
		case p.mark[i] ^ memory.Mask(l.StoreWidth()):
			return fmt.Errorf("%w: %s stands where %s should, its complement; polarity may be inverted in the decode",
				ErrMark, l.storeName(w), l.storeName(p.mark[i]))
		default:
			return fmt.Errorf("%w: %s stands where %s should", ErrMark, l.storeName(w), l.storeName(p.mark[i]))
		}
	}
	return nil
}

// field takes the value of one field; ok says that it fits 64 bits. A number behind a wrong mark is trusted only where
// something proves it: a block that is shifted would take a name from anywhere.
func (b *Block) field(l *Layout, k kind, v uint64, ok, trusted bool) error {
	switch {
	case k == addressPart && ok:
		b.Addr, b.Addressed = memory.Addr(v), true
	case k == numberPart && ok && v <= math.MaxInt32:
		if trusted {
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

// lies says how a block lies on the recording, if not as it should.
func (r *Reader) lies(b *Block, f frame) {
	if f.turn&inverted != 0 {
		b.problem(-1, fmt.Errorf("%w: every bit stands for its complement, so it is read as complemented", ErrPolarity))
	}
	if f.turn&backwards != 0 {
		b.problem(-1, fmt.Errorf("%w: its bits stand in reverse order, so it is read from its end", ErrBackwards))
	}
	switch {
	case f.lead > 0:
		b.problem(-1, fmt.Errorf("%w: its mark stands %s late", ErrShifted, r.amount(f.lead)))
	case f.lead < 0:
		b.problem(-1, fmt.Errorf("%w: its mark stands %s early, and begins with what is left of it", ErrShifted, r.amount(-f.lead)))
	}
}

// length says what a block has too few or too many of.
func (r *Reader) length(b *Block, f frame) {
	err, slip := ErrShort, r.amount(max(f.slip, -f.slip))
	if f.slip > 0 {
		err = ErrLong
	}
	if f.slip%r.layout.width != 0 {
		err = ErrShifted
	}
	pack := &r.layout.packing
	group := pack.words * r.layout.width
	want, short := pack.size(r.layout.head+f.n+r.layout.tail), (f.missing*pack.units+group-1)/group
	switch {
	case f.cut:
		b.problem(-1, fmt.Errorf("%w: the recording ends %s before the block does, which has %d", ErrShort, bytesOf(int64(short)), want))
	case f.slip < 0:
		b.problem(-1, fmt.Errorf("%w: the next mark comes %s early, so many are lost in it", err, slip))
	case f.slip > 0:
		b.problem(-1, fmt.Errorf("%w: the next mark comes %s late, so many are too many in it", err, slip))
	}
}

// amount writes a number of bits, as words where they are whole ones.
func (r *Reader) amount(bits int) string {
	n, unit := bits, "bit"
	if bits%r.layout.width == 0 {
		n, unit = bits/r.layout.width, "word"
	}
	if n != 1 {
		unit += "s"
	}
	return fmt.Sprintf("%d %s", n, unit)
}

// stray finds the bits of a block that no word uses.
func (r *Reader) stray(b *Block) {
	l := r.layout
	first, count := l.packing.stray(b.Bytes)
	if count == 0 {
		return
	}
	word := first/l.packing.units - l.head
	if l.packing.words > 1 || word < 0 || word >= len(b.Words) {
		word = -1
	}
	b.problem(word, fmt.Errorf("%w: byte %d of the file is %s, with bits set that the layout does not use; bytes like it in the block: %d",
		ErrByte, b.Offset+int64(first), l.style.Number(uint64(b.Bytes[first])), count))
}

// blank says of a block of full length that nothing proves but 0: what its sum or check code is made of, and the code itself.
func (r *Reader) blank(b *Block) {
	if !b.Blank() || !b.proved {
		return
	}
	l, n := r.layout, len(b.Words)
	for _, s := range l.seals(b.read, n) {
		made := l.wordsOf(b.read, l.covered(s.part.over, len(b.read), n))
		if s.read != 0 || slices.ContainsFunc(made, func(w memory.Word) bool { return w != 0 }) {
			return
		}
	}
	b.problem(-1, fmt.Errorf("%w: all that its sum or check code is made of is 0, and so is that", ErrBlank))
}
