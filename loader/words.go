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
	var errs list.Errors
	image := memory.NewImage(g)
	for _, r := range records {
		readLine(&errs, image, &g, r)
	}
	if len(records) == 0 {
		errs.Add(token.Position{Filename: name, Line: 1, Column: 1}, "there is no word in the file; a line is an address with a colon, then words, as in %s", model(&g))
	}
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return image, nil
}

// readLine puts the words of one line into image.
func readLine(errs *list.Errors, image *memory.Image, g *memory.Geometry, r list.Record) {
	text, colon := strings.CutSuffix(r.Name(), ":")
	if !colon {
		errs.Add(r.Pos, "%q begins the line; it must be an address with a colon, as in %s", r.Name(), model(g))
		return
	}
	v, err := g.Style.Parse(text)
	if err != nil {
		errs.Add(r.Pos, "%v", err)
		return
	}
	if len(r.Args()) == 0 {
		behind := r.Pos
		behind.Column += len(r.Name())
		errs.Add(behind, "no word stands after %s; write those that belong there behind it, or strike the line out", r.Name())
	}
	for i, word := range r.Args() {
		a := memory.Addr(v) + memory.Addr(i*g.Step())
		w, err := g.Style.Parse(word.Text)
		if err == nil && a < memory.Addr(v) {
			err = fmt.Errorf("the words of this line run beyond all addresses")
		}
		if err == nil {
			err = typed(image, g, a, memory.Word(w), r)
		}
		if err != nil {
			errs.Add(word.Pos, "%v", err)
			return
		}
	}
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
		b.WriteString(" " + g.Style.Word(e.Word, g.Area(a).Width))
		next = a + memory.Addr(g.Step())
		onLine++
	}
	if onLine > 0 {
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}
