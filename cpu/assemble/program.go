package assemble

import (
	"cmp"
	"go/scanner"
	"go/token"
	"iter"
	"slices"

	"coldstart/memory"
)

// A Program is what order text came to; it does not change.
type Program struct {
	Words  []Word  // by address, each address once
	Labels []Label // by address, then by name
	Blocks []Block // by number

	step memory.Addr // from one word to the next
}

// A Word is one word of a Program, and the line it came from.
type Word struct {
	Addr  memory.Addr
	Word  memory.Word
	Order bool           // a word of an order; else data
	At    token.Position // where its line begins
}

// A Label is a name for an address, or where words hold two orders, for the place of an order.
type Label struct {
	Name string
	Addr memory.Addr
	At   token.Position
}

// A Block says which words go out as one tape block: Count of them from First on.
type Block struct {
	Number int
	First  memory.Addr
	Count  int
	At     token.Position
}

// All gives the words by address.
func (p *Program) All() iter.Seq2[memory.Addr, memory.Word] { return p.between(0, len(p.Words)) }

// Block gives the words that go out as b, by address: each of them is there.
func (p *Program) Block(b Block) iter.Seq2[memory.Addr, memory.Word] {
	from, _ := p.find(b.First)
	to, _ := p.find(b.First + memory.Addr(b.Count)*p.step)
	return p.between(from, to)
}

// between gives the words of an index range.
func (p *Program) between(from, to int) iter.Seq2[memory.Addr, memory.Word] {
	return func(yield func(memory.Addr, memory.Word) bool) {
		for _, w := range p.Words[from:to] {
			if !yield(w.Addr, w.Word) {
				return
			}
		}
	}
}

// Word gives the word at a; ok is false where none was assembled.
func (p *Program) Word(a memory.Addr) (w Word, ok bool) {
	i, ok := p.find(a)
	if !ok {
		return Word{}, false
	}
	return p.Words[i], true
}

// Image puts the words into an image of a store. The error names the line whose word has no place there.
func (p *Program) Image(g memory.Geometry) (*memory.Image, error) {
	im := memory.NewImage(g)
	for _, w := range p.Words {
		from := memory.Origin{Kind: memory.Typed, File: w.At.Filename}
		if err := im.Set(w.Addr, w.Word, from); err != nil {
			return nil, &scanner.Error{Pos: w.At, Msg: err.Error()}
		}
	}
	return im, nil
}

// find gives the index of the first word at a or above, and whether it stands at a.
func (p *Program) find(a memory.Addr) (int, bool) {
	return slices.BinarySearchFunc(p.Words, a, func(w Word, a memory.Addr) int { return cmp.Compare(w.Addr, a) })
}

// Label gives the address of a label; ok is false where there is none of that name.
func (p *Program) Label(name string) (a memory.Addr, ok bool) {
	for _, l := range p.Labels {
		if l.Name == name {
			return l.Addr, true
		}
	}
	return 0, false
}
