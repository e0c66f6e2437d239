package channel

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// A transfer is the words of a block on their way into store, past the program.
type transfer struct {
	to    memory.Addr // where the next block goes
	half  int         // that commanded the drive last: its store is meant
	asked bool        // the next block to be reached is to go into store
	under bool        // the block at the head goes into store
	done  int         // words of it that have passed
	words []passed    // that have not been put into store yet
}

// A passed is a word that has passed the head, and where it goes: so many places on from an address.
type passed struct {
	word memory.Word
	from memory.Origin
	to   memory.Addr
	on   int
}

// take gives the first word that is on its way to the store of a half.
func (t *transfer) take(half int) cpu.Reply {
	if len(t.words) == 0 || half != t.half {
		return cpu.Reply{None: true}
	}
	p := t.words[0]
	t.words = t.words[1:]
	return cpu.Reply{Word: p.word, Origin: p.from, Addr: p.to, On: p.on}
}
