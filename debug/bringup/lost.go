package bringup

import (
	"fmt"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A gap is where a block that is missing on a tape would load, as far as its neighbours tell.
type gap struct {
	said        string // the block
	first, last memory.Addr
}

// gaps are the places of missing blocks that the numbers and addresses of their neighbours leave for them and nothing else:
// blocks that load one behind the other, all of one length. Nothing is put there; it only explains what is found missing.
func (t teller) gaps() []gap {
	var all []gap
	step := memory.Addr(t.office.Code.Geometry.Step())
	for _, tp := range t.office.Tapes {
		for _, b := range tp.Recording.Missing {
			low, high := neighbours(tp.Recording.Blocks, b.Number)
			first, last, ok := between(low, high, b.Number, step)
			if !ok {
				continue
			}
			all = append(all, gap{fmt.Sprintf("block %s of %s, which is missing, would load at %s-%s, to go by blocks %s and %s",
				b.Name, tp.Channel.Name, t.addr(first), t.addr(last), low.Name, high.Name), first, last})
		}
	}
	return all
}

// between gives where a block of some number loads between two others; ok says that the room between these is just that of
// the blocks that are not there.
func between(low, high *tape.Block, number int, step memory.Addr) (first, last memory.Addr, ok bool) {
	if low == nil || high == nil || len(low.Words) != len(high.Words) {
		return 0, 0, false
	}
	size := memory.Addr(len(low.Words)) * step
	first = low.Addr + size*memory.Addr(number-low.Number)
	return first, first + size - step, high.Addr == low.Addr+size*memory.Addr(high.Number-low.Number)
}

// neighbours are the nearest blocks of lower and of higher number whose heads say where they load; nil where there is none.
func neighbours(blocks []*tape.Block, number int) (low, high *tape.Block) {
	for _, b := range blocks {
		switch {
		case b.FileMark || b.Rubbish() || !b.Addressed || !b.Whole() || len(b.Words) == 0 || b.Number == number:
		case b.Number < number && (low == nil || b.Number > low.Number):
			low = b
		case b.Number > number && (high == nil || b.Number < high.Number):
			high = b
		}
	}
	return low, high
}

// SettleUnwritten says what to do about words that were read before anything wrote them: those of a block that is missing
// are to be had from a tape, and others from the machine or its programs.
func (r *Report) SettleUnwritten() []string {
	var all []string
	if r.lost {
		all = append(all, "read the missing block in another pass, or another copy of the tape")
	}
	if r.bare {
		all = append(all, "find out what the machine holds there at power-up, or which program should have written it")
	}
	return all
}
