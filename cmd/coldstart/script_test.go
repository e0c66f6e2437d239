package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"coldstart/cmd/coldstart/internal/cli"
)

// update is the one switch for all golden text: with COLDSTART_UPDATE=1 set, scripts and documents are rewritten to what
// the program prints now. Look at the difference before it is committed.
var update = os.Getenv("COLDSTART_UPDATE") == "1"

// TestMain lets scripts run this test binary as coldstart: the real main, in a process of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"coldstart": measured})
}

// peakFile is the environment variable that names a file for the host's account of the process, written as it ends.
const peakFile = "COLDSTART_TEST_PEAK"

// measured is main; asked to, it leaves behind what the process took. What its parent is told of that would not do: the
// host counts in what the parent itself had in use when it started the process.
func measured() {
	name := os.Getenv(peakFile)
	if name == "" {
		main()
	}
	status := cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if account, err := os.ReadFile("/proc/self/status"); err == nil {
		_ = os.WriteFile(name, account, 0o666) // a missing file fails the test that asked for it
	}
	os.Exit(status)
}

// TestScripts runs the command line as people type it. What a script may say besides testscript's own words:
//
//	exits STATUS coldstart ...   runs it, and wants exactly this exit status
//	plain stdout|stderr|FILE     wants nothing in it that a terminal takes for a command, and no trace of a Go panic
//	$MACHINES                    is the folder of the machine files that tests share
func TestScripts(t *testing.T) {
	machines, err := filepath.Abs("../../testdata/machines")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Setup: func(e *testscript.Env) error {
			e.Setenv("MACHINES", machines)
			e.Setenv("COLDSTART_WIDE", "1") // so that a message is one line to be matched; width_test.go holds what is without it
			return nil
		},
		Dir:                 "testdata/script",
		UpdateScripts:       update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"plain": plain,
		},
	})
}

// exits runs a command and compares its exit status. What it printed is there for stdout, stderr and cmp.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	var ended *exec.ExitError
	switch {
	case errors.As(err, &ended):
		got = ended.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// plain wants text that is fit for paper and for people.
func plain(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: plain stdout|stderr|FILE")
	}
	if wrong := unfit(ts.ReadFile(args[0])); wrong != "" {
		ts.Fatalf("%s holds %s", args[0], wrong)
	}
}
