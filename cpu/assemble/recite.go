package assemble

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"strings"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Line is words that stand together and the order text that makes them. Where words hold two orders, At is the place of
// the first, and the words of an order are halves.
type Line struct {
	At    memory.Addr
	Words []memory.Word
	Text  string
}

// data says that the line is no order.
func (l Line) data() bool { return strings.HasPrefix(l.Text, "words ") }

// end is the place behind the words.
func (l Line) end(c *order.Code) memory.Addr {
	step := c.Step()
	if l.data() {
		step = c.WordStep()
	}
	return l.At + memory.Addr(len(l.Words)*step)
}

// Recite lists the words of an image, given by rising address, as order text that assembles back to the same words. Place
// and words stand as a remark on each line.
func Recite(c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) []byte {
	var out bytes.Buffer
	next, first := memory.Addr(0), true
	for l := range Lines(c, image) {
		if first || l.At != next {
			fmt.Fprintf(&out, "%sat %s\n", indent, literal(c, c.WordOf(l.At)))
		}
		next, first = l.end(c), false
		l.write(&out, c)
	}
	return out.Bytes()
}

// Lines gives the lines of Recite one by one: an order where one reads the words and its text gives them back whole, else
// `words`.
func Lines(c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) iter.Seq[Line] {
	return func(yield func(Line) bool) {
		r := reciter{check: newAssembler(c)}
		for at, w := range image {
			if len(r.run) == 0 || at != r.first+memory.Addr(len(r.run))*r.check.step() {
				if !r.list(yield) {
					return
				}
				r.first, r.run = at, nil // the lines given keep the old one
			}
			r.run = append(r.run, w)
		}
		r.list(yield)
	}
}

// A reciter lists one image.
type reciter struct {
	check *assembler // reads each text back
	first memory.Addr
	run   []memory.Word // words that follow one another from first on
}

// list gives the lines of the run; false says that no more are wanted.
func (r *reciter) list(yield func(Line) bool) bool {
	c := r.check.code
	if c.PerWord > 1 {
		return r.listHalves(yield)
	}
	for at, words := r.first, r.run; len(words) > 0; {
		l := r.line(at, words)
		if !yield(l) {
			return false
		}
		at, words = l.end(c), words[len(l.Words):]
	}
	return true
}

// line is an order where one gives the first words back whole, else one word of data.
func (r *reciter) line(at memory.Addr, words []memory.Word) Line {
	text, used := r.check.code.Recite(at, words)
	if !r.check.reads(text, at, words[:used]) {
		text, used = r.check.code.ReciteData(words[0]), 1
	}
	return Line{At: at, Words: words[:used:used], Text: text}
}

// listHalves gives the lines of a run of words that hold two orders each. Orders are listed up to the end of a word; where
// one half is no order, its whole word is data.
func (r *reciter) listHalves(yield func(Line) bool) bool {
	c := r.check.code
	first := c.PlaceOf(r.first)
	halves := make([]memory.Word, 2*len(r.run))
	for i := range halves {
		halves[i] = c.Part(first+memory.Addr(i), r.run[i/2])
	}
	for i := 0; i < len(halves); {
		lines, end := r.orders(first+memory.Addr(i), halves[i:])
		if lines == nil {
			w := r.run[i/2]
			lines, end = []Line{{At: first + memory.Addr(i), Words: []memory.Word{w}, Text: c.ReciteData(w)}}, 2
		}
		for _, l := range lines {
			if !yield(l) {
				return false
			}
		}
		i += end
	}
	return true
}

// orders gives the orders from the beginning of a word to the first end of one, and how many halves they take; nil where
// not all of it is orders.
func (r *reciter) orders(at memory.Addr, halves []memory.Word) (lines []Line, end int) {
	for end == 0 || end%2 != 0 {
		l := r.line(at+memory.Addr(end), halves[end:])
		if l.data() {
			return nil, 0
		}
		lines, end = append(lines, l), end+len(l.Words)
	}
	return lines, end
}

// indent keeps the first columns free for labels.
const indent = "        "

// write writes the line and its remark.
func (l Line) write(out *bytes.Buffer, c *order.Code) {
	style, width := c.Geometry.Style, c.OrderWidth()
	if l.data() {
		width = c.Geometry.Width
	}
	fmt.Fprintf(out, "%s%-32s# %s ", indent, l.Text, style.Addr(l.At, c.PlaceBits()))
	for _, w := range l.Words {
		out.WriteString(" " + style.Word(w, width))
	}
	out.WriteByte('\n')
}

// literal writes an address so that order text takes it for a number: a leading letter needs a zero before it.
func literal(c *order.Code, at memory.Addr) string {
	return c.Text(order.Value{Size: uint64(at), Address: true})
}

// reads says that order text standing at a place makes exactly these words. Ignored bits, overlapping patterns and orders
// whose name is a word of order text make it false.
func (a *assembler) reads(text string, at memory.Addr, words []memory.Word) bool {
	l := line{text: text}
	if _, err := l.scan(); err != nil || len(l.items) == 0 {
		return false
	}
	a.errs = a.errs[:0]
	k := cursor{assembler: a, line: &l}
	head := k.take()
	if o := a.orders[head.text]; o != nil && !slices.Contains(lineWords, head.text) {
		return slices.Equal(k.encode(o, at, nil), words)
	}
	w, ok := k.data(at)
	return ok && head.text == "words" && len(words) == 1 && words[0] == w && strings.HasPrefix(text, "words ")
}
