package assemble

import (
	"cmp"
	"go/token"
	"slices"

	"coldstart/memory"
)

// A sum is a word that waits for the words it sums.
type sum struct {
	*job
	first, last memory.Addr
	state       state
	word        memory.Word
}

// sum reads FIRST, LAST and keeps the place for the word.
func (a *assembler) sum(j *job) {
	first, ok := j.address("an address", j.at)
	if !ok || !j.comma("the last address") {
		return
	}
	from := j.peek()
	last, ok := j.address("an address", j.at)
	if !ok || !j.finish() {
		return
	}
	if last < first {
		j.wrong(from, "a sum goes from the first address to the last, and %s is before %s", a.addr(last), a.addr(first))
		return
	}
	a.sums = append(a.sums, &sum{job: j, first: first, last: last})
	a.emit(j.at, 0, j.line, false)
}

// settle puts the words in the order of their addresses, finds addresses assembled twice, checks the blocks,
// and adds up the sums.
func (a *assembler) settle() {
	a.pack()
	slices.SortStableFunc(a.words, func(v, w Word) int { return cmp.Compare(v.Addr, w.Addr) })
	a.findDoubles(a.words)
	if len(a.errs) > 0 {
		return // words may be missing that are there but for another error
	}
	a.checkBlocks()
	// A sum may cover other sums, above or below it: each is added up when first asked for.
	waiting := map[memory.Addr]*sum{}
	for _, s := range a.sums {
		waiting[a.code.WordOf(s.at)] = s
	}
	for _, s := range a.sums {
		a.addUp(s, waiting)
	}
}

// pack puts halves together into words. The half that no order was given for is zero.
func (a *assembler) pack() {
	slices.SortStableFunc(a.halves, func(v, w Word) int { return cmp.Compare(v.Addr, w.Addr) })
	a.findDoubles(a.halves)
	last := -1 // of the words, the one being filled
	for _, half := range a.halves {
		place := half.Addr
		half.Addr = a.code.WordOf(place)
		if last < 0 || a.words[last].Addr != half.Addr {
			last = len(a.words)
			a.words = append(a.words, half)
			a.words[last].Word = 0
		}
		a.words[last].Word = a.code.Put(place, a.words[last].Word, half.Word)
	}
}

// findDoubles complains of places assembled twice, once for each line that comes second.
func (a *assembler) findDoubles(words []Word) {
	told := map[token.Position]bool{}
	for i := 1; i < len(words); i++ {
		first, second := words[i-1], words[i]
		if first.Addr != second.Addr {
			continue
		}
		if first.At.Filename == second.At.Filename && first.At.Line > second.At.Line {
			first, second = second, first // halves are put together after all data
		}
		if told[second.At] {
			continue
		}
		told[second.At] = true
		other := line{source: first.At.Filename, number: first.At.Line}
		a.errorf(second.At, "%s is assembled twice: here, and already in %s", a.addr(second.Addr), other.seenFrom(second.At.Filename))
	}
}

// addUp works out a sum, and first the sums it covers. One that cannot be worked out is told once.
func (a *assembler) addUp(s *sum, waiting map[memory.Addr]*sum) {
	if s.state != unread {
		return
	}
	s.state = reading
	if !a.adds(s, waiting) {
		s.state = failed
		return
	}
	s.state = read
	i := a.index(a.code.WordOf(s.at))
	a.words[i].Word = s.word & memory.Mask(a.code.Geometry.Width)
}

// index is where the first word at an address or above stands among the sorted words.
func (a *assembler) index(at memory.Addr) int {
	i, _ := slices.BinarySearchFunc(a.words, at, func(w Word, at memory.Addr) int { return cmp.Compare(w.Addr, at) })
	return i
}

// adds adds the words up; false where one is missing.
func (a *assembler) adds(s *sum, waiting map[memory.Addr]*sum) bool {
	head := s.line.items[0]
	for at, i := s.first, a.index(s.first); ; at, i = at+a.step(), i+1 {
		if i >= len(a.words) || a.words[i].Addr != at {
			s.wrong(head, "the sum from %s to %s covers %s, where nothing is assembled", a.addr(s.first), a.addr(s.last), a.addr(at))
			return false
		}
		if inner := waiting[at]; inner != nil {
			switch a.addUp(inner, waiting); inner.state {
			case reading:
				s.wrong(head, "the sum covers the sum at %s, which waits for it", a.addr(at))
				return false
			case failed:
				return false
			}
		}
		s.word += a.words[i].Word
		if at == s.last {
			return true
		}
	}
}

// program is the result of an assembly without errors.
func (a *assembler) program() *Program {
	p := &Program{Words: a.words, step: a.step()}
	for _, name := range a.names() {
		if s := a.symbols[name]; !s.constant {
			p.Labels = append(p.Labels, Label{Name: name, Addr: s.at, At: s.defined.line.start()})
		}
	}
	slices.SortStableFunc(p.Labels, func(l, m Label) int { return cmp.Compare(l.Addr, m.Addr) })
	for _, b := range a.blocks {
		p.Blocks = append(p.Blocks, b.Block)
	}
	slices.SortFunc(p.Blocks, func(b, c Block) int { return cmp.Compare(b.Number, c.Number) })
	return p
}
