package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"go/scanner"
	"go/token"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/spf13/cobra"

	"coldstart/debug/watch"
)

// childEnv makes the test binary a coldstart with the commands of this file, for tests that need a process.
const childEnv = "COLDSTART_TEST_CHILD"

// TestMain keeps messages on one line each, so that a test of what is said is none of where it is folded.
func TestMain(m *testing.M) {
	os.Setenv(wideVariable, "1")
	if os.Getenv(childEnv) != "" {
		os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr, trials))
	}
	os.Exit(m.Run())
}

// trials are commands that do what no real one should.
var trials = []func(*env) *cobra.Command{
	trial("judge", func(e *env, _ *cobra.Command, words []string) error {
		r := &tally{Blocks: 44}
		for v := range watch.Verdict(4) {
			if v.String() == words[0] {
				r.judge(v)
			}
		}
		if r.status != exitGood {
			r.LookAt = []string{"ST2 U08", "tape block 040, word 107"}
			r.ToSettle = []string{"write 0, then read 024107"}
		}
		return e.show("judge", r)
	}),
	trial("read", func(e *env, _ *cobra.Command, words []string) error {
		for _, w := range words {
			if _, err := e.read(w); err != nil {
				return err
			}
		}
		return e.show("read", &tally{})
	}),
	trial("panic", func(*env, *cobra.Command, []string) error { panic("the\x1b store is on fire") }),
	trial("list", func(*env, *cobra.Command, []string) error {
		var errs scanner.ErrorList
		errs.Add(token.Position{Filename: "cob.machine", Line: 4, Column: 7}, `"regster" is unknown; the nearest is "register"`)
		return fmt.Errorf("reading: %w", errs.Err())
	}),
	trial("host", func(*env, *cobra.Command, []string) error { return errors.New("the host is tired") }),
	trial("wait", func(e *env, c *cobra.Command, words []string) error {
		fmt.Fprintln(e.out, "waiting")
		e.out.Flush()
		<-c.Context().Done()
		if len(words) > 0 { // deaf to the first interrupt
			for asked := bufio.NewScanner(e.in); ; {
				fmt.Fprintln(e.out, "heard")
				e.out.Flush()
				if !asked.Scan() {
					break
				}
			}
		}
		return c.Context().Err()
	}),
	trial("options", func(*env, *cobra.Command, []string) error { return nil }),
}

// trial makes one such command.
func trial(name string, act func(*env, *cobra.Command, []string) error) func(*env) *cobra.Command {
	return func(e *env) *cobra.Command {
		c := &cobra.Command{
			Use:     name,
			Short:   "try " + name,
			GroupID: before,
			Example: "  coldstart " + name + " 1    tried once\n  coldstart " + name + " 2    tried twice",
			Args:    takes(0, 3, "up to three words"),
			RunE:    func(c *cobra.Command, words []string) error { return act(e, c, words) },
		}
		c.Flags().IntP("count", "n", 1, "how often")
		e.readsFiles(c)
		return c
	}
}

// A tally is the report of a trial.
type tally struct {
	heading
	Blocks int `json:"blocks"`
}

func (t *tally) print(w io.Writer) { fmt.Fprintf(w, "%d blocks\n", t.Blocks) }

// try runs trials in this process.
func try(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, err bytes.Buffer
	status = run(args, strings.NewReader(stdin), &out, &err, trials)
	return status, out.String(), err.String()
}

