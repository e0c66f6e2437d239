package plan

import (
	"slices"
	"strconv"
	"strings"
)

// A name is what a place of a pattern is called. The first are places of the fused step.
type name int

const (
	nameD name = iota
	nameA
	nameB
	nameC
	nameE
	nameF
	nameG
	counter // P
	zero    // #0
	one     // #1
	far     // #K
	target  // #T
	small   // and all above: small letters
)

// named are the names that mean the same in all patterns.
var named = map[string]name{
	"D": nameD, "A": nameA, "B": nameB, "C": nameC, "E": nameE, "F": nameF, "G": nameG,
	"P": counter, "#0": zero, "#1": one, "#K": far, "#T": target,
}

// A rule says what N or M of a flat step must be: one of those below, or any number that is not negative.
type rule int

const (
	anything rule = -iota - 1
	aSign
	aWidth
	aMask
	aMove
	aReach
	aWord
)

// rules are the rules as the table writes them.
var rules = map[string]rule{"sign": aSign, "width": aWidth, "mask": aMask, "moved": aMove, "reach": aReach, "word": aWord}

// A want is one flat step of a pattern; where stands is set there is none: the next step's A is an address as it stands.
type want struct {
	op         Op
	d, a, b, c name
	n, m       rule
	stands     bool
}

// A pattern is one way a form can look.
type pattern struct {
	form    Form
	wants   []want
	names   int  // how many names it uses
	adds    bool // it goes through the adder
	counted bool // it has a width
}

// patterns are all ways of all forms, in the order they are tried.
var patterns = compile()

// compile makes patterns of the table.
func compile() []pattern {
	var all []pattern
	for f, text := range table {
		if text == "" {
			continue // no form
		}
		for one := range strings.SplitSeq(text, "|") {
			for _, way := range ways(strings.Split(one, ";")) {
				all = append(all, newPattern(Form(f), way))
			}
		}
	}
	return all
}

// ways writes out the parts in a row of steps, in each way they can be.
func ways(steps []string) [][]string {
	for i, s := range steps {
		word, arg, _ := strings.Cut(strings.TrimSpace(s), " ")
		var all [][]string
		for _, part := range parts[word] {
			in := strings.Split(strings.ReplaceAll(part, "@", arg), ";")
			all = append(all, ways(slices.Concat(steps[:i], in, steps[i+1:]))...)
		}
		if all != nil {
			return all
		}
	}
	return [][]string{steps}
}

// newPattern reads one way of a form.
func newPattern(f Form, steps []string) pattern {
	p := pattern{form: f, names: int(small)}
	letters := map[string]name{}
	for _, text := range steps {
		p.wants = append(p.wants, p.want(strings.Fields(text), letters))
	}
	return p
}

// want reads one step: the op, its places, and its rules.
func (p *pattern) want(words []string, letters map[string]name) want {
	w := want{n: anything, m: anything}
	var places []name
	for _, s := range words[1:] {
		if key, value, ok := strings.Cut(s, "="); ok {
			w.set(key, value)
			continue
		}
		n, ok := named[s]
		if !ok {
			n, ok = letters[s]
		}
		if !ok {
			n = name(p.names)
			letters[s] = n
			p.names++
		}
		places = append(places, n)
	}
	if words[0] == "stands" {
		w.stands, w.a = true, places[0]
		return w
	}
	op, ok := flatOps[words[0]]
	if !ok {
		panic("plan: the table names no step by " + words[0])
	}
	w.op = op
	w.places(places)
	p.adds = p.adds || slices.Contains(adding, op)
	p.counted = p.counted || w.n == aWidth
	return w
}

// adding are the ops that differ with the complement.
var adding = []Op{Add, Subtract, Carry, Less}

// places gives the places of a step to what its op reads and sets.
func (w *want) places(ps []name) {
	a, b, c := w.op.Reads()
	for _, to := range []struct {
		there bool
		at    *name
	}{{w.op.Sets(), &w.d}, {a, &w.a}, {b, &w.b}, {c, &w.c}} {
		if to.there {
			*to.at = ps[0]
			ps = ps[1:]
		}
	}
	if len(ps) > 0 {
		panic("plan: a step of the table has too many places")
	}
}

// set reads a rule.
func (w *want) set(key, value string) {
	r, ok := rules[value]
	if !ok {
		n, err := strconv.Atoi(value)
		if err != nil {
			panic("plan: the table has no rule " + value)
		}
		r = rule(n)
	}
	if key == "n" {
		w.n = r
	} else {
		w.m = r
	}
}
