package lesson

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/cpu/order"
	"coldstart/debug"
	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// A Class is a lesson going on at a desk. Lines come to it as they would come to the desk, and it passes them on.
type Class struct {
	lesson *Lesson
	desk   *debug.Session
	code   *order.Code
	out    io.Writer
	step   int
	task   int
	asked  bool // the task in hand was told
}

// Begin begins a lesson at a desk; out is where the desk says what it says.
func Begin(l *Lesson, desk *debug.Session, code *order.Code, out io.Writer) *Class {
	c := &Class{lesson: l, desk: desk, code: code, out: out}
	c.say("%s", l.Title)
	c.say("`hint` helps, `again` repeats what is asked, `skip` goes on without it, `leave`")
	c.say("ends. Everything else goes to the desk.")
	c.ask()
	return c
}

// Own are the words that belong to the lesson.
var own = []string{"hint", "again", "skip"}

// Do carries out one line, and looks at the machine for whether what was asked is done.
func (c *Class) Do(line string) error {
	words := strings.Fields(line)
	t := c.current()
	switch {
	case t == nil || len(words) == 0:
		return c.desk.Do(line)
	case words[0] == "hint":
		if t.hint == "" {
			c.say("There is no hint for this; `again` repeats what is asked, `skip` goes on.")
			return nil
		}
		c.say("Hint: %s", t.hint)
		return nil
	case words[0] == "again":
		c.asked = false
		c.tell()
		return nil
	case words[0] == "skip":
		c.pass()
		return nil
	case t.kind == answer && len(words) == 1 && words[0][0] >= '0' && words[0][0] <= '9':
		return c.answered(t, words[0])
	}
	if err := c.desk.Do(line); err != nil {
		return err
	}
	if c.done(t, words[0]) {
		c.say("Right.")
		c.pass()
	}
	return nil
}

// answered looks at an answer.
func (c *Class) answered(t *task, given string) error {
	is, err := watch.ParseCondition(c.code, t.what+" = "+given)
	if err != nil {
		return fmt.Errorf("%q cannot be the answer: %w", given, err)
	}
	if !c.desk.Holds(is) {
		c.say("No, it is not %s. Look again; `hint` helps.", given)
		return nil
	}
	c.say("Right.")
	c.pass()
	return nil
}

// done tells whether what was asked is done, after a desk word was carried out.
func (c *Class) done(t *task, word string) bool {
	switch t.kind {
	case uses:
		w, ok := debug.Word(word)
		return ok && w == t.what
	case comes:
		return c.desk.Reached(t.what)
	case meets:
		return c.desk.Holds(t.until)
	}
	return false
}

// current is the task in hand; nil when the lesson is over.
func (c *Class) current() *task {
	if c.step == len(c.lesson.steps) {
		return nil
	}
	return &c.lesson.steps[c.step].tasks[c.task]
}

// pass goes on to what is asked next.
func (c *Class) pass() {
	c.task++
	if c.task == len(c.lesson.steps[c.step].tasks) {
		c.step, c.task = c.step+1, 0
	}
	c.asked = false
	c.ask()
}

// ask begins the step in hand, or ends the lesson, and tells what is asked. Steps in which nothing is asked are only told.
func (c *Class) ask() {
	for c.step < len(c.lesson.steps) && c.task == 0 {
		s := &c.lesson.steps[c.step]
		c.say("")
		c.say("%d of %d: %s", c.step+1, len(c.lesson.steps), s.title)
		for _, text := range s.says {
			c.say("  %s", text)
		}
		if len(s.tasks) > 0 {
			break
		}
		c.step++
	}
	if c.step == len(c.lesson.steps) {
		c.say("")
		c.say("That is the lesson. The desk is yours until `leave`. What to do next:")
		for _, next := range c.lesson.Next {
			c.say("  %s", next)
		}
		return
	}
	c.tell()
}

// tell tells what is asked.
func (c *Class) tell() {
	if t := c.current(); t != nil && !c.asked {
		c.asked = true
		c.say("-> %s", t.asks)
	}
}

// say prints a line.
func (c *Class) say(format string, args ...any) {
	fmt.Fprintln(c.out, list.Safe(fmt.Sprintf(format, args...)))
}

// Prompt is that of the desk.
func (c *Class) Prompt() string { return c.desk.Prompt() }

// Left tells whether `leave` was said.
func (c *Class) Left() bool { return c.desk.Left() }

// Complete completes words of the lesson too.
func (c *Class) Complete(line string) []string {
	all := c.desk.Complete(line)
	if line == "" || strings.Contains(line, " ") || c.current() == nil {
		return all
	}
	for _, w := range own {
		if strings.HasPrefix(w, line) {
			all = append(slices.DeleteFunc(all, func(s string) bool { return s == line+" " }), w+" ")
		}
	}
	return all
}