func TestStatusAndWords(t *testing.T) {
	tests := []struct {
		name           string
		args           []string
		status         int
		stdout, stderr string
	}{
		{"good", []string{"judge", "GOOD"}, 0, "44 blocks\nVerdict: GOOD\n", ""},
		{"trouble", []string{"judge", "TROUBLE"}, 1, "44 blocks\nVerdict: TROUBLE\nLook at:       ST2 U08\n" +
			"               tape block 040, word 107\nTo settle it:  write 0, then read 024107\n", ""},
		{"nothing judged", []string{"judge", "nothing"}, 0, "44 blocks\n", ""},
		{"text errors", []string{"list"}, 2, "", "cob.machine:4:7: \"regster\" is unknown; the nearest is \"register\"\n"},
		{"host", []string{"host"}, 2, "", "coldstart: the host is tired\n"},
		{"wrong command", []string{"raed", "--far"}, 2, "",
			"coldstart: there is no command \"raed\"; the nearest is \"read\", and \"coldstart help commands\" lists them\n"},
		{"wrong option", []string{"options", "--cuont", "3"}, 2, "",
			"coldstart: options: there is no option --cuont; the nearest is --count, and \"coldstart options --help\" shows what fits\n"},
		{"wrong letter", []string{"options", "-z"}, 2, "", "coldstart: options: there is no option -z; \"coldstart options --help\" shows what fits\n"},
		{"no value", []string{"options", "--count"}, 2, "", "coldstart: options: --count needs a value after it; \"coldstart options --help\" shows what fits\n"},
		{"no value after a letter", []string{"options", "-n"}, 2, "", "coldstart: options: -n needs a value after it; \"coldstart options --help\" shows what fits\n"},
		{"wrong value", []string{"options", "--count", "x"}, 2, "",
			"coldstart: options: --count cannot be \"x\"; \"coldstart options --help\" shows what fits\n"},
		{"too many words", []string{"options", "1", "2", "3", "4"}, 2, "",
			"coldstart: options: \"4\" is one word too many: it takes up to three words; \"coldstart options --help\" shows examples\n"},
		{"empty word", []string{"options", ""}, 2, "",
			"coldstart: options: a word is empty: it takes up to three words; \"coldstart options --help\" shows examples\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			status, stdout, stderr := try("", tt.args...)
			if status != tt.status {
				t.Errorf("%q: status %d, want %d", tt.args, status, tt.status)
			}
			if diff := cmp.Diff(tt.stdout, stdout); diff != "" {
				t.Errorf("%q: standard output (-want +got)\n%s", tt.args, diff)
			}
			if diff := cmp.Diff(tt.stderr, stderr); diff != "" {
				t.Errorf("%q: standard error (-want +got)\n%s", tt.args, diff)
			}
		})
	}
}

func TestEveryVerdictHasItsStatus(t *testing.T) {
	for word, want := range map[string]int{"GOOD": 0, "TROUBLE": 1, "UNDECIDED": 3, "NOT TESTED": 3} {
		status, stdout, _ := try("", "judge", word, "--json")
		var said struct{ Verdict string }
		if err := json.Unmarshal([]byte(stdout), &said); err != nil || status != want || said.Verdict != word {
			t.Errorf("%s: status %d, verdict %q, error %v; want status %d and the same word", word, status, said.Verdict, err, want)
		}
	}
	if _, stdout, _ := try("", "judge", "nothing", "--json"); strings.Contains(stdout, "verdict") {
		t.Errorf("a command that judges nothing has a verdict: %s", stdout)
	}
	listed := map[int]bool{}
	for _, s := range statuses {
		if s.says == "" || listed[s.status] {
			t.Errorf("status %d is listed twice or says nothing", s.status)
		}
		listed[s.status] = true
	}
	for _, s := range []int{exitGood, exitTrouble, exitUnusable, exitUndecided, exitFault, exitStopped} {
		if !listed[s] {
			t.Errorf("status %d is not in the table of statuses", s)
		}
	}
}

func TestAFaultIsToldInASentence(t *testing.T) {
	status, _, stderr := try("", "panic")
	if status != exitFault || strings.Count(stderr, "\n") != 1 || strings.Contains(stderr, "goroutine") ||
		!strings.Contains(stderr, `the\x1b store is on fire`) {
		t.Errorf("status %d, standard error %q; want %d and one plain line", status, stderr, exitFault)
	}
	t.Setenv("COLDSTART_TRACE", "1")
	if _, _, stderr := try("", "panic"); !strings.Contains(stderr, "cli_test.go") {
		t.Errorf("with COLDSTART_TRACE set, standard error is %q; want the place of the fault", stderr)
	}
}

