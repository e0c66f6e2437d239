package cli

import (
	"fmt"
	"iter"
	"strings"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/memory"
)

// mostRuns is how many runs of addresses a refusal lists.
const mostRuns = 6

// takePart gives the words of an image that a command line asks for: all, one order, or those between two addresses.
func takePart(image *memory.Image, c *order.Code, words []string) (*memory.Image, error) {
	g := &c.Geometry
	if len(words) == 1 {
		if from, to, both := strings.Cut(words[0], "-"); both {
			words = []string{from, to}
		}
	}
	if len(words) == 0 {
		return image, nil
	}
	var ends []memory.Addr
	for _, word := range words {
		a, err := readAddress(word, g)
		if err != nil {
			if word == "" {
				err.where = strings.Join(words, "-")
			}
			return nil, err
		}
		ends = append(ends, a)
	}
	from, to := ends[0], ends[len(ends)-1]
	switch {
	case to < from:
		return nil, &unusable{what: fmt.Sprintf("%s comes after %s", g.Style.Addr(from, g.AddrBits), g.Style.Addr(to, g.AddrBits)), next: "name the lower address first"}
	case len(ends) == 1:
		to = orderEnd(image, c, from)
	}
	part := memory.NewImage(*g)
	for a, e := range image.All() {
		if from <= a && a <= to {
			if err := part.Set(a, e.Word, e.Origin); err != nil {
				return nil, err
			}
		}
	}
	if part.Len() == 0 {
		return nil, &unusable{what: fmt.Sprintf("no word of the image stands at %s", span(g, loader.Span{First: from, Last: to})),
			next: "it holds " + runs(g, wordRuns(image))}
	}
	return part, nil
}

// readAddress reads an address at which the store answers.
func readAddress(word string, g *memory.Geometry) (memory.Addr, *unusable) {
	v, err := g.Style.Parse(word)
	if err != nil {
		return 0, &unusable{where: word, what: err.Error(), next: fmt.Sprintf("write an address as in %s (%s)", g.Style.Addr(0, g.AddrBits), g.Style.Name())}
	}
	if g.Area(memory.Addr(v)) == nil {
		var all []loader.Span
		for _, area := range g.Areas {
			all = append(all, loader.Span{First: area.First, Last: area.Last})
		}
		return 0, &unusable{where: word, what: "no store answers at this address", next: "the store is " + runs(g, all)}
	}
	return memory.Addr(v), nil
}

// orderEnd is the last address of the order that stands at a.
func orderEnd(image *memory.Image, c *order.Code, a memory.Addr) memory.Addr {
	onward := func(yield func(memory.Addr, memory.Word) bool) {
		for at := a; ; at++ {
			if w, _, there := image.At(at); !there || !yield(at, w) {
				return
			}
		}
	}
	for l := range assemble.Lines(c, onward) {
		return a + memory.Addr(len(l.Words)) - 1
	}
	return a
}

// plainWords gives the words of an image without their origins.
func plainWords(image *memory.Image) iter.Seq2[memory.Addr, memory.Word] {
	return func(yield func(memory.Addr, memory.Word) bool) {
		for a, e := range image.All() {
			if !yield(a, e.Word) {
				return
			}
		}
	}
}

// wordRuns gives the runs of addresses that an image has words at.
func wordRuns(image *memory.Image) []loader.Span {
	var all []loader.Span
	for a := range image.All() {
		if n := len(all); n > 0 && all[n-1].Last+1 == a {
			all[n-1].Last = a
		} else {
			all = append(all, loader.Span{First: a, Last: a})
		}
	}
	return all
}

// runs writes runs of addresses, the first few of many.
func runs(g *memory.Geometry, all []loader.Span) string {
	var parts []string
	for i, s := range all {
		if i == mostRuns {
			parts = append(parts, fmt.Sprintf("and %d more runs", len(all)-i))
			break
		}
		parts = append(parts, span(g, s))
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}

// span writes a run of addresses.
func span(g *memory.Geometry, s loader.Span) string {
	first, last := g.Style.Addr(s.First, g.AddrBits), g.Style.Addr(s.Last, g.AddrBits)
	if first == last {
		return first
	}
	return first + "-" + last
}
