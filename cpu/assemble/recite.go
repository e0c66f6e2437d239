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

// Recite lists the words of an image, given by rising address, as order text that assembles back to the same words: an
// order where one reads the words and its text gives them back whole, else `words`. Place and words stand as a remark on
// each line.
func Recite(c *order.Code, image iter.Seq2[memory.Addr, memory.Word]) []byte {
	r := reciter{check: newAssembler(c)}
	for at, w := range image {
		if len(r.run) == 0 || at != r.first+memory.Addr(len(r.run)) {
			r.list()
			r.first, r.run = at, r.run[:0]
		}
		r.run = append(r.run, w)
	}
	r.list()
	return r.out.Bytes()
}

// A reciter lists one image.
type reciter struct {
	check *assembler // reads each text back
	first memory.Addr
	run   []memory.Word // words that follow one another from first on
	out   bytes.Buffer
}

// list writes the run.
func (r *reciter) list() {
	if len(r.run) == 0 {
		return
	}
	fmt.Fprintf(&r.out, "%sat %s\n", indent, r.check.literal(r.first))
	for at, words := r.first, r.run; len(words) > 0; {
		text, used := r.check.code.Recite(at, words)
		if !r.check.reads(text, at, words[:used]) {
			text, used = r.check.code.ReciteData(words[0]), 1
		}
		r.line(text, at, words[:used])
		at, words = at+memory.Addr(used), words[used:]
	}
}

// indent keeps the first columns free for labels.
const indent = "        "

// line writes one line.
func (r *reciter) line(text string, at memory.Addr, words []memory.Word) {
	g := &r.check.code.Geometry
	fmt.Fprintf(&r.out, "%s%-32s# %s ", indent, text, r.check.addr(at))
	for _, w := range words {
		r.out.WriteString(" " + g.Style.Word(w, g.Width))
	}
	r.out.WriteByte('\n')
}

// literal writes an address so that order text takes it for a number: a leading letter needs a zero before it.
func (a *assembler) literal(at memory.Addr) string {
	return a.code.Text(order.Value{Size: uint64(at), Address: true})
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
	if o := a.orders[head.text]; o != nil && a.taken[head.text] == "an order" {
		return slices.Equal(k.encode(o, at, nil), words)
	}
	w, ok := k.data(at)
	return ok && head.text == "words" && len(words) == 1 && words[0] == w && strings.HasPrefix(text, "words ")
}
