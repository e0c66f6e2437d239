package splice

import (
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A form is what a layout says about its blocks, asked once.
type form struct {
	*tape.Layout
	data     int  // words of data: exactly, or at most where it varies
	vary     bool // blocks vary in length
	numbered bool // blocks record their number
	strength int  // bits of check and sum together; 0 where nothing is recorded to prove a block by
	shapes   map[int]*shape
}

// A shape says for each word of a block of some length what it is.
type shape struct {
	covered []bool // check or sum would notice if it changed: what they do not cover they cannot prove
	mark    []bool
	number  []bool
	address []bool
	count   []bool
}

// formOf asks a layout.
func formOf(l *tape.Layout) *form {
	f := &form{Layout: l, shapes: map[int]*shape{}}
	f.data, f.vary = l.Data()
	empty := f.blank(0, f.data)
	f.numbered = l.Fields(empty).Numbered
	f.strength = l.Strength()
	return f
}

// blank is a block as the layout would record it for a number, with n words of 0 in it, which it must be able to hold.
func (f *form) blank(number, n int) []memory.Word {
	made, err := f.Append(nil, number, 0, make([]memory.Word, n))
	if err != nil { // a number too large for its field: the words that need none are all that is left to say
		made, _ = f.Append(nil, 0, 0, make([]memory.Word, n))
	}
	return f.FromBytes(made)[:f.Length(n)]
}

// shape gives the shape of blocks of that length. It is found by changing each word and asking what has become wrong.
func (f *form) shape(length int) *shape {
	if s, ok := f.shapes[length]; ok {
		return s
	}
	s := &shape{make([]bool, length), make([]bool, length), make([]bool, length), make([]bool, length), make([]bool, length)}
	n := length - f.Length(0)
	raw := slices.Clone(f.blank(1, n))
	before, header := f.Prove(raw), f.Fields(raw)
	for i := range min(length, len(raw)) {
		if at := i - f.DataAt(); at > 1 && at < n-1 {
			s.covered[i] = s.covered[i-1] // the words of the data are alike in this
			continue
		}
		for bit := range f.Width() {
			raw[i] ^= 1 << bit
			p, h := f.Prove(raw), f.Fields(raw)
			raw[i] ^= 1 << bit
			s.covered[i] = s.covered[i] || p.Sum != before.Sum || p.Check != before.Check
			s.mark[i] = s.mark[i] || p.Mark != before.Mark
			s.number[i] = s.number[i] || h.Number != header.Number
			s.address[i] = s.address[i] || h.Address != header.Address
			s.count[i] = s.count[i] || h.Count != header.Count
		}
	}
	f.shapes[length] = s
	return s
}

// proves says whether a block is proved by what is recorded with it: check and sum as far as there are any, at least one of
// them, and nothing that speaks against it. Words all of one value prove nothing, since a dropout leaves such words and
// many sums pass them.
func (f *form) proves(raw []memory.Word, p *tape.Proof) bool {
	switch tape.Wrong {
	case p.Mark, p.Count, p.Check, p.Sum:
		return false
	}
	if p.Check != tape.Right && p.Sum != tape.Right || len(p.Stray) > 0 {
		return false
	}
	shape := f.shape(len(raw))
	// One that ends in a mark has swallowed the beginning of the next: it lost words, and those it took in do not show.
	if n := slices.Index(shape.mark, false); n > 0 && shape.mark[0] && slices.Equal(raw[:n], raw[len(raw)-n:]) {
		return false
	}
	covered := shape.covered
	first := slices.Index(covered, true)
	for i, w := range raw {
		if covered[i] && w != raw[first] {
			return true
		}
	}
	return false
}

// passes says whether words pass as the block of that number.
func (f *form) passes(raw []memory.Word, number int) bool {
	p := f.Prove(raw)
	return f.proves(raw, &p) && (!f.numbered || f.Fields(raw).Number == uint64(number))
}
