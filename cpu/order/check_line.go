package order

import (
	"go/token"
	"slices"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// A scope is one body of lines being read: an order's with its modes, a trap's, or start-up's.
type scope struct {
	*checker
	order  *Order                 // nil where there are no fields: in traps, interrupts and start-up
	is     map[string]syntax.Expr // what the letters of `each` clauses stand for in this order
	unused bool                   // a mode that no order has: which fields there would be is not known
	locals []local                // those that can be seen, innermost last
	count  int                    // of all locals so far
}

// A local is a value that a let named.
type local struct {
	name         string
	index, width int
	line         int
}

// block reads lines whose lets are forgotten after them.
func (s *scope) block(lines []syntax.Line) []*Stmt {
	outer := len(s.locals)
	stmts := s.lines(lines)
	s.locals = s.locals[:outer]
	return stmts
}

// lines reads lines whose lets can be seen by those that follow.
func (s *scope) lines(lines []syntax.Line) []*Stmt {
	var stmts []*Stmt
	for _, l := range lines {
		stmts = append(stmts, s.line(l))
	}
	return stmts
}

// line reads one line.
func (s *scope) line(l syntax.Line) *Stmt {
	stmt := &Stmt{Line: l.Where().Line}
	switch l := l.(type) {
	case *syntax.Transfer:
		s.transfer(stmt, l)
		s.once(l.At, []*Stmt{stmt})
	case *syntax.Action:
		s.action(stmt, l)
	case *syntax.Together:
		stmt.Op = "together"
		stmt.Body = s.together(l)
		s.once(l.At, stmt.Body)
	case *syntax.Let:
		s.let(stmt, l)
	case *syntax.If:
		stmt.Op = "if"
		stmt.Cond = s.condition(l.Cond)
		stmt.Body = s.block(l.Then)
		stmt.Else = s.block(l.Else)
	case *syntax.Repeat:
		stmt.Op = "repeat"
		stmt.Times = s.decimal(l.Times, "the number of turns", 1, 1<<20)
		if l.Cond != nil {
			stmt.Cond = s.condition(l.Cond)
		}
		stmt.Body = s.block(l.Body)
	}
	return stmt
}

// together reads the parts of one line.
func (s *scope) together(l *syntax.Together) []*Stmt {
	var parts []*Stmt
	for _, part := range l.Parts {
		stmt := &Stmt{Line: part.Where().Line}
		switch part := part.(type) {
		case *syntax.Transfer:
			s.transfer(stmt, part)
		case *syntax.Action:
			s.action(stmt, part)
		}
		parts = append(parts, stmt)
	}
	return parts
}

// let names a value.
func (s *scope) let(stmt *Stmt, l *syntax.Let) {
	value := s.settled(l.Value)
	stmt.Op, stmt.Local, stmt.Sources = "let", s.count, []*Expr{value}
	if l.Name.Text == "here" {
		s.errorf(l.Name.At, "here is the place of the order acting and cannot name a let")
	}
	if s.is[l.Name.Text] != nil {
		s.errorf(l.Name.At, "%s is the letter of an `each` clause and cannot name a let", l.Name.Text)
	}
	for _, other := range s.locals {
		if other.name == l.Name.Text {
			s.errorf(l.Name.At, "let %s stands in sight of another, in line %d: give it a name of its own, or set the first with <-", other.name, other.line)
		}
	}
	s.locals = append(s.locals, local{name: l.Name.Text, index: s.count, width: value.Width, line: l.At.Line})
	s.count++
}

// transfer reads targets and sources.
func (s *scope) transfer(stmt *Stmt, l *syntax.Transfer) {
	stmt.Op = "transfer"
	if len(l.Targets) != len(l.Sources) {
		s.errorf(l.At, "%s for %s: each target takes one", count(len(l.Sources), "value"), count(len(l.Targets), "target"))
		return
	}
	for i, t := range l.Targets {
		target := s.target(t)
		source := s.expr(l.Sources[i], target.or(0))
		s.alike(l.Sources[i].Where(), target, source)
		stmt.Targets = append(stmt.Targets, target)
		stmt.Sources = append(stmt.Sources, source)
	}
}

// action reads a word that is no transfer.
func (s *scope) action(stmt *Stmt, l *syntax.Action) {
	stmt.Op, stmt.Final = l.Verb, l.Final
	switch l.Verb {
	case "wait":
		stmt.Cond = s.condition(l.Arg)
	case "spend":
		stmt.Sources = []*Expr{s.loose(l.Arg)}
	case "restart":
		at := slices.IndexFunc(s.code.Timers, func(t *Timer) bool { return t.Name == l.Name.Text })
		if at < 0 {
			s.unknown("timer", l.Name, namesOf(s.code.Timers, func(t *Timer) string { return t.Name }))
		}
		stmt.Index = at
	case "trap":
		if t := s.trap(l.Name); t != nil {
			stmt.Index = t.Number
		}
	}
}

// once complains where one line sets the same bits twice. Fields may pick one register twice; only a run can see that.
func (s *scope) once(at token.Position, parts []*Stmt) {
	type place struct {
		op    string
		index int
	}
	set := map[place]memory.Word{}
	for _, part := range parts {
		for _, t := range part.Targets {
			t.pieces(func(of *Expr, bits memory.Word) {
				p := place{of.Op, of.Index}
				if set[p]&bits != 0 {
					s.errorf(at, "%s is set twice in one line, where all happens together", of)
				}
				set[p] |= bits
			})
		}
	}
}

// pieces calls do with each register and let that a target sets, and its bits that are set.
func (e *Expr) pieces(do func(of *Expr, bits memory.Word)) {
	switch e.Op {
	case "register", "local":
		do(e, memory.Mask(e.Width))
	case "bits":
		do(e.Args[0], memory.Mask(e.Width)<<e.Lo)
	case "join":
		e.Args[0].pieces(do)
		e.Args[1].pieces(do)
	}
}
