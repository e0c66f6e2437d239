package proof

import (
	"bytes"
	"errors"
	"go/scanner"
	"go/token"

	"coldstart/cpu/order"
	"coldstart/cpu/order/syntax"
)

// salvage reads a machine file as far as it goes, and gives all errors in it, sorted. One slip in one order would keep
// what is wrong with the others from being seen, such as an overlap: so an order that cannot be read is read again without
// what it does, and then left out. The code is nil where the trouble is not in single orders.
func salvage(name string, src []byte, file *syntax.File) (*order.Code, scanner.ErrorList) {
	s := &salvor{
		file: file, lines: bytes.Split(src, []byte("\n")),
		stage: map[*syntax.Order]int{}, seen: map[token.Position]bool{},
	}
	for round := 1; ; round++ {
		code, err := order.Read(name, bytes.Join(s.lines, []byte("\n")))
		if err != nil && s.take(err) && round < mostReadings && round*len(s.lines) < mostLines && len(s.errs) < enough {
			continue
		}
		s.errs.Sort()
		if err != nil {
			return nil, s.errs
		}
		return code, s.errs
	}
}

// A file with enough errors needs no more of them, and one is read anew so many times at most, a long one fewer times.
const (
	enough       = 100
	mostReadings = 40
	mostLines    = 200_000 // in all readings
)

// A salvor takes lines away from a file until it can be read.
type salvor struct {
	file  *syntax.File
	lines [][]byte
	stage map[*syntax.Order]int // 1: what it does has been taken away; 2: all of it
	seen  map[token.Position]bool
	errs  scanner.ErrorList
}

// take keeps the new errors, and takes away the orders they stand in; false where there was nothing to take away.
func (s *salvor) take(err error) bool {
	var list scanner.ErrorList
	if !errors.As(err, &list) {
		return false
	}
	first, taken := len(s.stage) == 0, false
	cut := map[*syntax.Order]bool{} // an order with two errors loses its clauses once
	for _, e := range list {
		o, end := s.orderAt(e.Pos.Line)
		// What is complained of after something was taken away may come of that, but for an overlap, which is told at the
		// head of an order.
		if fresh := first || o != nil && (s.stage[o] == 0 || e.Pos == o.At); fresh && !s.seen[e.Pos] {
			s.errs = append(s.errs, e)
		}
		s.seen[e.Pos] = true
		switch {
		case o == nil:
			taken = s.uncount(e.Pos.Line) || taken
		case !cut[o]:
			cut[o] = true
			taken = s.cut(o, end) || taken
		}
	}
	return taken
}

// orderAt gives the order that a line belongs to and the last line of it; nil where the line belongs to something else.
func (s *salvor) orderAt(line int) (*syntax.Order, int) {
	all, i := s.file.Statements, lastBy(s.file, line)
	if i < 0 {
		return nil, 0
	}
	o, ok := all[i].(*syntax.Order)
	switch {
	case !ok:
		return nil, 0
	case i+1 < len(all):
		return o, all[i+1].Start().Line - 1
	}
	return o, len(s.lines)
}

// cut takes away what an order does and says, or if that was taken already, the whole order; false where that was too.
func (s *salvor) cut(o *syntax.Order, end int) bool {
	s.stage[o]++
	keep := map[int]bool{}
	if s.stage[o] == 1 {
		keep[o.At.Line] = true
		for _, p := range o.Patterns {
			keep[p.At.Line] = true
		}
		for _, e := range o.Each {
			keep[e.At.Line] = true
		}
		for _, n := range o.Except {
			keep[n.At.Line] = true
		}
	}
	stands := []byte("does") // which an order cannot be without
	for line := o.At.Line; line <= end; line++ {
		if keep[line] {
			continue
		}
		s.lines[line-1] = nil
		if s.stage[o] == 1 {
			s.lines[line-1], stands = stands, nil
		}
	}
	return s.stage[o] <= 2
}

// uncount takes away a line that says how many orders there should be: it would be wrong once one is taken away.
func (s *salvor) uncount(line int) bool {
	i := lastBy(s.file, line)
	if i < 0 || s.lines[line-1] == nil {
		return false
	}
	d, ok := s.file.Statements[i].(*syntax.Declares)
	if ok = ok && d.At.Line == line; ok {
		s.lines[line-1] = nil
	}
	return ok
}
