// Package repl brings lines to the desk: from a terminal, with history and completion, or from a routine, a
// file or pipe of the same words.
package repl

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"go/scanner"
	"go/token"
	"io"
	"strings"

	"coldstart/debug/watch"
)

// longest is how many bytes a line of a routine may have; the desk itself takes fewer.
const longest = 1 << 16

// A Desk is what lines are brought to: a session of the desk, or what stands before one.
type Desk interface {
	Do(line string) error
	Prompt() string
	Left() bool
	Complete(line string) []string
}

// Routine carries out the lines of a routine, named so in errors, until it ends or says `leave`. Before each line it calls
// echo with the prompt and the line. The first line that cannot be carried out ends it: the error is a
// go/scanner.ErrorList with the place. Where the context ends, its error is given.
func Routine(ctx context.Context, s Desk, name string, r io.Reader, echo func(prompt, line string)) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, longest)
	n := 0
	for !s.Left() && lines.Scan() {
		n++
		typed := blanks(lines.Text())
		if typed == "" {
			continue
		}
		echo(s.Prompt(), typed)
		if err := s.Do(typed); err != nil {
			return at(name, n, typed, err)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return at(name, n+1, "", fmt.Errorf("this line is longer than %d bytes; look whether it is the right file", longest))
	case err != nil:
		return fmt.Errorf("%s, after line %d: %w", name, n, err)
	}
	return nil
}

// blanks is a line with tabs as blanks, and none around it.
func blanks(line string) string { return strings.TrimSpace(strings.ReplaceAll(line, "\t", " ")) }

// at puts the place of a line to what is wrong with it; of a condition, the place within the line.
func at(name string, n int, line string, err error) error {
	pos := token.Position{Filename: name, Line: n}
	text := err.Error()
	var wrong *watch.ConditionError
	if errors.As(err, &wrong) {
		text = wrong.Problem
		if i := strings.Index(line, wrong.Text); i >= 0 {
			pos.Column = i + wrong.At + 1
		}
	}
	return scanner.ErrorList{{Pos: pos, Msg: text}}
}
