package repl

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"unicode/utf8"

	"github.com/peterh/liner"

	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// A Terminal is the terminal the program was started from, taken over until it is closed.
type Terminal struct {
	liner      *liner.State
	interrupts chan os.Signal
}

// Interactive tells whether a person sits before standard input and output.
func Interactive() bool {
	if _, err := liner.TerminalMode(); err != nil {
		return false
	}
	out, err := os.Stdout.Stat()
	return err == nil && out.Mode()&os.ModeCharDevice != 0
}

// Open takes over the terminal. History is what was typed earlier, the oldest first; lines that cannot have been typed are
// left out.
func Open(history []string) *Terminal {
	t := &Terminal{liner: liner.NewLiner(), interrupts: make(chan os.Signal, 1)}
	t.liner.SetCtrlCAborts(true)
	t.liner.SetTabCompletionStyle(liner.TabPrints)
	t.liner.SetBeep(false)
	for _, line := range history {
		if utf8.ValidString(line) && line != "" && list.Safe(line) == line && len(line) < longest {
			t.liner.AppendHistory(line)
		}
	}
	// On a dumb or a very narrow terminal Ctrl-C comes as a signal at the prompt too, and must not end the program there.
	signal.Notify(t.interrupts, os.Interrupt)
	return t
}

// Stopped tells whether Ctrl-C was pressed since it was last asked, or since the line in hand was typed.
func (t *Terminal) Stopped() bool {
	select {
	case <-t.interrupts:
		return true
	default:
		return false
	}
}

// Run carries out what is typed until somebody leaves, by the word or by Ctrl-D. What is wrong with a line is said on out,
// which must not keep anything back. The error is one of the host.
func (t *Terminal) Run(s Desk, out io.Writer) error {
	t.liner.SetCompleter(s.Complete)
	for !s.Left() {
		typed, err := t.liner.Prompt(s.Prompt())
		switch {
		case errors.Is(err, liner.ErrPromptAborted):
			fmt.Fprintln(out, "Ctrl-C stops a running machine; `leave` or Ctrl-D ends the session")
			continue
		case errors.Is(err, io.EOF):
			fmt.Fprintln(out)
			return nil
		case err != nil:
			return fmt.Errorf("the terminal gives no line: %w", err)
		}
		if typed = blanks(typed); typed == "" {
			continue
		}
		t.liner.AppendHistory(typed)
		t.Stopped() // a Ctrl-C from before the line does not count
		if err := s.Do(typed); err != nil {
			complain(out, err)
		}
	}
	return nil
}

// complain says what is wrong with a line, with a mark under the place where one is known and the line fits on paper.
func complain(out io.Writer, err error) {
	var wrong *watch.ConditionError
	if errors.As(err, &wrong) && len(wrong.Text) <= list.Paper {
		fmt.Fprintf(out, "%s\n%s\n", wrong.Caret(), list.Safe(wrong.Problem))
		return
	}
	fmt.Fprintln(out, list.Safe(err.Error()))
}

// History is what was typed, earlier sessions included, the oldest line first.
func (t *Terminal) History() []string {
	var b bytes.Buffer
	t.liner.WriteHistory(&b) // into memory: nothing can fail
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// Close gives the terminal back as it was.
func (t *Terminal) Close() error {
	signal.Stop(t.interrupts)
	return t.liner.Close()
}
