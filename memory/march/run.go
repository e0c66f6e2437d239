package march

import (
	"fmt"

	"coldstart/memory"
)

// Backgrounds is the words that a test of words of so many bits is run with, one run after the other: w0 writes the
// background, w1 its complement. They are ceil(log2 width)+1, and any two bits differ in some of them, so that couplings
// within a word can show (from memory: Dekker et al. 1990).
func Backgrounds(width int) []memory.Word {
	words := []memory.Word{0}
	for k := 1; k < width; k *= 2 {
		var w memory.Word
		for bit := range width {
			if bit/k%2 == 0 {
				w |= 1 << bit
			}
		}
		words = append(words, w)
	}
	return words
}

// A Span is what a test is run on: all words from First to Last that can be written.
type Span struct {
	Geometry    *memory.Geometry
	First, Last memory.Addr
	Backgrounds []memory.Word // nil: those of Backgrounds for the width of the Geometry
	Most        int           // failures listed; the others are counted
}

// A Failure is an operation that did not go as it should: a read that gave another word or had something to remark about it, or
// a write that was refused.
type Failure struct {
	Background  int // number of the run, from 0
	Element, Op int // of the test, from 0
	Addr        memory.Addr
	Want, Got   memory.Word
	Status      memory.Status
}

// Bits is the data bits that a read gave wrong.
func (f Failure) Bits() memory.Word { return f.Want ^ f.Got }

// Number is the operation among all of the test, from 0.
func (f Failure) Number(t Test) int { return Test{Elements: t.Elements[:f.Element]}.Length() + f.Op }

// A Report is what a test found.
type Report struct {
	Test        Test
	Backgrounds []memory.Word
	Words       int       // tested
	Operations  int64     // done
	Failed      int64     // of them, with or without a place in Failures
	Counts      []int64   // the same for each operation of the test, through all elements
	Failures    []Failure // the first, in the order they were met
	Corrected   int64     // reads that were right only because the store had put them right; no failures

	Places      int         // words with a failure
	Bits        memory.Word // data bits that were wrong in any of them
	First, Last memory.Addr // the lowest and the highest of them
	Alike       memory.Addr // the address bits that are the same in all of them, as a mask

	Groups []Group // the cells that were wrong, those that failed in the same reads together
	More   int     // words with failures that no group tells all of: there are too many, or no bit of them was wrong
	Fits   []Kind  // the kinds that fit all Groups, each cell having such a fault; none where nothing was wrong
}

// A runner is a test on its way.
type runner struct {
	span   Span
	bus    memory.Bus
	steps  int // addresses a word takes
	parts  []part
	report Report
	places map[memory.Addr]*place
	others map[memory.Addr]bool // the other words with a failure
	seed   memory.Addr          // of the first failure
}

// A part is an area, or some of it, that is tested.
type part struct {
	first memory.Addr
	words int
	mask  memory.Word
}

// A place is a word with failures: by number of the read, the bits that were wrong.
type place struct{ wrong []memory.Word }

// mostPlaces is how many words with failures are kept to be explained: a whole plug-in of the largest usual size.
const mostPlaces = 4096

// Run runs a test on a store as the machine sees it; what the store held is lost. An either goes up. The error, one sentence,
// says that no store there can be written.
func Run(t Test, bus memory.Bus, over Span) (Report, error) {
	g := over.Geometry
	r := &runner{span: over, bus: bus, steps: g.Step(), places: map[memory.Addr]*place{}, others: map[memory.Addr]bool{}}
	r.report = Report{Test: t, Backgrounds: over.Backgrounds, Counts: make([]int64, t.Length()), Alike: memory.Addr(memory.Mask(g.AddrBits))}
	if over.Backgrounds == nil {
		r.report.Backgrounds = Backgrounds(g.Width)
	}
	r.divide()
	if r.report.Words == 0 {
		return Report{}, fmt.Errorf("no store that can be written lies from %s to %s",
			g.Style.Addr(over.First, g.AddrBits), g.Style.Addr(over.Last, g.AddrBits))
	}
	for n := range r.report.Backgrounds {
		read := n * t.reads()
		for i, e := range t.Elements {
			r.element(n, i, e, read)
			read += Test{Elements: []Element{e}}.reads()
		}
	}
	r.report.Places = len(r.places) + len(r.others)
	r.diagnose()
	return r.report, nil
}

// divide finds the words that are tested.
func (r *runner) divide() {
	step := memory.Addr(r.steps)
	for i := range r.span.Geometry.Areas {
		area := &r.span.Geometry.Areas[i]
		first, last := max(area.First, r.span.First+(step-r.span.First%step)%step), min(area.Last, r.span.Last)
		if area.Wired || first > last || last-first < step-1 {
			continue
		}
		p := part{first, int((last - first + 1) / step), memory.Mask(area.Width)}
		r.parts = append(r.parts, p)
		r.report.Words += p.words
	}
}

// element does one element on all words.
func (r *runner) element(background, number int, e Element, read int) {
	for i := range r.parts {
		p := &r.parts[i]
		if e.Order == Down {
			p = &r.parts[len(r.parts)-1-i]
		}
		for n := range p.words {
			if e.Order == Down {
				n = p.words - 1 - n
			}
			r.word(p, Failure{Background: background, Element: number, Addr: p.first + memory.Addr(n*r.steps)}, e.Ops, read)
		}
	}
}

// word does the operations of an element on one word; the first of its reads has the number read.
func (r *runner) word(p *part, f Failure, ops []Op, read int) {
	for i, op := range ops {
		r.report.Operations++
		f.Op, f.Want = i, r.report.Backgrounds[f.Background]&p.mask
		if op.value() == 1 {
			f.Want ^= p.mask
		}
		if op.writes() {
			if f.Status = r.bus.Write(f.Addr, f.Want); f.Status != 0 {
				f.Got = f.Want
				r.fail(f, -1)
			}
			continue
		}
		f.Got, f.Status = r.bus.Read(f.Addr)
		if f.Status&memory.Corrected != 0 {
			r.report.Corrected++
			f.Status &^= memory.Corrected
		}
		if f.Got != f.Want || f.Status != 0 {
			r.fail(f, read)
		}
		read++
	}
}

// fail keeps a failure, which is of this read, or of a write.
func (r *runner) fail(f Failure, read int) {
	rep := &r.report
	if len(rep.Failures) < r.span.Most {
		rep.Failures = append(rep.Failures, f)
	}
	if rep.Failed == 0 {
		r.seed, rep.First, rep.Last = f.Addr, f.Addr, f.Addr
	}
	rep.Failed++
	rep.Counts[f.Number(rep.Test)]++
	rep.Alike &^= f.Addr ^ r.seed // alike in all is alike with the first
	rep.First, rep.Last = min(rep.First, f.Addr), max(rep.Last, f.Addr)
	wrong := f.Bits()
	if f.Status&memory.NoReply != 0 {
		wrong = 0 // what was not given is not wrong
	}
	rep.Bits |= wrong
	p := r.places[f.Addr]
	if p == nil {
		if wrong == 0 || len(r.places) >= mostPlaces {
			r.others[f.Addr] = true
			return
		}
		delete(r.others, f.Addr)
		p = &place{make([]memory.Word, len(rep.Backgrounds)*rep.Test.reads())}
		r.places[f.Addr] = p
	}
	if wrong != 0 {
		p.wrong[read] |= wrong
	}
}
