// Package loader brings what was recovered into a store image: tape blocks by the addresses in their headers, and files
// of plain words. It also surveys what a tape holds, and reads the list that names the files of an office.
//
// Nothing here opens a file: contents come in as bytes, with the name they go by.
package loader

import (
	"errors"
	"fmt"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// ErrPlace is wrapped by the error of a block that reads well but cannot be loaded.
var ErrPlace = errors.New("block not loaded")

// A Span is a run of addresses, both ends included.
type Span struct {
	First, Last memory.Addr
}

// Words gives the number of addresses in the span: of words, where an address counts them.
func (s Span) Words() uint64 { return uint64(s.Last-s.First) + 1 }

// A Map says which block loads where, and what is missing or loaded twice.
type Map struct {
	Geometry memory.Geometry
	Loads    []Load    // one a block, in the order given
	Overlaps []Overlap // in the order they came about
	Gaps     []Span    // between the lowest and the highest word loaded, what the processor can write and no block loads

	owner map[memory.Addr]*tape.Block // the block each loaded word is of
}

// A Load says where one block went.
type Load struct {
	Block *tape.Block
	Span  Span  // where its words are, if it was loaded and has any
	Out   bool  // it was left out, since there is no fault in that: a file mark, or another block of its number stands
	Err   error // why it was not loaded; a *tape.BlockError, the block's first or one that wraps ErrPlace
}

// An Overlap is a run of addresses that two blocks load; the later one on the recording wins.
type Overlap struct {
	Span        Span
	Early, Late *tape.Block
	Differ      int // words of the run that are not alike in the two
}

// Loaded says that the words of the block are in the image.
func (l *Load) Loaded() bool { return !l.Out && l.Err == nil && len(l.Block.Words) > 0 }

// Place loads blocks into an image of a store of geometry g, at the addresses they carry, in the order given, each word
// with its origin. A block goes in whole or not at all: one that is damaged, missing, without an address, or that does
// not fit where it would go is left out, and the Map says why. Of blocks recorded more than once the one that stands goes
// in; of two blocks for one address the later wins.
func Place(blocks []*tape.Block, g memory.Geometry) (*memory.Image, *Map) {
	p := placer{image: memory.NewImage(g), m: &Map{Geometry: g, owner: map[memory.Addr]*tape.Block{}}}
	for _, b := range blocks {
		l := Load{Block: b}
		switch {
		case b.FileMark, b.Rubbish() && b.Good(), b.Superseded != nil && b.Superseded.Whole():
			l.Out = true
		default:
			l.Span, l.Err = p.room(b)
		}
		if l.Loaded() {
			l.Err = p.load(b)
		}
		p.m.Loads = append(p.m.Loads, l)
	}
	p.gaps()
	return p.image, p.m
}

// A placer is one loading at work.
type placer struct {
	image *memory.Image
	m     *Map
}

// room says where b goes, or why it does not.
func (p *placer) room(b *tape.Block) (Span, error) {
	if !b.Whole() {
		return Span{}, b.Problems[0]
	}
	if !b.Addressed {
		return Span{}, refuse(b, -1, "the layout records no load address")
	}
	if len(b.Words) == 0 {
		return Span{}, nil
	}
	g := &p.m.Geometry
	step := memory.Addr(g.Step())
	s := Span{b.Addr, b.Addr + memory.Addr(len(b.Words))*step - 1}
	if s.Last < s.First {
		return Span{}, refuse(b, -1, "from %s its words run beyond all addresses", g.Style.Addr(s.First, g.AddrBits))
	}
	for i, w := range b.Words {
		a := s.First + memory.Addr(i)*step
		area := g.Area(a)
		switch {
		case area == nil:
			return Span{}, refuse(b, i, "nothing answers at %s", g.Style.Addr(a, g.AddrBits))
		case area.Wired:
			return Span{}, refuse(b, i, "%s is in %s, which is wired and cannot be loaded", g.Style.Addr(a, g.AddrBits), area.Name)
		case w&^memory.Mask(area.Width) != 0:
			return Span{}, refuse(b, i, "%s is too wide for the %d bits of %s", g.Style.Word(w, g.Width), area.Width, area.Name)
		}
	}
	return s, nil
}

// refuse makes the error of a block that cannot be loaded, because of one of its words where word is not -1.
func refuse(b *tape.Block, word int, format string, args ...any) error {
	err := fmt.Errorf("%w: "+format, append([]any{ErrPlace}, args...)...)
	return b.Problem(word, err)
}

// load puts the words of b into the image, and notes what they overlap. As room has been through all that an image can
// refuse, an error comes only from a geometry that is itself at fault.
func (p *placer) load(b *tape.Block) error {
	var run *Overlap
	step := memory.Addr(p.m.Geometry.Step())
	for i, w := range b.Words {
		a := b.Addr + memory.Addr(i)*step
		early := p.m.owner[a]
		switch {
		case early == nil:
			run = nil
		case run == nil || run.Early != early:
			p.m.Overlaps = append(p.m.Overlaps, Overlap{Span: Span{a, a + step - 1}, Early: early, Late: b})
			run = &p.m.Overlaps[len(p.m.Overlaps)-1]
		default:
			run.Span.Last = a + step - 1
		}
		if run != nil && early.Words[(a-early.Addr)/step] != w {
			run.Differ++
		}
		p.m.owner[a] = b
		if err := p.image.Set(a, w, b.From(i)); err != nil {
			return refuse(b, i, "%v", err)
		}
	}
	return nil
}

// gaps notes what stands empty between the words loaded.
func (p *placer) gaps() {
	var next memory.Addr // behind the word before
	begun := false
	for a := range p.image.All() {
		if begun && a > next {
			p.between(next, a-1)
		}
		next, begun = a+memory.Addr(p.m.Geometry.Step()), true
	}
}

// between notes as gaps those parts of first to last that the processor could write.
func (p *placer) between(first, last memory.Addr) {
	for _, area := range p.m.Geometry.Areas {
		s := Span{max(first, area.First), min(last, area.Last)}
		if s.First <= s.Last && !area.Wired {
			p.m.Gaps = append(p.m.Gaps, s)
		}
	}
}
