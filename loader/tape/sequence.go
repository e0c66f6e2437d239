package tape

import (
	"crypto/sha256"
	"fmt"
)

// A sequence follows the numbers of the blocks on a recording.
type sequence struct {
	expect int             // number of the block to come, as far as can be told; -1 before the first where any will do
	guess  int             // the number given to the block before, which could not be read; else -1
	seen   map[int]earlier // by number
	behind bool            // the last block expected has gone by
	last   *int            // number of the block that went by last, nil before the first
}

// An earlier is what a Reader keeps of a block: little, for it may be asked to read many.
type earlier struct {
	position int
	whole    bool
	named    bool
	digest   [sha256.Size]byte // of its address and data
}

// digest makes the digest of the address and data of a block.
func (b *Block) digest() (sum [sha256.Size]byte) {
	src := make([]byte, 0, 8*len(b.Words)+8)
	put := func(v uint64) {
		for range 8 {
			src, v = append(src, byte(v)), v>>8
		}
	}
	put(uint64(b.Addr))
	for _, w := range b.Words {
		put(uint64(w))
	}
	return sha256.Sum256(src)
}

// inOrder holds the number of b against the one expected at its place.
func (r *Reader) inOrder(b *Block) {
	l := r.layout
	_, seen := r.seen[b.Number]
	switch {
	case l.expects && b.Number > l.last && !b.named:
		b.problem(-1, fmt.Errorf("%w: the recording goes on behind %s, the last expected", ErrNumber, l.BlockName(l.last)))
	case l.expects && (b.Number < l.first || b.Number > l.last):
		b.problem(-1, fmt.Errorf("%w: its number is not from %s to %s", ErrNumber, l.BlockName(l.first), l.BlockName(l.last)))
	case r.expect < 0 || b.Number == r.expect || b.Number == r.guess:
	case seen && b.named: // again says so
	default:
		b.problem(-1, fmt.Errorf("%w: it stands where %s was expected", ErrNumber, l.BlockName(r.expect)))
		b.early, b.skipped = b.Problems[len(b.Problems)-1], max(0, b.Number-r.expect)
	}
}

// again says of a block whose number has been on the recording before which of the two stands: of those that read whole,
// the last. A drive that finds a block bad when it has written it writes it again, so that this is no fault by itself; two
// that read whole and are not alike are.
func (r *Reader) again(b *Block) {
	l := r.layout
	before, seen := r.seen[b.Number]
	if !seen && b.named && l.first <= b.Number && b.Number <= l.last {
		b.spare = false // it was still to come
	}
	if !seen || !b.named || !before.named {
		return
	}
	b.again = true
	at := "the one at position " + l.Number(before.position)
	switch {
	case !b.Whole() && before.whole:
		b.note(fmt.Errorf("%w: %s reads whole, and stands", ErrDuplicate, at))
	case !b.Whole():
		b.note(fmt.Errorf("%w: %s does not read whole either", ErrDuplicate, at))
	case !before.whole:
		b.note(fmt.Errorf("%w: this one reads whole, and stands for %s", ErrDuplicate, at))
	case before.digest == b.digest():
		b.note(fmt.Errorf("%w: it is alike with %s", ErrDuplicate, at))
	default:
		b.problem(-1, fmt.Errorf("%w: it is not alike with %s, though both read whole; the last that does stands", ErrDuplicate, at))
	}
}

// pass notes that b went by, and what is expected next. Only a block that is whole is believed about its place: after any
// other, the count goes on from where it was. A block that could not be read may have been an extra one, so that the
// number it was given may still come.
func (r *Reader) pass(b *Block) {
	if b.FileMark || b.Rubbish() {
		return
	}
	_, seen := r.seen[b.Number]
	whole := b.Whole()
	if before := r.seen[b.Number]; !seen || whole || !before.whole {
		e := earlier{position: b.Position, whole: whole, named: b.named}
		if whole {
			e.digest = b.digest()
		}
		r.seen[b.Number] = e
	}
	number := b.Number
	r.last, r.guess = &number, -1
	defer func() { r.behind = r.behind || r.layout.expects && r.expect > r.layout.last }()
	switch {
	case !b.named && r.expect < 0: // still nothing to count from
	case !b.named && r.layout.has(numberPart):
		r.guess = b.Number
		r.expect = b.Number + 1
	case seen && b.named: // an extra one
		if whole {
			r.expect = b.Number + 1
		}
	case whole || r.expect < 0:
		r.expect = b.Number + 1
	default:
		r.expect++
	}
}
