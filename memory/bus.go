package memory

// A Bus is what a processor half needs from a store: read a word, write a word, with right parity or wrong. No address and no
// word is an error: where nothing answers a Status says so, and bits of a word that the store has no column for are lost.
type Bus interface {
	// Read gives the word at a as the machine sees it, and what there is to remark about it.
	Read(a Addr) (Word, Status)
	// Write stores w at a, its parity made anew; a refused write changes nothing.
	Write(a Addr, w Word) Status
	// WriteWrong does as Write does, but that parity column is made wrong; every one where no column is named, and none
	// where the area has none of that name.
	WriteWrong(a Addr, w Word, column string) Status
}

// Units is what a Bus answers besides where an address counts units and not words: pieces of one unit or more, at any
// address. Bits is how wide the piece is, a multiple of the unit, at most a word; a piece of any other width meets
// nothing: NoReply.
type Units interface {
	// ReadPart gives the piece that begins at a, right-aligned, and what there is to remark about the words it lies in.
	ReadPart(a Addr, bits int) (Word, Status)
	// WritePart stores the low bits of w from a on, the parity of the words they lie in made anew; a refused write
	// changes nothing.
	WritePart(a Addr, bits int, w Word) Status
}
