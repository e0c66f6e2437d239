package loader

import (
	"fmt"
	"go/token"
	"io"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// wordsOnLine is the number of words WriteWords puts on a line.
const wordsOnLine = 8

// ReadWords reads a file of plain words, a list with lines like
//
//	001000: 104012 000000 777777    # three words from 001000 on
//
// in the style of g. The origin of each word is the file and, as its Block, the line; its Kind is memory.Wired for
// addresses the processor cannot write, else memory.Typed. The error is a go/scanner.ErrorList. An address given twice
// is an error unless both words are alike. A line without words is an error, and so is a file without any: an image of
// nothing was never meant.
func ReadWords(name string, src []byte, g memory.Geometry) (*memory.Image, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	f := wordFile{g: &g, image: memory.NewImage(g)}
	if err := f.read(name, records); err != nil {
		return nil, err
	}
	return f.image, nil
}

// A wordFile is a file of plain words being read.
type wordFile struct {
	errs    list.Errors
	g       *memory.Geometry
	image   *memory.Image
	columns map[memory.Addr]memory.Word // parity written beside words; nil where none may be
}

// read reads the lines of the file.
func (f *wordFile) read(name string, records []list.Record) error {
	for _, r := range records {
		f.line(r)
	}
	if len(records) == 0 {
		f.errs.Add(token.Position{Filename: name, Line: 1, Column: 1}, "there is no word in the file; a line is an address with a colon, then words, as in %s", model(f.g))
	}
	return f.errs.Err()
}

// line reads the words of one line.
func (f *wordFile) line(r list.Record) {
	g := f.g
	text, colon := strings.CutSuffix(r.Name(), ":")
	if !colon {
		f.errs.Add(r.Pos, "%q begins the line; it must be an address with a colon, as in %s", r.Name(), model(g))
		return
	}
	v, err := g.Style.Parse(text)
	if err != nil {
		f.errs.Add(r.Pos, "%v", err)
		return
	}
	if len(r.Args()) == 0 {
		behind := r.Pos
		behind.Column += len(r.Name())
		f.errs.Add(behind, "no word stands after %s; write those that belong there behind it, or strike the line out", r.Name())
	}
	for i, word := range r.Args() {
		a := memory.Addr(v) + memory.Addr(i*g.Step())
		if a < memory.Addr(v) {
			err = fmt.Errorf("the words of this line run beyond all addresses")
		} else {
			err = f.word(a, word.Text, r)
		}
		if err != nil {
			f.errs.Add(word.Pos, "%v", err)
			return
		}
	}
}

// word reads the word for an address, with its parity where that may stand beside it.
func (f *wordFile) word(a memory.Addr, text string, r list.Record) error {
	parity, beside := "", false
	if f.columns != nil {
		text, parity, beside = strings.Cut(text, "/")
	}
	w, err := f.g.Style.Parse(text)
	if err != nil {
		return err
	}
	if err := typed(f.image, f.g, a, memory.Word(w), r); err != nil || !beside {
		return err
	}
	columns, err := readParity(f.g, a, parity)
	if old, twice := f.columns[a]; err == nil && twice && old != columns {
		err = fmt.Errorf("the parity of %s is another here than before; strike out one of them", f.g.Style.Addr(a, f.g.AddrBits))
	}
	if err == nil {
		f.columns[a] = columns
	}
	return err
}

// model is how a line looks.
func model(g *memory.Geometry) string {
	return g.Style.Addr(0, g.AddrBits) + ": " + g.Style.Word(0, g.Width)
}

// typed puts one word into image.
func typed(image *memory.Image, g *memory.Geometry, a memory.Addr, w memory.Word, r list.Record) error {
	if old, from, ok := image.At(a); ok && old != w {
		return fmt.Errorf("%s is %s here and %s on line %d; strike out one of them", g.Style.Addr(a, g.AddrBits),
			g.Style.Word(w, g.Width), g.Style.Word(old, g.Width), from.Block)
	}
	return image.Set(a, w, origin(g, a, r.Pos))
}

// origin gives the origin of a word for address a that a person's file has at pos.
func origin(g *memory.Geometry, a memory.Addr, pos token.Position) memory.Origin {
	from := memory.Origin{Kind: memory.Typed, File: pos.Filename, Block: pos.Line}
	if area := g.Area(a); area != nil && area.Wired {
		from.Kind = memory.Wired
	}
	return from
}

// WriteWords writes image as a file of plain words that ReadWords reads, eight words a line.
func WriteWords(w io.Writer, image *memory.Image, g memory.Geometry) error {
	return writeWords(w, image, g, func(memory.Addr) string { return "" })
}

// writeWords writes image as plain words, each with what belongs behind it.
func writeWords(w io.Writer, image *memory.Image, g memory.Geometry, behind func(memory.Addr) string) error {
	var b strings.Builder
	next, onLine := memory.Addr(0), 0
	for a, e := range image.All() {
		if onLine == wordsOnLine || onLine > 0 && a != next {
			b.WriteByte('\n')
			onLine = 0
		}
		if onLine == 0 {
			b.WriteString(g.Style.Addr(a, g.AddrBits) + ":")
		}
		b.WriteString(" " + g.Style.Word(e.Word, g.Area(a).Width) + behind(a))
		next = a + memory.Addr(g.Step())
		onLine++
	}
	if onLine > 0 {
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}
