package loader

import (
	"errors"
	"fmt"
	"strings"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A Use is what a run did with one loaded word.
type Use uint8

// The uses of a word, in the order they are printed.
const (
	ProgramReached    Use = iota // taken as an order
	ProgramNotReached            // in an area of orders, but never taken as one
	TableRead                    // read as data
	DataNeverRead                // neither
	useCount
)

// firstWords is the number of words a survey shows of each block.
const firstWords = 3

// A Survey says what a recording holds, a row a block, and how the blocks lie in store.
type Survey struct {
	Map    *Map
	Layout *tape.Layout
	Rows   []Row
	Used   bool          // the uses of words are known
	Uses   [useCount]int // words of all loaded blocks, by Use

	use    func(memory.Addr) Use
	doubts map[memory.Addr]bool
}

// A Row is what a Survey says of one block.
type Row struct {
	Load     Load
	State    string        // good, out of order, not loaded, damaged or missing
	Uses     [useCount]int // its words in store by Use; a word another block loaded over is left out
	Doubtful []int         // words of its data left doubtful when the recording was merged; below 0, of its header
	Remarks  []string      // what is wrong, odd, or readable about it, made printable
}

// The states of a block, from best to worst.
const (
	good      = "good"
	mark      = "file mark"
	doubtful  = "doubtful"     // merged of several passes, and not all its words are settled
	blank     = "blank"        // reads well and is loaded, but all its words are 0
	replaced  = "replaced"     // left out, for another block of its number stands
	shifted   = "shifted"      // reads well and is loaded, but not from where it should begin
	inverted  = "inverted"     // the same, read as complemented
	backwards = "backwards"    // the same, read from its end
	unlike    = "unlike"       // reads well and is loaded, but another block of its number is not alike
	displaced = "out of order" // reads well and is loaded, but stands elsewhere on the recording
	unplaced  = "not loaded"   // reads well, but cannot be loaded
	damaged   = "damaged"
	rubbish   = "no block"
	absent    = "missing"
)

// states are the states in their order.
var states = []string{good, mark, doubtful, blank, replaced, shifted, inverted, backwards, unlike, displaced, unplaced, damaged, rubbish, absent}

// NewSurvey surveys the blocks of m, which are in layout l. Where use is not nil it tells what a run did with the word at
// an address.
func NewSurvey(m *Map, l *tape.Layout, use func(memory.Addr) Use) *Survey {
	s := &Survey{Map: m, Layout: l, Used: use != nil, use: use, doubts: map[memory.Addr]bool{}}
	for _, load := range m.Loads {
		row := Row{Load: load, State: state(load), Remarks: remarks(load, l)}
		if s.Used && load.Loaded() {
			row.Uses = m.uses(load, use)
		}
		for u, n := range row.Uses {
			s.Uses[u] += n
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// turns are the states of blocks that read well though something is wrong with them, in the order they are named.
var turns = []struct {
	err   error
	state string
}{
	{tape.ErrPolarity, inverted}, {tape.ErrBackwards, backwards}, {tape.ErrShifted, shifted}, {tape.ErrNumber, displaced},
	{tape.ErrDuplicate, unlike}, {tape.ErrBlank, blank},
}

// Doubt notes that a word of the data of a block, counted from 0, was left doubtful when the recording was merged.
func (s *Survey) Doubt(block, word int) {
	for i := range s.Rows {
		r := &s.Rows[i]
		if b := r.Load.Block; b.Number != block || b.Missing() || r.Load.Out || b.Rubbish() {
			continue
		}
		r.Doubtful = append(r.Doubtful, word)
		if r.State == good || r.State == blank {
			r.State = doubtful
		}
		if r.Load.Loaded() && 0 <= word && word < len(r.Load.Block.Words) {
			s.doubts[r.Load.Span.First+memory.Addr(word*s.Map.Geometry.Step())] = true
		}
	}
}

// doubted says in a remark which words of a block are doubtful; "" for none.
func (s *Survey) doubted(r *Row) string {
	if len(r.Doubtful) == 0 {
		return ""
	}
	var all []string
	for _, w := range r.Doubtful[:min(len(r.Doubtful), most)] {
		if w < 0 {
			all = append(all, "one of its header")
		} else {
			all = append(all, s.Layout.Number(w))
		}
	}
	if more := len(r.Doubtful) - len(all); more > 0 {
		all = append(all, fmt.Sprintf("and %d more", more))
	}
	return "doubtful words: " + strings.Join(all, ", ")
}

// state sums up a block.
func state(l Load) string {
	b := l.Block
	switch {
	case b.Missing():
		return absent
	case b.FileMark:
		return mark
	case b.Rubbish():
		return rubbish
	case !b.Whole():
		return damaged
	case l.Err != nil:
		return unplaced
	case l.Out:
		return replaced
	}
	for _, t := range turns {
		if errors.Is(errors.Join(reasons(b)...), t.err) {
			return t.state
		}
	}
	if b.Blank() {
		return blank
	}
	return good
}

// remarks says what a person should know about a block besides its numbers.
func remarks(load Load, l *tape.Layout) []string {
	b := load.Block
	var all []string
	if b.Reason() != "" {
		all = append(all, b.Reason())
	}
	if errors.Is(load.Err, ErrPlace) {
		var at *tape.BlockError
		errors.As(load.Err, &at)
		all = append(all, at.Err.Error())
	}
	for _, n := range b.Notes {
		all = append(all, n.Err.Error())
	}
	if by := b.Superseded; by != nil {
		all = append(all, "replaced by the one at position "+l.Number(by.Position))
	}
	if b.Blank() && !errors.Is(errors.Join(reasons(b)...), tape.ErrBlank) {
		all = append(all, "blank: all its words are 0")
	}
	for _, text := range l.Strings(b.Words) {
		all = append(all, fmt.Sprintf("%q", text))
	}
	return all
}

// reasons gives what is wrong with a block.
func reasons(b *tape.Block) []error {
	var all []error
	for _, p := range b.Problems {
		all = append(all, p)
	}
	return all
}

// uses counts the words of a loaded block by their use, those not loaded over.
func (m *Map) uses(load Load, use func(memory.Addr) Use) (uses [useCount]int) {
	for i := range load.Block.Words {
		a := load.Span.First + memory.Addr(i*m.Geometry.Step())
		if u := use(a); m.owner[a] == load.Block && u < useCount {
			uses[u]++
		}
	}
	return uses
}

// Count gives the number of blocks in a state.
func (s *Survey) Count(state string) int {
	n := 0
	for _, r := range s.Rows {
		if r.State == state {
			n++
		}
	}
	return n
}

// Words counts the words loaded, one loaded over counted once.
func (s *Survey) Words() int { return len(s.Map.owner) }