func TestFirstScreenFitsAScreen(t *testing.T) {
	firstSteps = append(firstSteps, "judge")
	t.Cleanup(func() { firstSteps = firstSteps[:len(firstSteps)-1] })
	status, stdout, _ := try("")
	lines := strings.Split(strings.TrimSuffix(stdout, "\n"), "\n")
	if status != 0 || len(lines) > 24 {
		t.Errorf("status %d and %d lines, want 0 and at most 24", status, len(lines))
	}
	for _, line := range lines {
		if len(line) > 80 {
			t.Errorf("%d columns, want at most 80: %s", len(line), line)
		}
	}
	for _, want := range []string{"\n  coldstart judge 1    tried once\n", "\n  before the bench: judge ", "coldstart help commands"} {
		if !strings.Contains(stdout, want) {
			t.Errorf("the first screen lacks %q:\n%s", want, stdout)
		}
	}
	if _, overview, _ := try("", "help", "commands"); !strings.Contains(overview, "Before the bench:\n") || !strings.Contains(overview, "\n  judge       try judge\n") {
		t.Errorf("the overview lacks a command:\n%s", overview)
	}
}

func TestWrap(t *testing.T) {
	var b strings.Builder
	wrap(&b, "  label:", strings.Fields(strings.Repeat("eightsix ", 10)))
	wrap(&b, "  none:", nil)
	want := "  label: eightsix eightsix eightsix eightsix eightsix eightsix eightsix eightsix\n" + // 80 columns
		"         eightsix eightsix\n"
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// A lostWriter takes n bytes, then fails as a full device does.
type lostWriter struct{ n int }

func (w *lostWriter) Write(p []byte) (int, error) {
	if len(p) > w.n {
		return w.n, errors.New("no room")
	}
	w.n -= len(p)
	return len(p), nil
}

func TestALostReportIsNoSuccess(t *testing.T) {
	for _, args := range [][]string{{"judge", "GOOD"}, {"judge", "TROUBLE", "--json"}, {"help", "statuses"}, {"judge", "--help"}, {}} {
		var stderr bytes.Buffer
		status := run(args, strings.NewReader(""), &lostWriter{n: 10}, &stderr, trials)
		if want := "coldstart: the report was not written: no room;"; status != exitUnusable || !strings.HasPrefix(stderr.String(), want) {
			t.Errorf("%q: status %d, standard error %q; want %d and %q", args, status, stderr.String(), exitUnusable, want)
		}
	}
}

// A process is a trial in a process of its own.
type process struct {
	*exec.Cmd
	in  io.Writer
	out *bufio.Reader
	err bytes.Buffer
}

// startTrial starts a trial in a process of its own and reads its first line.
func startTrial(t *testing.T, args ...string) *process {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	// The deadline only ends a test that hangs; nothing here waits for it.
	ctx, cancel := context.WithTimeout(t.Context(), 1<<36)
	t.Cleanup(cancel)
	p := &process{Cmd: exec.CommandContext(ctx, self, args...)}
	p.Env = append(os.Environ(), childEnv+"=1")
	p.Stderr = &p.err
	if p.in, err = p.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	p.out = bufio.NewReader(out)
	if line, err := p.out.ReadString('\n'); line != "waiting\n" {
		t.Fatalf("first line %q, error %v; want \"waiting\"", line, err)
	}
	return p
}

func TestInterrupt(t *testing.T) {
	p := startTrial(t, "wait")
	if err := p.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	p.Wait()
	if got := p.ProcessState.ExitCode(); got != exitStopped || p.err.String() != "coldstart: stopped by you before there was a result\n" {
		t.Errorf("status %d, standard error %q; want %d and a sentence", got, &p.err, exitStopped)
	}
}

func TestASecondInterruptEndsAtOnce(t *testing.T) {
	p := startTrial(t, "wait", "deaf")
	p.Process.Signal(os.Interrupt)
	if line, err := p.out.ReadString('\n'); line != "heard\n" {
		t.Fatalf("second line %q, error %v; want \"heard\"", line, err)
	}
	// The host's handling comes back at about the time of that line, so more interrupts may still be swallowed. The trial
	// is asked after each whether it still lives: a storm of them would test the host instead.
	for err := error(nil); err == nil; {
		p.Process.Signal(os.Interrupt)
		fmt.Fprintln(p.in)
		_, err = p.out.ReadString('\n')
	}
	p.Wait()
	if got := p.ProcessState.String(); got != "signal: interrupt" {
		t.Errorf("ended by %q, want by the interrupt", got)
	}
}
