package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestHistoryPath(t *testing.T) {
	tests := []struct{ name, state, home, want string }{
		{"state folder", "/var/state", "/home/kit", "/var/state/coldstart/history"},
		{"none named", "", "/home/kit", "/home/kit/.local/state/coldstart/history"},
		{"a relative one is ignored", "state", "/home/kit", "/home/kit/.local/state/coldstart/history"},
		{"no home", "", "", ""},
	}
	for _, tt := range tests {
		t.Setenv("XDG_STATE_HOME", tt.state)
		t.Setenv("HOME", tt.home)
		if got := historyPath(); got != tt.want {
			t.Errorf("%s: XDG_STATE_HOME=%q HOME=%q: got %q, want %q", tt.name, tt.state, tt.home, got, tt.want)
		}
	}
}

func TestHistoryIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "coldstart", "history")
	if lines, err := readHistory(path); err != nil || lines != nil {
		t.Errorf("before the first session: %q, %v; want nothing", lines, err)
	}
	want := []string{"take 5", "roll until chase"}
	if err := keepHistory(path, want); err != nil {
		t.Fatal(err)
	}
	got, err := readHistory(path)
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("read back: %v (-want +got)\n%s", err, diff)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v; want it readable by its owner alone", info.Mode(), err)
	}
	if err := keepHistory(filepath.Join(path, "coldstart", "history"), want); err == nil {
		t.Error("kept below a plain file; want an error")
	}
	if err := keepHistory("", want); err != nil {
		t.Errorf("with no home: %v; want a session without history", err)
	}
}
