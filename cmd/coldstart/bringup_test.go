package main

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"testing"
)

// TestTwentyRunsAlike runs the program twenty times, each in a process of its own, up to where the second stage begins: not a
// byte may differ, and it is one JSON object.
func TestTwentyRunsAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("the office is run again and again here")
	}
	var first []byte
	for i := range 20 {
		cmd := exec.Command("coldstart", "bringup", "--until", "P = 1000", "--json")
		cmd.Dir = t.TempDir()
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("run %d: %v", i, err)
		}
		if i == 0 {
			first = out
		}
		if !bytes.Equal(out, first) {
			t.Fatalf("run %d differs from the first:\n%s\nthe first:\n%s", i, out, first)
		}
	}
	var report struct {
		Command, Verdict string
		LookAt           []string `json:"look_at"`
		Inputs           []struct{ Path, SHA256 string }
	}
	if err := json.Unmarshal(first, &report); err != nil {
		t.Fatal(err)
	}
	if report.Command != "bringup" || report.Verdict != "GOOD" || report.LookAt == nil || len(report.Inputs) == 0 {
		t.Errorf("the report: %+v", report)
	}
}
