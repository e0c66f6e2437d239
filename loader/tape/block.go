package tape

import (
	"errors"
	"slices"
	"strings"

	"coldstart/memory"
)

// What can be wrong with a block. A BlockError wraps one of these.
var (
	ErrMark    = errors.New("block mark wrong")
	ErrShort   = errors.New("block cut short")
	ErrByte    = errors.New("stray bits")
	ErrField   = errors.New("field too large")
	ErrCount   = errors.New("count wrong")
	ErrParity  = errors.New("parity wrong")
	ErrCheck   = errors.New("block check wrong")
	ErrSum     = errors.New("sum wrong")
	ErrNumber  = errors.New("block out of order")
	ErrMissing = errors.New("block missing")
)

// ErrEmpty is the error of a recording without a single byte.
var ErrEmpty = errors.New("the recording is empty; is this the right file?")

// A Block is one block of a recording, as far as it could be read, or the lack of one that was expected. The words of
// Raw are as recorded, however bad the block, those of Words as they go to store; they are not to be changed.
type Block struct {
	File      string
	Position  int           // place on the recording, counted from 0; -1 for a missing block
	Offset    int64         // bytes of the file before it
	Number    int           // as recorded; the number expected here, where none or no sensible one could be read
	Name      string        // the number as the layout writes it
	Addressed bool          // Addr was recorded
	Addr      memory.Addr   // load address, as recorded
	Count     int           // words of data, as recorded; without a count field, those of the layout
	Raw       []memory.Word // all words, mark, header and sum included
	Words     []memory.Word // the data, as it goes to store
	Summed    bool          // the two sums are known
	SumWanted memory.Word   // the sum as recorded
	SumFound  memory.Word   // the sum of the words as read
	Checked   bool          // the two check codes are known
	CodeRead  uint64        // the check code as recorded
	CodeFound uint64        // the check code of the bits as read
	Problems  []*BlockError // what is wrong with it; empty for a good block

	layout *Layout
	given  []memory.Word // Raw as it goes to store
	named  bool          // Number was recorded
	head   int           // words of Raw before the data
}

// Good says that nothing is wrong with the block or its place in the recording.
func (b *Block) Good() bool { return len(b.Problems) == 0 }

// Whole says that the block reads without fault, though it may stand out of order.
func (b *Block) Whole() bool {
	return !slices.ContainsFunc(b.Problems, func(p *BlockError) bool { return !errors.Is(p, ErrNumber) })
}

// Missing says that the block was expected but is not on the recording.
func (b *Block) Missing() bool { return b.Position < 0 }

// Origin names word k of Raw, k counted from 0.
func (b *Block) Origin(k int) memory.Origin {
	word := k - b.head
	if word < 0 || word >= len(b.Words) {
		word = -1
	}
	return memory.Origin{Kind: memory.Tape, File: b.File, Block: b.Number, Word: word}
}

// DataAt gives the number of words of Raw before the data.
func (b *Block) DataAt() int { return b.head }

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
	e := &BlockError{File: b.File, Block: b.Number, Name: b.Name, Word: word, Err: err}
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
}

// Error gives the file, the block, the word where one can be named, and what is wrong.
func (e *BlockError) Error() string {
	place := ""
	if e.Word >= 0 {
		place = " word " + e.place
	}
	return e.File + ": block " + e.Name + place + ": " + e.Err.Error()
}

// Unwrap gives the error without its place.
func (e *BlockError) Unwrap() error { return e.Err }
