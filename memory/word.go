// Package memory holds recovered words and the store they run in: words and their geometry, images with the origin of
// each word, and a store seen through its jams. It knows nothing of orders, tapes or processors.
//
// Bits are counted from the right, the rightmost being 0, whatever a handbook's numbering says; Style turns them into the
// handbook's own numbers at the edge.
package memory

// A Word is one stored word, right-aligned, never wider than its Geometry.
type Word uint64

// An Addr is the number of a word in a store, or of a unit of a word: see Geometry.Unit.
type Addr uint64

// Mask gives a word of width ones, at the right. Width is 0 to 64 bits; a width beyond either end counts as that end.
func Mask(width int) Word {
	if width >= 64 {
		return ^Word(0)
	}
	return Word(1)<<max(width, 0) - 1
}
