package assemble

import (
	"maps"
	"math"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// lineWords are the words a line may begin with beside the orders.
var lineWords = []string{"assume", "at", "block", "reserve", "sum", "text", "words"}

// A place is where the next word will stand.
type place struct {
	at    memory.Addr
	known bool
	told  bool // that it is not known has been said
}

// A block is a tape block being filled, and what went wrong with it.
type block struct {
	Block
	line *line
	over *line // the first line that does not fit; nil: none
}

// walk finds the places and labels of one source.
func (a *assembler) walk(s Source) {
	a.place, a.assumed = place{}, nil
	number := 0
	for text := range strings.SplitSeq(string(s.Text), "\n") {
		number++
		l := &line{source: s.Name, number: number, text: text}
		if column, err := l.scan(); err != nil {
			a.errorf(l.at(column), "%v", err)
			continue
		}
		if len(l.items) > 0 {
			a.walkLine(cursor{assembler: a, line: l})
		}
	}
	a.closeBlock()
}

// walkLine takes the labels of a line and does what the rest of it says.
func (a *assembler) walkLine(k cursor) {
	for k.peek().kind == isName && k.ahead(1).is(":") {
		k.next++
		a.define(k, k.line.items[k.next-1], false)
		k.next++
	}
	head := k.take()
	switch {
	case head.kind == isEnd:
	case head.kind != isName:
		k.wrong(head, "a line begins with a label, an order or a word like `words`, not %v", head)
	case k.peek().is("="):
		a.define(k, head, true)
	default:
		a.statement(k, head)
	}
}

// statement does what the word head says, or leaves a job for it.
func (a *assembler) statement(k cursor, head item) {
	switch head.text {
	case "at":
		a.closeBlock()
		a.place = place{told: true}
		if at, ok := k.address("an address", 0); ok && k.finish() {
			a.place = place{at: at, known: true}
		}
	case "assume":
		a.assume(k)
	case "reserve":
		if n, ok := k.plain("a number of words", a.place.at, a.words64()); ok && k.finish() {
			a.take(k, head, n)
		}
	case "block":
		a.openBlock(k)
	case "words", "text", "sum":
		a.leave(k, head, job{what: head.text})
	default:
		o := a.orders[head.text]
		if o == nil {
			k.wrong(head, "there is no order %s%s", head.text, a.nearest(head.text, a.heads()))
			return
		}
		a.leave(k, head, job{order: o})
	}
}

// heads gives all words a line may begin with.
func (a *assembler) heads() []string {
	heads := append([]string(nil), lineWords...)
	for _, o := range a.code.Orders {
		heads = append(heads, o.Name)
	}
	return heads
}

// words64 is how many words an address can tell apart.
func (a *assembler) words64() uint64 {
	last := uint64(memory.Mask(a.code.Geometry.AddrBits))
	return max(last, last+1)
}

// leave keeps the rest of a line as a job, and the place for its words.
func (a *assembler) leave(k cursor, head item, j job) {
	j.cursor, j.at, j.assumed = k, a.place.at, a.assumed
	size, ok := j.size()
	if ok && a.take(k, head, size) {
		a.jobs = append(a.jobs, j)
	}
}

// size is how many words a job will make.
func (j *job) size() (uint64, bool) {
	switch j.what {
	case "words":
		k := j.cursor
		n := uint64(1)
		for k.more() {
			n++
		}
		return n, true
	case "text":
		return j.textSize()
	case "sum":
		return 1, true
	}
	return uint64(len(j.order.Patterns)), true
}

// take gives the next n words to a line; false where there is no room for them.
func (a *assembler) take(k cursor, head item, n uint64) bool {
	if !a.place.known {
		a.needPlace(k, head)
		return false
	}
	last := uint64(memory.Mask(a.code.Geometry.AddrBits))
	if at := uint64(a.place.at); n > 0 && (at > last || n-1 > last-at) {
		k.wrong(head, "%s words from %s on pass the last address, %s", a.code.Geometry.Style.Number(n),
			a.addr(a.place.at), a.addr(memory.Addr(last)))
		a.place = place{told: true}
		return false
	}
	a.place.at += memory.Addr(n)
	if b := a.block; b != nil && b.over == nil && a.place.at-b.First > memory.Addr(b.Count) {
		b.over = k.line
	}
	return true
}

// needPlace says, once, that nothing was said about where words stand.
func (a *assembler) needPlace(k cursor, it item) {
	if !a.place.told {
		a.place.told = true
		k.wrong(it, "where this stands is not said; put `at ADDRESS` above it")
	}
}

// addr writes an address.
func (a *assembler) addr(at memory.Addr) string {
	return a.code.Geometry.Style.Addr(at, a.code.Geometry.AddrBits)
}

// assume reads REGISTER = value.
func (a *assembler) assume(k cursor) {
	it := k.take()
	r := a.register(it.text)
	switch {
	case r == nil:
		var names []string
		for _, r := range a.code.Registers {
			names = append(names, r.Name)
		}
		k.wrong(it, "there is no register %v%s", it, a.nearest(it.text, names))
		return
	case r == a.code.Counter:
		k.wrong(it, "%s is the order counter, which is known and needs no assuming", r.Name)
		return
	case !k.peek().is("="):
		k.wrong(k.peek(), "`=` and a value are wanted here, not %v", k.peek())
		return
	}
	k.next++
	first := k.peek()
	v, ok := k.value(a.place.at)
	if !ok || !k.finish() {
		return
	}
	w, err := a.code.Bits(v, r.Width)
	if err != nil {
		k.wrong(first, "register %s: %v", r.Name, err)
		return
	}
	assumed := maps.Clone(a.assumed)
	if assumed == nil {
		assumed = map[*order.Register]memory.Word{}
	}
	assumed[r] = w
	a.assumed = assumed
}

// register finds a register by name; nil: none.
func (a *assembler) register(name string) *order.Register {
	for _, r := range a.code.Registers {
		if r.Name == name {
			return r
		}
	}
	return nil
}

// openBlock reads NUMBER, ADDRESS, COUNT and begins the block.
func (a *assembler) openBlock(k cursor) {
	a.closeBlock()
	at := a.place.at
	a.place = place{told: true}
	number, ok := k.plain("a block number", at, math.MaxInt32)
	if !ok || !k.comma("an address") {
		return
	}
	first, ok := k.address("an address", at)
	if !ok || !k.comma("a number of words") {
		return
	}
	room := a.words64() - uint64(first)
	size, ok := k.plain("the words of a block from there", at, min(room, math.MaxInt32))
	if !ok || !k.finish() {
		return
	}
	for _, b := range a.blocks {
		if b.Number == int(number) {
			k.wrong(k.line.items[0], "block %s stands here a second time; it stands already in %s",
				a.code.Geometry.Style.Number(number), b.line.seenFrom(k.line.source))
		}
	}
	a.place = place{at: first, known: true}
	a.block = &block{
		Block: Block{Number: int(number), First: first, Count: int(size), At: k.line.start()},
		line:  k.line,
	}
	a.blocks = append(a.blocks, a.block)
}

// closeBlock ends the block being filled, and complains where it was not filled exactly.
func (a *assembler) closeBlock() {
	b := a.block
	a.block = nil
	if b == nil || !a.place.known {
		return
	}
	style := a.code.Geometry.Style
	number, stands, room := style.Number(uint64(b.Number)), uint64(a.place.at-b.First), uint64(b.Count)
	switch {
	case stands < room:
		a.errorf(b.At, "block %s is %s words short: it takes %s, and %s stand in it",
			number, style.Number(room-stands), style.Number(room), style.Number(stands))
	case stands > room:
		a.errorf(b.over.start(), "block %s is %s words too long from here on: it takes %s, and %s stand in it",
			number, style.Number(stands-room), style.Number(room), style.Number(stands))
	}
}
