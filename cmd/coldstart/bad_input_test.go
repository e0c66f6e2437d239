package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// What a bad machine file may cost, whatever is in it.
const (
	mostTime   = 2 * time.Second
	mostMemory = 200_000 // kB
)

// sentence is how a refusal of a line of text looks.
var sentence = regexp.MustCompile(`^my\.machine:\d+:\d+: .`)

// TestBadMachineFiles gives the program machine files as they come from scans, other hosts and slips of the hand. Each is
// answered in a moment, with a plain sentence that says where, and never with a panic.
func TestBadMachineFiles(t *testing.T) {
	good, err := os.ReadFile("internal/school/office/brindlecote.machine")
	if err != nil {
		t.Fatal(err)
	}
	swap := func(old, new string) []byte {
		if !bytes.Contains(good, []byte(old)) {
			t.Fatalf("the good file has no %q", old)
		}
		return bytes.Replace(good, []byte(old), []byte(new), 1)
	}
	tests := []struct {
		name   string
		file   []byte
		status int
		want   string // in what is said
	}{
		{"as it is", good, 0, ""},
		{"missing last line end", bytes.TrimRight(good, "\n"), 0, ""},
		{"tab", swap("register  A, B", "register\tA, B"), 2, "my.machine:15:9: "},
		{"smart quotes", swap(`"Brindlecote 18"`, "“Brindlecote 18”"), 2, "my.machine:4:11: "},
		{"letter O for 0", swap("000000-007777", "0O0000-007777"), 2, "24:15: expected a number, found \"0O0000\""},
		{"letter l for 1", swap("ST1 010000", "ST1 0l0000"), 2, "24:34: expected a number, found \"0l0000\""},
		{"Cyrillic look-alike", swap("order     load r", "order     lo\u0430d r"), 2, ":96:13: "},
		{"CR line ends", bytes.ReplaceAll(good, []byte("\n"), []byte("\r")), 2, "my.machine:1:"},
		{"NUL", swap("saved: 15 bits", "saved: 15\x00 bits"), 2, "my.machine:17:20: "},
		{"a line of 2 MB", swap("# --- registers", "# "+strings.Repeat("x", 2<<20)), 2, "my.machine:12:1: "},
		{"a line of 2 MB of brackets", swap("A <- reason:saved", "A <- "+strings.Repeat("(", 2<<20)), 2, "my.machine:"},
		{"10,000 nested brackets", swap("r <- store[at]\n", "r <- "+strings.Repeat("(", 10_000)+"r"+strings.Repeat(")", 10_000)+"\n"), 2, "my.machine:100:"},
		{"10,000 nested brackets, a line each", swap("r <- store[at]\n", "r <- "+strings.Repeat("(\n", 10_000)+"r\n"), 2, "my.machine:100:"},
		{"10,000 nested ifs", swap("r <- store[at]\n", strings.Repeat("if r = 0\n", 10_000)), 2, "my.machine:"},
		{"photograph", photograph(300_000), 2, "my.machine:1:"},
		{"photograph of 20 MB", photograph(20 << 20), 2, "my.machine"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "my.machine"), tt.file, 0o666); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "my.words"), []byte("001000: 000000\n"), 0o666); err != nil {
				t.Fatal(err)
			}
			say(t, dir, tt.status, tt.want, "proof", "--machine", "my.machine")
			say(t, dir, tt.status, tt.want, "recite", "--machine", "my.machine", "--image", "my.words")
		})
	}
}

// photograph is what a picture looks like to a reader of text: the first bytes that all of one format have, then noise.
func photograph(size int) []byte {
	b := []byte("\xFF\xD8\xFF\xE0\x00\x10JFIF\x00\x01")
	for n := uint32(1); len(b) < size; n = n*1664525 + 1013904223 {
		b = append(b, byte(n>>24))
	}
	return b
}

// say runs the program and wants a status, a phrase in what it says, and that it took no more than it may.
func say(t *testing.T, dir string, status int, want string, args ...string) {
	t.Helper()
	c := exec.Command("coldstart", args...) // TestMain has put it on the path
	c.Dir = dir
	account := filepath.Join(t.TempDir(), "account")
	c.Env = append(os.Environ(), peakFile+"="+account)
	began := time.Now()
	out, _ := c.CombinedOutput()
	took := time.Since(began)
	first, _, _ := strings.Cut(string(out), "\n")
	what := fmt.Sprintf("coldstart %s: %.200s", strings.Join(args, " "), out)
	if got := c.ProcessState.ExitCode(); got != status {
		t.Errorf("exit status %d, want %d\n%s", got, status, what)
	}
	if !strings.Contains(string(out), want) {
		t.Errorf("it says nothing of %q\n%s", want, what)
	}
	if status == 2 && !sentence.MatchString(first) && !strings.HasPrefix(first, "coldstart: my.machine: ") {
		t.Errorf("the first line is %.200q, want my.machine:LINE:COLUMN: and a sentence", first)
	}
	if wrong := unfit(string(out)); wrong != "" {
		t.Errorf("it prints %s\n%s", wrong, what)
	}
	if testing.Short() {
		return // the race detector, run so, takes several times the time and memory of the program
	}
	if took > mostTime {
		t.Errorf("it took %v, want at most %v\n%s", took, mostTime, what)
	}
	if used := peak(t, account); used > mostMemory {
		t.Errorf("it took %d kB, want at most %d\n%s", used, mostMemory, what)
	}
}

// peak is the most memory in kB that a process had in use, by the account it left.
func peak(t *testing.T, account string) (used int) {
	t.Helper()
	text, err := os.ReadFile(account)
	if err != nil {
		t.Fatal(err)
	}
	_, line, _ := strings.Cut(string(text), "VmHWM:")
	if _, err := fmt.Sscan(line, &used); err != nil {
		t.Fatalf("no peak in %q", text)
	}
	return used
}
