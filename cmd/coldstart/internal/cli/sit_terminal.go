package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/google/renameio/v2"

	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/debug/repl"
	"coldstart/loader/list"
)

// personSits tells whether lines come from a person at a terminal.
func (s *sitting) personSits() bool { return s.env.in == os.Stdin && repl.Interactive() }

// converse lets a person at the terminal have the desk.
func (s *sitting) converse(o *bringup.Office, b bringup.Start, jams []jam.Jam) error {
	if s.env.json {
		return &unusable{where: "--json", what: "a session at a terminal is no report", next: "name a --routine, or send the words through a pipe"}
	}
	path := historyPath()
	earlier, err := readHistory(path)
	if err != nil {
		s.warn("the history is not at hand", err)
	}
	t := repl.Open(earlier)
	defer t.Close()
	live := newLiveLamps(promptly{s.env})
	out := folding{live.beside(promptly{s.env})}
	s.busy = func(what string) { fmt.Fprintln(s.env.err, what) }
	if os.Getenv("TERM") != "dumb" { // there nothing can be drawn over
		s.live = live.show
	}
	desk, err := s.desk(o, b, jams, out, t.Stopped)
	if err != nil {
		return err
	}
	err = t.Run(s.opens(desk, out), out)
	if kept := keepHistory(path, t.History()); kept != nil {
		s.warn("the history was not kept", kept)
	}
	return err
}

// warn says what the session does without.
func (s *sitting) warn(what string, err error) {
	fmt.Fprintf(s.env.err, "%s: %s\n", what, list.Safe(cause(err)))
}

// historyPath is the file of lines typed earlier, as the XDG base directory specification 0.8 places it; "" where this
// host knows no home.
func historyPath() string {
	state := os.Getenv("XDG_STATE_HOME")
	if !filepath.IsAbs(state) { // the specification has relative paths ignored
		home, err := os.UserHomeDir()
		if err != nil {
			return ""
		}
		state = filepath.Join(home, ".local", "state")
	}
	return filepath.Join(state, "coldstart", "history")
}

// readHistory gives the lines typed earlier; none where there is no such file yet.
func readHistory(path string) ([]string, error) {
	if path == "" {
		return nil, nil
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return strings.Split(strings.TrimSuffix(string(data), "\n"), "\n"), err
}

// keepHistory writes the file anew, whole or not at all, for nobody else to read.
func keepHistory(path string, lines []string) error {
	if path == "" {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return renameio.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600)
}
