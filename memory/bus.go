package memory

// A Bus is what a processor half needs from a store: read a word, write a word. No address and no word is an error: where
// nothing answers a Status says so, and bits of a word that the store has no column for are lost.
type Bus interface {
	// Read gives the word at a as the machine sees it, and what there is to remark about it.
	Read(a Addr) (Word, Status)
	// Write stores w at a, its parity made anew; a refused write changes nothing.
	Write(a Addr, w Word) Status
}

// Units is what a half needs beside a Bus where addresses count units smaller than a word: pieces of words.
type Units interface {
	// ReadPart gives a piece of bits bits from unit a on, as Read gives a word.
	ReadPart(a Addr, bits int) (Word, Status)
	// WritePart stores a piece from unit a on; the parity of the whole word is made anew.
	WritePart(a Addr, bits int, w Word) Status
}
