// Package tape reads and writes recorded blocks by a layout, which is a list
// file: no recording format is built in. This comment is the manual of layouts.
//
// # A layout
//
// A layout says how words stand in the bytes of a recording file, and what a
// block is made of, part after part in the order recorded:
//
//	layout   wendle
//	numbers  octal                                # marks and block numbers
//	word     18 bits                              # a word as recorded
//	bytes    3 of 6 bits make 1 word high first   # how words stand in bytes
//	mark     525252                               # words that begin a block
//	field    number                               # or address, count, spare
//	field    address
//	field    count
//	data     256 words
//	sum      add over number address count data
//	blocks   000 to 053                           # what a whole recording has
//
// Numbers that count something (bits, bytes, words) are decimal, and so are the
// numbers of bits, which are counted from 0 at the right; marks and block
// numbers are in the stated style; check codes are hexadecimal. A # begins a
// comment; a long line goes on in the next where a backslash by itself ends it.
//
// # Three settings: bytes as recorded, as packed, words in store
//
// They are apart, and each has records of its own. As recorded: `bits reversed`
// turns each byte end for end before anything else is done, `sense inverted`
// says that every recorded bit stands for its complement. As packed: `bytes`
// says how bytes make words. As words in store: `store` and `parity` say what of
// a recorded word goes to store, and what must hold of the rest.
//
// The record "bytes 3 of 6 bits make 1 word high first" reads: each 3 bytes
// carry 6 bits each, at their right end, and make 1 word, the first byte holding
// its highest bits. Bits that no word uses are written 0 and must be 0. The same
// word of 18 bits, 123456 in octal, in hexadecimal bytes:
//
//	0A 1C 2E     bytes 3 of 6 bits make 1 word high first
//	2E 1C 0A     bytes 3 of 6 bits make 1 word low first
//	00 A7 2E     bytes 3 of 8 bits make 1 word high first
//	00 00 A7 2E  bytes 4 of 8 bits make 1 word high first
//	00 53 01 2E  bytes 4 of 8 bits make 1 word high first pieces of 9 bits
//	14 0E 1D     bytes 3 of 6 bits make 1 word high first; bits reversed
//	35 23 11     bytes 3 of 6 bits make 1 word high first; sense inverted
//
// Pieces have bytes of their own: 9 bits in each 2 bytes, the left half first. A
// group may hold several words: "bytes 3 of 8 bits make 2 words low first" packs
// two words of 12; "bytes 2 of 4 bits make 1 word high first" makes words of 8
// of nibbles.
//
// Where a tape slips, it slips by bits in the order recorded. Within a byte,
// once it is turned right, the highest bit is taken to have been recorded first;
// `bits low first` says the lowest was, `bits reversed low first` both. It moves
// no bit of any word: only slips are looked for another way round.
//
// With parity on the tape a recorded word is wider than one in store:
//
//	word     20 bits
//	bytes    3 of 8 bits make 1 word high first
//	store    bits 18-10 8-0
//	parity   odd over 19-10
//	parity   odd over 9-0
//
// Here the bits 18 to 10 and 8 to 0 go to store, in this order from the left,
// and 123456 is recorded as 09 4D 2E. A `parity` says that an odd, or an even,
// number of the bits named are ones in every recorded word; there may be
// several. Recording sets the first bit named that does not go to store. Mark,
// fields, sums and check codes stand in the bits that go to store, and the mark
// is written as in store.
//
// # Parts of a block
//
// `mark` is one to sixteen words that stand at the beginning. A `field` is a
// number, an address, a count, or spare words of no meaning; it may take several
// words: "field address 2 words high first". Fields stand in any order, before
// or behind the data. Data that varies is written "data count words up to 1024":
// the count field, which must come before, says how many, and never more than
// stated. Where tapes have file marks, `file-mark`, as in "file-mark 0 0", gives
// the words that stand in place of a block; blocks must then begin with a mark.
//
// # Sums
//
//	sum      add over number address count data
//	sum      add end-around complemented over data
//	sum      16 bits add negated 2 words low first over bytes of data
//
// In turn: how wide it is, as wide as its words if that is not said; `add`
// (carries out of the sum are lost), `add end-around` (they are added in at the
// right) or `exclusive-or`; `complemented` if the ones complement is recorded,
// `negated` if the twos complement is, so that words and sum add up to 0; how
// many words hold it, one if that is not said; and the parts it is made of:
// mark, number, address, count, spare, data. `over bytes of` adds up the bytes
// as recorded, turned right by `bits` and `sense`, instead of the words in
// store; a byte must not then hold bits of two words. A sum narrower than its
// words stands at their right end.
//
// # Check codes
//
//	check    16 bits 8005 start 0000 in straight out straight final 0000 \
//	         2 words high first over data
//
// All six parameters must be stated, for names of codes are used loosely: how
// many bits, 8 to 64; the polynomial without its highest term; what the register
// holds at the start; whether each byte goes in with its highest bit first (`in
// straight`) or its lowest (`in reflected`); whether the register comes out as
// it is (`out straight`) or turned end for end (`out reflected`); and what is
// added to it at last, without carries. They mean what they mean in published
// tables, where 8005, 0000, reflected, reflected, 0000 gives BB3D for the text
// 123456789. Numbers are hexadecimal with all their digits.
//
// The code is made of the recorded bits of the parts named (those of a sum, and
// `sum` itself) in the order they are recorded, byte after byte; bits that no
// word uses are left out. It stands at the right end of as few words as hold it,
// high word first, unless "2 words low first" says otherwise. `survey --guess`
// finds the parameters.
//
// With a start of 0000 a block of nothing but 0 has the code 0000: it passes,
// but it is blank, and never simply good.
//
// # The rest
//
// `text`, as in "text 2 of 9 bits high first", says how characters stand in a
// word, where strings are looked for; without it a word is one character.
// `blocks` gives the first and last number of a whole recording, so that a
// missing one is seen.
//
// Reading goes on after a bad block: blocks come good, damaged and missing
// alike, and each says what is wrong with it. Behind a bad one the next mark is
// looked for by single bits, so that words or bits that it lost, or that came to
// it, do not harm the next. A block whose bits are all complemented, or stand in
// reverse order, is read as such, and said to be. Of blocks recorded twice both
// are kept; the last that reads whole stands.
package tape
