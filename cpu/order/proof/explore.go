package proof

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// An Entry is a place where a machine can come into a program.
type Entry struct {
	Place memory.Addr
	Name  string // how: "start-up", "trap parity"
}

// Bounds of one exploration. They keep it well under a second for a program of ten thousand words, and whatever the file.
const (
	mostFollowed = 16      // registers
	mostStates   = 256     // different contents of those registers at one place
	mostVisits   = 1 << 19 // orders looked at
	mostRounds   = 8       // times it is begun again because a store word turned out to change
)

// A state is a place, and what the registers followed are known to hold there.
type state struct {
	place memory.Addr
	known uint32 // a bit for each register followed
	words [mostFollowed]memory.Word
}

// A visit is a state that the program can come to, and how.
type visit struct {
	state
	phase    int    // 0: from an entry on; 1: from a place that was kept; 2: from a word of program nothing else came to
	distance int    // orders from there
	from     *visit // nil at an entry
	entry    string // its name there
	jumped   bool   // from jumped here; else it is the order before
	kept     bool   // from kept this place to come back to
	resumed  bool   // from halts, and the resume key goes on here
}

// An explorer follows a program from its entry places.
type explorer struct {
	code   *order.Code
	image  *memory.Image
	result *Exploration

	program func(memory.Addr) bool
	kept    []*visit      // at places that an order kept, in the order they were kept
	swept   []memory.Addr // words of program that have not been looked at; nil before that begins

	follows  []int // by register number: its number among those followed; -1
	followed []*order.Register

	queue  []*visit
	queued map[state]*visit
	at     map[memory.Addr][]*visit
	wide   map[memory.Addr]state // where there were too many states: what they have in common

	written map[memory.Addr]*value // what the orders met write at addresses that are known
	lookers map[memory.Addr][]*visit
	changes map[memory.Addr]bool // store words of the image that some order met writes: the image does not say what they hold
	relied  map[memory.Addr]bool // store words whose word in the image was taken for granted
	again   bool
}

// Explore follows the program in an image from the places that start-up and traps enter it at, and the places given. Every
// order is taken as the machine file says, along both ways where a condition is not known; what registers hold is followed
// as far as constants go, and a jump whose target hangs on anything else is counted as unknown, never guessed.
//
// Where that ends, it begins anew at the places that orders kept to come back to and that nothing was seen to come back
// to, and after that at the words of program that are still left, if program tells which these are: it may be nil. There
// nothing is known of the registers.
func Explore(code *order.Code, image *memory.Image, places []memory.Addr, program func(memory.Addr) bool) *Exploration {
	changes := map[memory.Addr]bool{}
	for round := 1; ; round++ {
		x := newExplorer(code, image, changes)
		x.program = program
		x.enter(places)
		x.run()
		if !x.again || round == mostRounds {
			x.finish()
			return x.result
		}
	}
}

// newExplorer readies an explorer that knows of some store words that they change.
func newExplorer(code *order.Code, image *memory.Image, changes map[memory.Addr]bool) *explorer {
	x := &explorer{
		code: code, image: image, changes: changes,
		queued: map[state]*visit{}, at: map[memory.Addr][]*visit{}, wide: map[memory.Addr]state{},
		written: map[memory.Addr]*value{}, lookers: map[memory.Addr][]*visit{}, relied: map[memory.Addr]bool{},
	}
	x.result = newExploration(code, image)
	x.choose()
	return x
}

