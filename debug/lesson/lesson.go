// Package lesson walks a learner through the desk: it says what a thing is for, lets the learner do it on the running machine,
// and looks at the machine for whether it was done. What is said and asked is a list, so that a team writes its own.
package lesson

import (
	"fmt"
	"go/token"
	"slices"

	"coldstart/cpu/order"
	"coldstart/debug"
	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// A Lesson is what is said and asked, in its order. It never changes and may be shared.
type Lesson struct {
	Title string
	Next  []string // what to do or read when it is over
	steps []step
}

// A step is something learned.
type step struct {
	title string
	says  []string
	tasks []task
}

// A task is what the learner is to do or to find out.
type task struct {
	kind  kind
	what  string           // the desk word, the milestone, or the value asked for
	until *watch.Condition // of condition
	asks  string
	hint  string
}

// A kind is a kind of task.
type kind int

const (
	uses   kind = iota // a desk word is used
	comes              // the machine comes to a milestone
	meets              // a condition holds
	answer             // the learner finds out what a value is
)

// Forms are the records of a lesson.
//
//	lesson "The first hour"
//	step   "Power is up"
//	say    "The machine stands before its first order."
//	use    take "Let it do five orders: take 5"
//	answer here "At which address does the next order stand? Type the number alone."
//	hint   "The prompt shows it."
//	reach  stage "Run on until the second stage is in store: roll until stage"
//	until  "lamp 000760.3 = 1" "Run on until lamp 3 of the row is lit."
//	next   "coldstart help jams"
//
// A step is what is said and then asked up to the next step; a hint belongs to what was asked before it. What use names is a
// word of the desk, what reach names a milestone of the office, what until and answer name is a condition and a value as the
// desk has them.
var Forms = []list.Form{
	{Shape: `lesson "TITLE"`, Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: `step "TITLE"`, Min: 1, Max: 1},
	{Shape: `say "TEXT"`, Min: 1, Max: 1},
	{Shape: `use WORD "TASK"`, Min: 2, Max: 2},
	{Shape: `reach MILESTONE "TASK"`, Min: 2, Max: 2},
	{Shape: `until "CONDITION" "TASK"`, Min: 2, Max: 2},
	{Shape: `answer "VALUE" "QUESTION"`, Min: 2, Max: 2},
	{Shape: `hint "TEXT"`, Min: 1, Max: 1},
	{Shape: `next "TEXT"`, Min: 1, Max: 1},
}

// Read reads a lesson, named file in messages, for a machine of the code and an office with milestones of these names. The
// error is a go/scanner.ErrorList.
func Read(file string, src []byte, code *order.Code, milestones []string) (*Lesson, error) {
	records, err := list.Read(file, src)
	if err != nil {
		return nil, err
	}
	r := reader{code: code, milestones: milestones}
	for _, record := range list.Check(&r.errs, file, records, Forms) {
		r.record(record)
	}
	if len(r.lesson.steps) == 0 && r.errs.Err() == nil {
		r.errs.Add(token.Position{Filename: file, Line: 1, Column: 1}, "the lesson has no step; add a line `step \"TITLE\"` and what is asked in it")
	}
	if err := r.errs.Err(); err != nil {
		return nil, err
	}
	return &r.lesson, nil
}

// A reader makes a Lesson of the records of a list.
type reader struct {
	errs       list.Errors
	code       *order.Code
	milestones []string
	lesson     Lesson
}

// record takes one record over.
func (r *reader) record(record list.Record) {
	args, l := record.Args(), &r.lesson
	switch record.Name() {
	case "lesson":
		l.Title = args[0].Text
		return
	case "next":
		l.Next = append(l.Next, args[0].Text)
		return
	case "step":
		l.steps = append(l.steps, step{title: args[0].Text})
		return
	}
	if len(l.steps) == 0 {
		r.errs.Add(record.Pos, "no step has begun; a line `step \"TITLE\"` stands before what is said and asked in it")
		return
	}
	s := &l.steps[len(l.steps)-1]
	switch record.Name() {
	case "say":
		s.says = append(s.says, args[0].Text)
	case "hint":
		if len(s.tasks) == 0 {
			r.errs.Add(record.Pos, "nothing has been asked in this step that the hint could belong to")
			return
		}
		s.tasks[len(s.tasks)-1].hint = args[0].Text
	default:
		s.tasks = append(s.tasks, r.task(record.Name(), args))
	}
}

// task reads what is asked.
func (r *reader) task(name string, args []list.Word) task {
	t := task{what: args[0].Text, asks: args[1].Text}
	var err error
	switch name {
	case "use":
		t.kind = uses
		if w, ok := debug.Word(t.what); !ok || w != t.what {
			err = fmt.Errorf("%s", list.Unknown("word of the desk", t.what, debug.Words()))
		}
	case "reach":
		t.kind = comes
		if !slices.Contains(r.milestones, t.what) {
			err = fmt.Errorf("%s", list.Unknown("milestone", t.what, r.milestones))
		}
	case "until":
		t.kind = meets
		t.until, err = watch.ParseCondition(r.code, t.what)
	default:
		t.kind = answer
		_, err = watch.ParseCondition(r.code, t.what+" = 0")
	}
	if err != nil {
		r.errs.Add(args[0].Pos, "%v", err)
	}
	return t
}
