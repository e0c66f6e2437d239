package tape

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/memory"
)

// A Recording is all there is on one recording, blocks good and damaged in their order.
type Recording struct {
	Layout  *Layout
	Blocks  []*Block // at their positions
	Missing []*Block // expected by the layout, and not there
}

// Read reads a whole recording in layout l; file is the name it goes by in errors and origins. The error is that of
// Reader.Err, and then there is no Recording. What only all of it can tell is settled here: which of several blocks of one
// number stands, and that a block behind missing ones is not out of order.
func Read(l *Layout, file string, src io.Reader) (*Recording, error) {
	rec := &Recording{Layout: l}
	r := NewReader(l, file, src)
	for r.Scan() {
		if b := r.Block(); b.Missing() {
			rec.Missing = append(rec.Missing, b)
		} else {
			rec.Blocks = append(rec.Blocks, b)
		}
	}
	if r.Err() != nil {
		return nil, r.Err()
	}
	rec.settle()
	rec.order()
	return rec, nil
}

// settle says of blocks that were recorded more than once which one stands: the last that reads whole, or else the last.
func (rec *Recording) settle() {
	stands := map[int]*Block{}
	for _, b := range rec.Blocks {
		if before := stands[b.Number]; b.named && (before == nil || b.Whole() || !before.Whole()) {
			stands[b.Number] = b
		}
	}
	for _, b := range rec.Blocks {
		if by := stands[b.Number]; b.named && by != b {
			b.Superseded = by
		}
	}
}

// order takes back that a block stands out of order where those before it are nowhere on the recording: then it is they
// that are missing, and it stands in its place.
func (rec *Recording) order() {
	there := map[int]bool{}
	for _, b := range rec.Blocks {
		there[b.Number] = there[b.Number] || !b.FileMark && !b.Rubbish()
	}
blocks:
	for _, b := range rec.Blocks {
		if b.skipped == 0 {
			continue
		}
		for n := b.Number - b.skipped; n < b.Number; n++ {
			if there[n] {
				continue blocks
			}
		}
		b.Problems = slices.DeleteFunc(b.Problems, func(p *BlockError) bool { return p == b.early })
	}
}

// Remark says in a sentence what is odd about the recording as a whole though no block is wrong by it: that it goes on
// behind the last block expected. It is "" where there is nothing to say. Counts in it are decimal.
func (rec *Recording) Remark() string {
	var again, other, bytes int64
	for _, b := range rec.Blocks {
		switch {
		case !b.spare || b.FileMark:
		case b.Rubbish():
			bytes += b.extent
		case b.again:
			again++
		default:
			other++
		}
	}
	var all []string
	for _, part := range []struct {
		n         int64
		one, many string
	}{{again, "block recorded before", "blocks recorded before"}, {other, "other block", "other blocks"}, {bytes, "byte of no block", "bytes of no block"}} {
		if part.n == 1 {
			all = append(all, "1 "+part.one)
		} else if part.n > 1 {
			all = append(all, fmt.Sprintf("%d %s", part.n, part.many))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return fmt.Sprintf("the recording goes on behind block %s, the last expected: %s", rec.Layout.BlockName(rec.Layout.last), strings.Join(all, ", "))
}

// Len gives the number of blocks on the recording.
func (rec *Recording) Len() int { return len(rec.Blocks) }

// Words gives all words of the block at position i, mark, header and sum included, as a drive gives them: the bits that
// go to store.
func (rec *Recording) Words(i int) []memory.Word { return rec.Blocks[i].given }

// Origin names word k of the block at position i.
func (rec *Recording) Origin(i, k int) memory.Origin { return rec.Blocks[i].Origin(k) }

// Err joins the problems of all blocks, missing ones last; nil for a recording without any.
func (rec *Recording) Err() error {
	var all []error
	for _, b := range slices.Concat(rec.Blocks, rec.Missing) {
		for _, p := range b.Problems {
			all = append(all, p)
		}
	}
	return errors.Join(all...)
}
