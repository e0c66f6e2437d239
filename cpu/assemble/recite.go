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

// A Line is words that stand together and the order text that makes them.
type Line struct {
	At    memory.Addr
	Words []memory.Word
	Text  string
}

// Recite lists the words of an image, given by rising address, as order text that assembles back to the same words. Place
// and words stand as a remark on each line.
func Recite(c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) []byte {
	var out bytes.Buffer
	next, first := memory.Addr(0), true
	for l := range Lines(c, image) {
		if first || l.At != next {
			fmt.Fprintf(&out, "%sat %s\n", indent, literal(c, l.At))
		}
		next, first = l.At+memory.Addr(len(l.Words)), false
		l.write(&out, &c.Geometry)
	}
	return out.Bytes()
}

// Lines gives the lines of Recite one by one: an order where one reads the words and its text gives them back whole, else
// `words`.
func Lines(c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) iter.Seq[Line] {
	return func(yield func(Line) bool) {
		r := reciter{check: newAssembler(c)}
		for at, w := range image {
			if len(r.run) == 0 || at != r.first+memory.Addr(len(r.run)) {
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
	for at, words := r.first, r.run; len(words) > 0; {
		text, used := r.check.code.Recite(at, words)
		if !r.check.reads(text, at, words[:used]) {
			text, used = r.check.code.ReciteData(words[0]), 1
		}
		if !yield(Line{At: at, Words: words[:used:used], Text: text}) {
			return false
		}
		at, words = at+memory.Addr(used), words[used:]
	}
	return true
}

// indent keeps the first columns free for labels.
const indent = "        "

// write writes the line and its remark.
func (l Line) write(out *bytes.Buffer, g *memory.Geometry) {
	fmt.Fprintf(out, "%s%-32s# %s ", indent, l.Text, g.Style.Addr(l.At, g.AddrBits))
	for _, w := range l.Words {
		out.WriteString(" " + g.Style.Word(w, g.Width))
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
