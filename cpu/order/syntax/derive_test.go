package syntax

import (
	"math/rand/v2"
	"strings"
	"testing"

	"golang.org/x/exp/ebnf"
)

// A deriver writes random text of a grammar.
type deriver struct {
	grammar ebnf.Grammar
	height  map[string]int // of the lowest derivation of each production
	rand    *rand.Rand
	out     strings.Builder
	line    int // where the last line of out begins
}

// longLine is the length from which a line is brought to its end.
const longLine = 300

// tall is a height that no production has.
const tall = 1 << 20

// newDeriver finds the height of every production, so that text can be brought to an end from anywhere.
func newDeriver(t testing.TB, g ebnf.Grammar, seed uint64) *deriver {
	d := &deriver{grammar: g, height: map[string]int{}, rand: rand.New(rand.NewPCG(seed, 0))}
	for name := range g {
		d.height[name] = tall
	}
	for changed := true; changed; {
		changed = false
		for name, p := range g {
			if h := d.low(p.Expr) + 1; h < d.height[name] {
				d.height[name], changed = h, true
			}
		}
	}
	for name, h := range d.height {
		if h >= tall {
			t.Fatalf("production %s never ends", name)
		}
	}
	return d
}

// low is the height of the lowest derivation of an expression.
func (d *deriver) low(e ebnf.Expression) int {
	h := 0
	switch e := e.(type) {
	case ebnf.Alternative:
		h = tall
		for _, x := range e {
			h = min(h, d.low(x))
		}
	case ebnf.Sequence:
		for _, x := range e {
			h = max(h, d.low(x))
		}
	case *ebnf.Group:
		h = d.low(e.Body)
	case *ebnf.Name:
		h = d.height[e.String]
	}
	return h
}

// derive writes random text of an expression; below room 0 it takes the lowest way out. Where apart holds, blanks may
// stand between the pieces.
func (d *deriver) derive(e ebnf.Expression, room int, apart bool) {
	if d.out.Len()-d.line > longLine {
		room = -1
	}
	switch e := e.(type) {
	case ebnf.Alternative:
		x := e[d.rand.IntN(len(e))]
		if room < 0 {
			for _, other := range e {
				if d.low(other) < d.low(x) {
					x = other
				}
			}
		}
		d.derive(x, room, apart)
	case ebnf.Sequence:
		for _, x := range e {
			d.derive(x, room, apart)
		}
	case *ebnf.Group:
		d.derive(e.Body, room, apart)
	case *ebnf.Option:
		if room >= 0 && d.rand.IntN(2) == 0 {
			d.derive(e.Body, room, apart)
		}
	case *ebnf.Repetition:
		for room >= 0 && d.rand.IntN(5) < 2 {
			d.derive(e.Body, room, apart)
		}
	case *ebnf.Token:
		d.put(e.String, apart)
	case *ebnf.Range:
		from, to := e.Begin.String[0], e.End.String[0]
		d.put(string(from+byte(d.rand.IntN(int(to-from)+1))), apart)
	case *ebnf.Name:
		d.production(e.String, room-1, apart)
	}
}

// production writes random text of a production.
func (d *deriver) production(name string, room int, apart bool) {
	if 'A' <= name[0] && name[0] <= 'Z' {
		d.derive(d.grammar[name].Expr, room, true)
		return
	}
	inner := &deriver{grammar: d.grammar, height: d.height, rand: d.rand}
	inner.derive(d.grammar[name].Expr, 4, false)
	text := inner.out.String()
	if name == "name" && d.rand.IntN(8) == 0 {
		text = keywords[d.rand.IntN(len(keywords))] // a register may be called by a keyword
	}
	for _, w := range operatorWords {
		if name == "name" && text == w {
			text = "x-" + w
		}
	}
	d.put(text, apart)
}

// put writes a piece, sometimes with more blanks before it than it needs.
func (d *deriver) put(text string, apart bool) {
	if apart && text != "\n" {
		d.out.WriteString("  "[:1+d.rand.IntN(2)])
	}
	d.out.WriteString(text)
	if text == "\n" {
		d.line = d.out.Len()
	}
}
