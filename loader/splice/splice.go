// Package splice makes one recording of several readings of the same tape, and keeps for each word where it came from.
//
// A pass is one time the tape went by a head; a decode is one way of making blocks of what the head gave. Two decodes of a
// pass are one witness. Copies of a block are aligned before they are compared: one that lost or gained bits is no witness
// until what follows is moved back to its place.
//
// What counts, in this order: the block check of the recorder, the sum of the loader, the parity of words, agreement,
// and the opinion of a person. A block is settled when a whole copy passes what is recorded with it, or when of all
// mixtures of the copies one alone does, and so few were tried that no accident is likely. Passes that agree prove
// nothing. Where that leaves a doubt, every mixture that passes is kept; where no pass has a block, nothing is invented.
//
// Passes are taken in the order of their digests, so that the order they are named in changes no byte of a result.
package splice

import (
	"cmp"
	"fmt"
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// The number of passes a merge takes. One is no splice; more than nine no tape survives.
const (
	leastPasses = 2
	mostPasses  = 9
)

// A Pass is one time the tape went by, in one decode or several.
type Pass struct {
	Name    string // what it goes by in reports: the name of its file
	SHA256  string // of its file, in hexadecimal
	Decodes []*tape.Recording
	Files   []string // names of its decodes, in their order; without them a decode goes by the name of its pass
	Turned  string   // inverted, backwards, or both: how its first decode runs; set by Merge
}

// Bounds keep a merge from taking for ever. A zero bound stands for its default.
type Bounds struct {
	Mixtures int // most mixtures tried for one block; default 4096
	Slip     int // most bits a copy is looked for away from its place; default 8 words and some bits
}

// fill puts in the defaults.
func (b Bounds) fill(width int) Bounds {
	b.Mixtures = cmp.Or(b.Mixtures, 4096)
	b.Slip = cmp.Or(b.Slip, 8*width+16)
	return b
}

// A Merged is what several passes come to.
type Merged struct {
	Layout    *tape.Layout
	Passes    []Pass    // in the order of their digests
	Blocks    []*Block  // in the order they are recorded in
	LeftOut   []int     // numbers of blocks that are whole on a pass and not among those the layout states
	Notes     []string  // what there is to say of whole passes
	Decisions Decisions // as they were given, with what speaks against them
	Bounds    Bounds    // as they were kept to
}

// A State says what is known of a block. Its zero value is Lost.
type State uint8

// The states of a block.
const (
	Lost     State = iota // in no pass, or not whole in all of them together
	Doubtful              // more than one reading is left, or none that passes
	Settled
	Decided // by a person, against what is recorded with it
)

// A Block is one block as merged from its copies.
type Block struct {
	Number    int
	Name      string
	State     State
	Rule      string        // what settled it: check, sum, mixture, decision; none where nothing did
	Raw       []memory.Word // all its words, mark, header and sum included; nil for a lost block
	DataAt    int           // words of Raw before the data
	Count     int           // words of data
	Passed    []int         // indices of the passes that have it whole and passing
	Copies    []Copy        // one for each pass, in their order
	Mixtures  []Mixture     // of a doubtful block: those that pass, most witnesses first; where none does, the likeliest
	Doubts    []Doubt       // in the order of their words
	Disputed  []Doubt       // of a block settled by the only mixture that passes: the words it chose, that one first
	Tried     int           // mixtures tried
	Chance    string        // that one of so many passes by accident, as "1 in 4,096"; "" where none were tried
	Cut       bool          // the bound kept some mixtures from being tried
	Taken     string        // the mixture in Raw
	Guesses   []Guess       // of a block that is not settled: single bits that a check code names
	Remarks   []string      // phrases for people
	Addressed bool          // of a lost block: its neighbours show where it should load, at Addr
	Addr      uint64

	bare string // what settled it but for words of its header that nothing covers; "" for any other
	runs []run  // of Raw, in order, without gaps
}

// A Copy is what one pass has of a block.
type Copy struct {
	State  string // good, blank, slip, short, check, sum, mark, count, stray (its parity), read (nothing to go by), other (not this block), lost
	Decode string // file of the decode it is from; "" for the first one of its pass
	Other  bool   // what it holds has too little in common with the block to speak of slips
	Mended bool   // a few bits of its mark were wrong, and were put right by the layout
	Twice  bool   // there are several; this is the last good one, or the last
	Slips  []Slip
	Differ int // words that differ from the block as merged
	Unread int // words it does not have
	At     int // position of the block on the recording, from 0; -1 for a lost one
}

// A Slip is a place where a copy lost or gained bits.
type Slip struct {
	Word int // of the data, from 0; below 0 in the header
	Bits int // gained; below 0, lost
}

// A Mixture is one way to put a block together from its copies.
type Mixture struct {
	Name      string // 031.a, 031.b and so on, by the block
	Digest    string // of its words, in hexadecimal: names change with the passes, and this does not
	Passes    bool   // check, sum and parity, as far as they are recorded
	Witnesses int    // passes that read each of its disputed words so, added up
	raw       []memory.Word
	full      string // all digits of the digest
}

// A Guess is one wrong bit that the check code of a copy names: an inference, and never taken.
type Guess struct {
	Pass   string      // whose copy it is
	Word   int         // of the data, from 0; below 0 in the header
	Bit    int         // of the word, from 0 at the right
	Reads  memory.Word // with the bit turned over
	Passes bool        // with it, all that is recorded is right
}

// A Doubt is one word that is not settled.
type Doubt struct {
	Block    string
	Number   int
	Word     int // of the data, from 0; below 0 in the header, and from the count on behind the data
	Readings []Reading
}

// A Reading is one way a word was read.
type Reading struct {
	Word   memory.Word
	Passes []string // that read it so
	In     []string // mixtures that hold it
}

// Merge splices passes of a recording in layout l. The error is about what cannot be spliced at all.
func Merge(l *tape.Layout, passes []Pass, decisions Decisions, bounds Bounds) (*Merged, error) {
	if n := len(passes); n < leastPasses || n > mostPasses {
		return nil, fmt.Errorf("a splice is of %d to %d passes, and %d are given", leastPasses, mostPasses, n)
	}
	m := newMerger(l, passes, bounds)
	m.Decisions = slices.Clone(decisions)
	for i := range m.Passes[1:] {
		if a, b := &m.Passes[i], &m.Passes[i+1]; a.SHA256 == b.SHA256 {
			return nil, fmt.Errorf("%s and %s are the same reading: they hold the same bytes", a.Name, b.Name)
		}
	}
	if err := m.sort(); err != nil {
		return nil, err
	}
	for _, number := range m.order() {
		m.Blocks = append(m.Blocks, m.block(number))
	}
	for _, d := range m.Decisions {
		if !slices.ContainsFunc(m.Blocks, func(b *Block) bool { return b.Number == d.Block }) {
			m.refused.Add(d.Pos, "there is no block %s", l.BlockName(d.Block))
		}
	}
	if err := m.refused.Err(); err != nil {
		return nil, err
	}
	m.headers()
	m.place()
	m.compare()
	return &m.Merged, nil
}

// newMerger puts the passes in their order.
func newMerger(l *tape.Layout, passes []Pass, bounds Bounds) *merger {
	m := &merger{Merged: Merged{Layout: l, Bounds: bounds.fill(l.Width()), Passes: slices.Clone(passes)}}
	slices.SortFunc(m.Passes, func(a, b Pass) int {
		return cmp.Or(cmp.Compare(a.SHA256, b.SHA256), cmp.Compare(a.Name, b.Name))
	})
	m.aligner.band = m.Bounds.Slip
	return m
}
