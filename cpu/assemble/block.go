package assemble

import (
	"cmp"
	"math"
	"slices"

	"coldstart/memory"
)

// A block is a tape block that a line has asked for.
type block struct {
	Block
	line *line
	step memory.Addr // from one word to the next
}

// end is the address behind its last.
func (b *block) end() memory.Addr { return b.First + memory.Addr(b.Count)*b.step }

// openBlock reads NUMBER, ADDRESS, COUNT and goes on from the address.
func (a *assembler) openBlock(k cursor) {
	at := a.place.at
	a.place = place{told: true} // whatever is wrong here, the lines below are not to be told of it too
	number, ok := k.plain("a block number", at, math.MaxInt32)
	if !ok || !k.comma("an address") {
		return
	}
	first, ok := k.address("an address", at)
	if !ok || !k.comma("a number of words") {
		return
	}
	size, ok := k.plain("the words of a block from there", at, min(a.room(a.code.PlaceOf(first), a.code.WordStep()), math.MaxInt32))
	if !ok || !k.finish() {
		return
	}
	for _, b := range a.blocks {
		if b.Number == int(number) {
			k.wrong(k.line.items[0], "block %s stands here a second time; it stands already in %s",
				a.code.Geometry.Style.Number(number), b.line.seenFrom(k.line.source))
		}
	}
	a.place = place{at: a.code.PlaceOf(first), known: true}
	a.blocks = append(a.blocks, &block{
		Block: Block{Number: int(number), First: first, Count: int(size), At: k.line.start()},
		line:  k.line,
		step:  a.step(),
	})
}

// checkBlocks complains of blocks that share words, that are not full, and of words that run on past a block into no
// other. Text may run through blocks that follow one another.
func (a *assembler) checkBlocks() {
	style := a.code.Geometry.Style
	slices.SortStableFunc(a.blocks, func(b, c *block) int { return cmp.Compare(b.First, c.First) })
	for i, b := range a.blocks {
		number := style.Number(uint64(b.Number))
		next := memory.Addr(math.MaxUint64)
		if i+1 < len(a.blocks) {
			next = a.blocks[i+1].First
		}
		if next < b.end() {
			a.errorf(a.blocks[i+1].At, "this block begins at %s, and block %s of %s ends at %s: no word is in two blocks",
				a.addr(next), number, b.line.seenFrom(a.blocks[i+1].At.Filename), a.addr(b.end()-b.step))
			continue
		}
		words := a.words[a.index(b.First):a.index(b.end())]
		if len(words) < b.Count {
			// The words are sorted and differ, so the first that is not the next address leaves the gap.
			gap := b.First
			for _, w := range words {
				if w.Addr == gap {
					gap += b.step
				}
			}
			a.errorf(b.At, "block %s takes %s words, and %s stand in it; the first missing is %s",
				number, style.Number(uint64(b.Count)), style.Number(uint64(len(words))), a.addr(gap))
		}
		for _, r := range a.runs {
			if r.first < b.end() && b.end() < r.end && b.end() < next {
				a.errorf(a.words[a.index(b.end())].At, "%s words run on here past block %s, which takes %s and ends at %s",
					style.Number(uint64((min(r.end, next)-b.end()+b.step-1)/b.step)), number, style.Number(uint64(b.Count)), a.addr(b.end()-b.step))
			}
		}
	}
}

// step is how far the address of one word is from that of the next.
func (a *assembler) step() memory.Addr { return a.code.WordOf(memory.Addr(a.code.WordStep())) }