// enter begins at every entry place.
func (x *explorer) enter(places []memory.Addr) {
	nothing := func() *path {
		p := &path{registers: make([]value, len(x.followed)), counter: anything(), next: anything()}
		for i := range p.registers {
			p.registers[i] = anything()
		}
		return p
	}
	w := &walk{x: x, place: anything()}
	start := nothing()
	start.locals = make([]value, x.code.BootLocals)
	boot := w.lines(x.code.Boot, []*path{start})
	for _, p := range boot {
		if at, ok := p.next.known(); ok && len(places) == 0 {
			x.enterAt(Entry{memory.Addr(at), "start-up"}, p)
		}
		for _, at := range places {
			x.enterAt(Entry{at, "the start"}, p)
		}
	}
	event := func(name string, does []*order.Stmt, locals int, trap bool) {
		p, w := nothing(), &walk{x: x, place: anything(), trap: trap}
		p.locals = make([]value, locals)
		for _, p := range w.lines(does, []*path{p}) {
			if at, ok := p.next.known(); ok && !p.ended {
				x.enterAt(Entry{memory.Addr(at), name}, p)
			}
		}
	}
	for _, t := range x.code.Traps {
		event("trap "+t.Name, t.Does, t.Locals, true)
	}
	if d := x.code.Duplex; d != nil && len(d.Does) > 0 {
		event("changeover", d.Does, d.Locals, false)
	}
	for _, i := range x.code.Interrupts {
		event("interrupt "+i.Name, i.Does, i.Locals, false)
	}
}

// enterAt begins at one entry place.
func (x *explorer) enterAt(e Entry, p *path) {
	if !slices.Contains(x.result.Entries, e) {
		x.result.Entries = append(x.result.Entries, e)
	}
	for _, s := range x.states(e.Place, p) {
		x.come(&visit{state: s, entry: e.Name})
	}
}

// states gives the states that a path ends in at a place: one for each word that registers may hold.
func (x *explorer) states(place memory.Addr, p *path) []state {
	all := []state{{place: place}}
	for i, v := range p.registers {
		var split []state
		for _, s := range all {
			for _, w := range v.words {
				t := s
				t.known |= 1 << i
				t.words[i] = w
				split = append(split, t)
			}
			if v.any || len(v.words) == 0 {
				split = append(split, s)
			}
		}
		if all = split; len(all) > mostStates {
			return []state{{place: place}}
		}
	}
	return all
}

// come queues a visit, unless there was one in that state. Where there were too many already, what the registers do not
// have in common is not known any more.
func (x *explorer) come(v *visit) {
	if x.known(v) {
		return
	}
	if len(x.at[v.place]) >= mostStates {
		common, ok := x.wide[v.place]
		if !ok {
			common = x.at[v.place][0].state
			for _, other := range x.at[v.place] {
				common = common.common(other.state)
			}
		}
		common = common.common(v.state)
		x.wide[v.place] = common
		if v.state = common; x.known(v) {
			return
		}
	}
	x.queued[v.state] = v
	x.at[v.place] = append(x.at[v.place], v)
	x.queue = append(x.queue, v)
}

// known tells whether there was a visit in that state. A way that needs no hand at the keys says more than one that does.
func (x *explorer) known(v *visit) bool {
	old := x.queued[v.state]
	if old != nil && old.resumed && !v.resumed {
		*old = *v
	}
	return old != nil
}

// common is what two states at one place agree on.
func (s state) common(o state) state {
	for i := range s.words {
		if s.known&o.known>>i&1 == 0 || s.words[i] != o.words[i] {
			s.known &^= 1 << i
			s.words[i] = 0
		}
	}
	return s
}

// run visits all that is queued, nearest first, and then what else there is to begin at.
func (x *explorer) run() {
	for i := 0; ; i++ {
		if i == len(x.queue) && !x.more() {
			return
		}
		if i == mostVisits {
			x.result.Cut = true
			return
		}
		x.visit(x.queue[i])
	}
}

// more queues one more place to begin at; false where there is none.
func (x *explorer) more() bool {
	for ; len(x.kept) > 0; x.kept = x.kept[1:] {
		if v := x.kept[0]; len(x.at[v.place]) == 0 {
			x.come(v)
			return true
		}
	}
	if x.swept == nil && x.program != nil {
		x.swept = []memory.Addr{}
		for a := range x.image.All() {
			if x.program(a) {
				x.swept = append(x.swept, x.code.PlaceOf(a))
			}
		}
	}
	for ; len(x.swept) > 0; x.swept = x.swept[1:] {
		if at := x.swept[0]; len(x.at[at]) == 0 && !x.result.inside[at] {
			x.come(&visit{state: state{place: at}, entry: "an area of program", phase: 2})
			return true
		}
	}
	return false
}

