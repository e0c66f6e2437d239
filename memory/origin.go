package memory

// A Kind says what sort of thing an Origin names.
type Kind uint8

// The kinds of origin.
const (
	Nowhere Kind = iota // no origin known
	Tape                // a word of a tape block
	Wired               // a word of wired store
	Typed               // a word somebody typed, or a file of plain words
)

// An Origin names the tape block and word, or the decision, a stored word came from.
type Origin struct {
	Kind  Kind
	File  string // as named in the office
	Block int    // number of the block on the tape, as recorded in its header
	Word  int    // number of the word within the block's data, from 0; -1 for a word of its header or sum
}
