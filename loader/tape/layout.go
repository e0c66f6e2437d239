package tape

import (
	"fmt"
	"strings"

	"coldstart/memory"
)

// Bounds of a layout. They keep the memory a Reader needs small, whatever a recording claims.
const (
	mostData   = 1 << 16 // words of data in a block
	mostWords  = 1 << 17 // words of a block
	mostBytes  = 1 << 20 // bytes of a block
	mostBlocks = 1 << 14 // blocks of a recording

	mostRubbish = 1 << 26 // bytes in a row that belong to no block
)

// A Layout says what the blocks of a recording look like. It never changes and may be shared.
type Layout struct {
	name    string
	style   memory.Style
	width   int // bits of a word as recorded
	packing packing
	store   []span   // the bits of a recorded word that go to store, from the left; nil is all
	parity  []parity // of every recorded word
	text    packing  // of characters in words; units 0 is one a word
	parts   []part
	head    int // words before the data
	tail    int // words after the data
	data    int // words of data: exactly, or at most when vary
	vary    bool

	fileMark []memory.Word // what stands in place of a block and marks a place on the tape; none in most layouts

	expects     bool // first and last are stated
	first, last int
	digits      int // of a block number
}

// A kind is what one part of a block is.
type kind string

// The kinds of part. Those of fields are the words of the field record.
const (
	markPart    kind = "mark"
	numberPart  kind = "number"
	addressPart kind = "address"
	countPart   kind = "count"
	sparePart   kind = "spare"
	dataPart    kind = "data"
	sumPart     kind = "sum"
	checkPart   kind = "check"
)

// A part is one part of a block, of at least one word.
type part struct {
	kind     kind
	words    int           // its length; that of the data is in the Layout
	lowFirst bool          // the first word of a long field is its lowest
	mark     []memory.Word // of a mark: its words in store
	sum      sum           // of a sum
	code     *code         // of a check
	over     []kind        // of a sum or check: the parts it is made of
}

// Name is the name the layout gives itself.
func (l *Layout) Name() string { return l.name }

// Width is the number of bits of a word as recorded, 1 to 64.
func (l *Layout) Width() int { return l.width }

// Expected gives the numbers of the first and last block of a whole recording, and whether the layout states them.
func (l *Layout) Expected() (first, last int, stated bool) { return l.first, l.last, l.expects }

// BlockName writes the number of a block as the layout does.
func (l *Layout) BlockName(number int) string {
	text := l.style.Number(uint64(number))
	return strings.Repeat("0", max(0, l.digits-len(text))) + text
}

// Number writes a number that counts something, such as a position on the recording, as the layout does.
func (l *Layout) Number(n int) string { return l.style.Number(uint64(n)) }

// WordName writes a word as the layout does, with all digits of one as recorded.
func (l *Layout) WordName(w memory.Word) string { return l.style.Word(w, l.width) }

// has says whether blocks have a part of that kind.
func (l *Layout) has(k kind) bool { return l.partOf(k) != nil }

// partOf gives the part of a kind, nil where blocks have none.
func (l *Layout) partOf(k kind) *part {
	for i := range l.parts {
		if l.parts[i].kind == k {
			return &l.parts[i]
		}
	}
	return nil
}

// length gives the words of part p in a block with n words of data.
func (p *part) length(n int) int {
	if p.kind == dataPart {
		return n
	}
	return p.words
}

// value puts the words of a long field together; ok is false when it is wider than 64 bits.
func (p *part) value(words []memory.Word, width int) (v uint64, ok bool) {
	for i := range words {
		w := words[i]
		if p.lowFirst {
			w = words[len(words)-1-i]
		}
		if v>>(64-width) != 0 { // the highest bits would be lost
			return 0, false
		}
		v = v<<width | uint64(w)
	}
	return v, true
}

// split is the inverse of value.
func (p *part) split(dst []memory.Word, v uint64, width int, style memory.Style) ([]memory.Word, error) {
	start, whole := len(dst), v
	for range p.words {
		dst = append(dst, memory.Word(v)&memory.Mask(width))
		v >>= width // 64 places leave 0
	}
	if v != 0 {
		return dst[:start], fmt.Errorf("the %s %s does not fit its field of %d bits", p.kind, style.Number(whole), p.words*width)
	}
	if !p.lowFirst {
		for i, j := start, len(dst)-1; i < j; i, j = i+1, j-1 {
			dst[i], dst[j] = dst[j], dst[i]
		}
	}
	return dst, nil
}
