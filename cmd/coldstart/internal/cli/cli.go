// Package cli is the command line of coldstart: one file for each command, and in the others what commands share.
//
// The rules all commands keep. Results go to standard output, everything else to standard error. Input files are opened
// for reading only and digested (input.go); a result is a new file, written whole or not at all (save.go). What was
// judged decides the exit status (status.go). A refusal is one sentence: what, where, what next (refusal.go). Text from
// outside is printed through [list.Safe] alone.
package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/loader/list"
)

// commands makes every command, in the order a team meets them.
var commands = []func(*env) *cobra.Command{newSchool, newProof, newAssemble, newRecite, newSurvey, newSplice, newBringup, newSit, newOverlay, newMarch, newVouch, newReadback}

// An env is what a command gets of the world, and what it has used of it so far. There is one for each run of the program.
type env struct {
	args   []string // as typed
	in     io.Reader
	out    *bufio.Writer // results; whoever shows something while the command goes on flushes it
	err    io.Writer     // everything else
	json   bool          // the report is wanted as one JSON object
	limit  int64         // bytes: no larger input file is read
	inputs []input       // opened so far, in that order
	host   host          // carries out the steps of a write
	saved  []string      // files written, whole
	status int           // the exit status so far
}

// Run does what the arguments ask and gives the exit status of the process, one of [statuses].
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return run(args, stdin, stdout, stderr, commands)
}

// run is Run with the commands to choose from.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer, makers []func(*env) *cobra.Command) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	// After the first interrupt the host's own handling is back, so a second one ends the program at once.
	defer context.AfterFunc(ctx, stop)()

	e := &env{args: args, in: stdin, out: bufio.NewWriter(stdout), err: newFolding(stderr), limit: defaultLimit, host: disk{}}
	if err := e.execute(ctx, args, makers); err != nil {
		// What is known so far comes before what went wrong. Where its loss is what went wrong, that is told below.
		if lost := e.out.Flush(); lost == nil || !errors.Is(err, lost) {
			e.status = e.complain(err)
		}
	}
	if err := e.out.Flush(); err != nil {
		next := "make room, or send it elsewhere, and run this again"
		if len(e.saved) > 0 {
			next = fmt.Sprintf("written all the same, and whole: %s; %s under another name", list.Safe(strings.Join(e.saved, ", ")), next)
		}
		fmt.Fprintf(e.err, "coldstart: the report was not written: %s; %s\n", list.Safe(cause(err)), next)
		return exitUnusable
	}
	return e.status
}

// execute runs the command the arguments name. A panic below comes back as a fault.
func (e *env) execute(ctx context.Context, args []string, makers []func(*env) *cobra.Command) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &fault{value: p, trace: debug.Stack()}
		}
	}()
	root := newRoot(e, makers)
	root.SetArgs(args)
	if err := knows(root, args); err != nil {
		return err
	}
	return root.ExecuteContext(ctx)
}

// complain tells what went wrong and gives the exit status for it.
func (e *env) complain(err error) int {
	var broken *fault
	switch {
	case errors.As(err, &broken):
		fmt.Fprintf(e.err, "coldstart: %s\n", list.Safe(broken.Error()))
		if os.Getenv("COLDSTART_TRACE") != "" {
			e.err.Write(broken.trace)
		}
		return exitFault
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(e.err, "coldstart: stopped by you before there was a result")
		return exitStopped
	default:
		e.explain(err)
		return exitUnusable
	}
}