// after is the place after the order that stands at a place.
func (x *explorer) after(place memory.Addr) memory.Addr {
	var o *order.Order
	if w, ok := x.word(place); ok {
		o = x.code.Find(w)
	}
	return x.code.After(place, o)
}

// word is what the image has at a place.
func (x *explorer) word(place memory.Addr) (memory.Word, bool) {
	w, _, ok := x.image.At(x.code.WordOf(place))
	return x.code.Part(place, w), ok
}

// fetch gives the order at a place and its words. The order is nil where none reads the first word, or a later one is not
// as the order draws it; there is no word where none is loaded.
func (x *explorer) fetch(place memory.Addr) (*order.Order, []memory.Word) {
	first, ok := x.word(place)
	if !ok {
		return nil, nil
	}
	words := []memory.Word{first}
	o := x.code.Find(first)
	if o == nil {
		return nil, words
	}
	for i, p := range o.Patterns {
		if i > 0 {
			w, ok := x.word(place + memory.Addr(i*x.code.Step()))
			if !ok {
				return nil, words
			}
			words = append(words, w)
		}
		if words[i]&p.Mask != p.Value {
			return nil, words
		}
	}
	return o, words
}

// visit takes the order at a place and queues all that can come next.
func (x *explorer) visit(v *visit) {
	o, words := x.fetch(v.place)
	if o == nil || o.Unreadable {
		x.result.stop(v)
		return
	}
	here := exactly(memory.Word(v.place))
	after := memory.Word(x.code.After(v.place, o))
	p := &path{registers: make([]value, len(x.followed)), locals: make([]value, o.Locals), counter: here, next: exactly(after)}
	if x.code.HoldsNext {
		p.counter = exactly(after)
	}
	for i := range p.registers {
		p.registers[i] = anything()
		if v.known>>i&1 == 1 {
			p.registers[i] = exactly(v.words[i])
		}
	}
	w := &walk{x: x, order: o, values: o.Values(words), place: here, after: after}
	x.result.take(v, o)
	for _, p := range w.lines(o.Does, []*path{p}) {
		if p.ended {
			x.result.ends[v.place] = true
			continue
		}
		if p.halted {
			x.result.passed[v.place] = true
		}
		x.leave(v, o, p)
	}
	if w.kept {
		x.kept = append(x.kept, &visit{state: state{place: memory.Addr(after)}, distance: v.distance + 1, phase: 1, from: v, kept: true})
	}
	for _, a := range w.cells {
		if !slices.Contains(x.lookers[a], v) {
			x.lookers[a] = append(x.lookers[a], v)
		}
	}
}

// leave queues what comes after an order on one path.
func (x *explorer) leave(v *visit, o *order.Order, p *path) {
	if p.next.any || len(p.next.words) == 0 {
		x.result.unknown(v, o, p.next.any)
	}
	for _, next := range p.next.words {
		place := memory.Addr(next)
		if p.set {
			x.result.jump(v, o, place, x.ending(place))
		}
		for _, s := range x.states(place, p) {
			x.come(&visit{state: s, distance: v.distance + 1, phase: v.phase, from: v, jumped: p.set, resumed: p.halted && !p.set})
		}
	}
}

// ending says what a jump to a place ends at.
func (x *explorer) ending(place memory.Addr) ending {
	o, words := x.fetch(place)
	switch {
	case words == nil:
		return onNothing
	case o == nil:
		return onUnread
	case x.program != nil && !x.program(x.code.WordOf(place)):
		return onData
	}
	return onOrder
}
