package tape

import (
	"errors"
	"slices"
	"strings"

	"coldstart/memory"
)

// A Block is one block of a recording, as far as it could be read, or the lack of one that was expected. Nothing is mended
// in Raw and Words, however bad the block; they are not to be changed.
type Block struct {
	File     string
	Position int    // place on the recording, counted from 0; -1 for a missing block
	Offset   int64  // bytes of the file before it
	Bit      int    // recorded bits from there on that belong to what stands before it; mostly 0
	Bytes    []byte // of the file, as recorded, from Offset on; with a Bit, first and last are shared with neighbours;
	// of a long stretch that is no block only the beginning is kept, here and in Raw
	FileMark  bool          // it is no block but a file mark: only File, Position, Offset, Bytes and Raw say something
	Number    int           // as recorded; the number expected here, where none or no sensible one could be read
	Name      string        // the number as the layout writes it
	Addressed bool          // Addr was recorded
	Addr      memory.Addr   // load address, as recorded
	Count     int           // words of data, as recorded; without a count field, those of the layout
	Raw       []memory.Word // all words, mark, header and sum included, as they stand on the recording
	Words     []memory.Word // the data as it goes to store, turned round where the block is inverted or backwards
	Summed    bool          // the two sums are known
	SumWanted memory.Word   // the sum as recorded
	SumFound  memory.Word   // the sum of the words as read
	Checked   bool          // the two check codes are known
	CodeRead  uint64        // the check code as recorded
	CodeFound uint64        // the check code of the bits as read
	Problems  []*BlockError // what is wrong with it; empty for a good block
	Notes     []*BlockError // what is not wrong, but worth knowing

	// Superseded is the block of the same number that stands instead of this one: the last that reads whole. Nil where this
	// one stands. A Reader never sets it, for it does not know what is still to come; Read does.
	Superseded *Block

	layout  *Layout
	given   []memory.Word   // Raw as a drive gives it
	read    []memory.Word   // all words from the mark on as recorded, turned round like Words
	whence  func(k int) int // the word of data that word k of Raw is, below 0 or beyond them where it is none
	named   bool            // Number was recorded, and can be believed
	proved  bool            // sum or check code are right over all of its words
	from    int64           // byte of the file it begins in
	extent  int64           // bytes it takes up, which for rubbish may be more than Bytes
	where   string          // where it stands, if it is no block
	early   *BlockError     // the problem that it stands too early, or too late
	skipped int             // numbers before its own that had not come yet
	spare   bool            // it stands behind the last block expected
	again   bool            // a block of its number came before
}

// Good says that nothing is wrong with the block or its place in the recording.
func (b *Block) Good() bool { return len(b.Problems) == 0 }

// Whole says that all words of the block are known, though it may stand out of order, twice, blank, shifted or turned
// round. Shifted or turned it must be proved by its sum or check code.
func (b *Block) Whole() bool {
	return !slices.ContainsFunc(b.Problems, func(p *BlockError) bool {
		return !is(p, ErrNumber, ErrDuplicate, ErrBlank) && !(b.proved && is(p, ErrPolarity, ErrBackwards, ErrShifted))
	})
}

// is says whether an error is one of some.
func is(err error, any ...error) bool {
	return slices.ContainsFunc(any, func(e error) bool { return errors.Is(err, e) })
}

// Rubbish says that what stands here is no block at all.
func (b *Block) Rubbish() bool {
	return slices.ContainsFunc(slices.Concat(b.Problems, b.Notes), func(p *BlockError) bool { return errors.Is(p, ErrRubbish) })
}

// Blank says that the block has words of data and all of them are 0. Its sum may be right, but a sum is right of nothing
// at all, too.
func (b *Block) Blank() bool { return blank(b.Words) }

// Proof is what the block says of itself, its words turned as they should be.
func (b *Block) Proof() Proof { return b.layout.Prove(b.read) }

// Where says what stands here as a message begins: "block 001", or of what is no block, behind which it stands.
func (b *Block) Where() string {
	if b.where != "" {
		return b.where
	}
	return "block " + b.Name
}

// Missing says that the block was expected but is not on the recording.
func (b *Block) Missing() bool { return b.Position < 0 }

// Origin names word k of Raw, k counted from 0.
func (b *Block) Origin(k int) memory.Origin {
	word := -1
	if b.whence != nil {
		word = b.whence(k)
	}
	return b.From(word)
}

// From names word i of the data, i counted from 0; with any other i, the block and no word of it.
func (b *Block) From(i int) memory.Origin {
	if i < 0 || i >= len(b.Words) {
		i = -1
	}
	return memory.Origin{Kind: memory.Tape, File: b.File, Block: b.Number, Word: i}
}

// Reason says in short what is wrong with the block, "" for a good one: one sentence a problem.
func (b *Block) Reason() string {
	var all []string
	for _, p := range b.Problems {
		all = append(all, p.Err.Error())
	}
	return strings.Join(all, "; ")
}

// Problem makes the error of this block, about one word of its data where word is not -1. It is not added to Problems.
func (b *Block) Problem(word int, err error) *BlockError {
	e := &BlockError{File: b.File, Block: b.Number, Name: b.Name, Word: word, Err: err, where: b.Where()}
	if word >= 0 {
		e.place = b.layout.style.Number(uint64(word))
	}
	return e
}

// A BlockError says where a block went wrong; reading may go on.
type BlockError struct {
	File  string
	Block int    // number of the block, as Block.Number
	Name  string // that number as the layout writes it
	Word  int    // word of the data, counted from 0; -1 where no single one can be named
	Err   error  // wraps one of the errors above
	place string // the word as the layout writes it
	where string // as Block.Where
}

// Error gives the file, the block, the word where one can be named, and what is wrong.
func (e *BlockError) Error() string {
	place := ""
	if e.Word >= 0 {
		place = " word " + e.place
	}
	return e.File + ": " + e.where + place + ": " + e.Err.Error()
}

// Unwrap gives the error without its place.
func (e *BlockError) Unwrap() error { return e.Err }
