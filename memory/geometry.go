package memory

// A Geometry says which addresses answer, how wide their words are, and which chip holds which bit.
type Geometry struct {
	Style    Style
	Width    int    // data bits of a word, 4 to 64
	AddrBits int    // bits of an address, 1 to 64
	Areas    []Area // sorted by First, never overlapping; between them nothing answers
}

// An Area is one plug-in's range of addresses, both ends included.
type Area struct {
	Name        string
	First, Last Addr
	Width       int      // data bits
	Wired       bool     // the processor cannot write it
	Parity      []Parity // parity columns: column Width+i is Parity[i]
	Chips       []Chip
}

// A Parity is one parity column: bits Hi to Lo and the column together hold an odd (or even) number of ones.
type Parity struct {
	Name   string
	Odd    bool
	Hi, Lo int
}

// A Chip is a part that can be pulled, and the one column it holds in its Area: a data bit, or Width+i for Parity[i].
type Chip struct {
	Name   string
	Column int
}
