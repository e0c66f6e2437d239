package assemble

import (
	"maps"
	"math"
	"strings"

	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// lineWords are the words a line may begin with beside the orders.
var lineWords = []string{"assume", "at", "block", "reserve", "sum", "text", "words"}

// A place is where the next word will stand.
type place struct {
	at    memory.Addr // as the order counter counts
	known bool
	told  bool // that it is not known has been said
	run   *run // of the words before it; nil: none
}

// A run is words that follow one another without a new place between them; their addresses, and the one behind them.
type run struct{ first, end memory.Addr }

// walk finds the places and labels of one source.
func (a *assembler) walk(s Source) {
	a.place, a.fresh, a.assumed = place{}, nil, nil
	if !list.IsText(s.Text) {
		a.errorf((&line{source: s.Name, number: 1}).at(0), "this is no text: it may be a picture, a program, or text saved as UTF-16; order text is plain text")
		return
	}
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
		a.place = place{told: true}
		if at, ok := k.address("an address", 0); ok && k.finish() {
			a.place = place{at: a.code.PlaceOf(at), known: true}
		}
	case "assume":
		a.assume(k)
	case "reserve":
		if n, ok := k.plain("a number of words", a.place.at, math.MaxUint64); ok && k.finish() {
			a.align()
			if a.take(k, head, n, a.code.WordStep()) {
				a.place.run = nil
			}
		}
	case "block":
		a.openBlock(k)
	case "words", "text", "sum":
		a.leave(k, head, job{what: head.text})
	default:
		o := a.orders[head.text]
		if o == nil {
			k.wrong(head, "there is no order %s%s", head.text, a.nearest(head.text, a.heads))
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

// room is how many words of so many places each stand from a place on to the last. Where a place has 64 bits the last is
// left out, so that the place behind any word can be told.
func (a *assembler) room(at memory.Addr, step int) uint64 {
	last := uint64(memory.Mask(a.code.PlaceBits()))
	return (max(last, last+1) - uint64(at)) / uint64(step)
}

// align goes on to the next place where a word of data can stand, with the labels that wait for it.
func (a *assembler) align() {
	if over := a.place.at % memory.Addr(a.code.WordStep()); a.place.known && over != 0 {
		a.place.at = a.on(a.place.at-over, 1)
		for _, s := range a.fresh {
			s.at, s.count.size = a.place.at, uint64(a.place.at)
		}
	}
}

// leave keeps the rest of a line as a job, and the place for its words.
func (a *assembler) leave(k cursor, head item, j job) {
	step := a.code.Step()
	if j.order == nil {
		step = a.code.WordStep()
		a.align()
	}
	j.cursor, j.at, j.assumed = k, a.place.at, a.assumed
	size, ok := j.size()
	if !ok || !a.take(k, head, size, step) {
		return
	}
	a.jobs = append(a.jobs, j)
	if a.place.run == nil {
		a.place.run = &run{first: a.code.WordOf(j.at)}
		a.runs = append(a.runs, a.place.run)
	}
	a.place.run.end = a.code.WordOf(a.place.at + memory.Addr(a.code.PerWord) - 1)
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

// take gives the next n words of so many places each to a line; false where there is no room for them.
func (a *assembler) take(k cursor, head item, n uint64, step int) bool {
	if !a.place.known {
		a.needPlace(k, head)
		return false
	}
	if n > a.room(a.place.at, step) {
		k.wrong(head, "there is no room for this from %s on: the last address is %s",
			a.addr(a.code.WordOf(a.place.at)), a.addr(memory.Addr(memory.Mask(a.code.Geometry.AddrBits))))
		a.place = place{told: true}
		return false
	}
	a.place.at += memory.Addr(n) * memory.Addr(step)
	a.fresh = a.fresh[:0]
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
		k.wrong(it, "there is no register %v%s", it, a.nearest(it.text, a.registerNames))
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
	// Jobs already left keep the old set: what was assumed above their line.
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

// registerNames lists all registers, for a hint.
func (a *assembler) registerNames() []string {
	var names []string
	for _, r := range a.code.Registers {
		names = append(names, r.Name)
	}
	return names
}
