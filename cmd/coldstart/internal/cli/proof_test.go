package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestProofOfTheMistypedPage is the story of a volunteer who typed three slips: two are in the file for anybody to see, and
// when they are put right, only the training office's program can show the third.
func TestProofOfTheMistypedPage(t *testing.T) {
	const right, mistyped = "../school/office/brindlecote.machine", "../school/stories/3/brindlecote.machine"
	dir := t.TempDir()
	office := filepath.Join(dir, "office")
	if out, status := carryOut("school", office); status != exitGood {
		t.Fatalf("school: exit status %d\n%s", status, out)
	}
	mine := filepath.Join(dir, "mine.machine")
	typed, master := load(t, mistyped), load(t, right)
	steps := []struct {
		name   string
		mend   []int // lines put right before it
		args   []string
		status int
		want   []string // in what is printed
	}{
		{"alone", nil, nil, exitTrouble, []string{
			" 274:28 p 3-14 wrong: ", " 327:1 p 3-17 wrong: orders jump-minus (line 321) and jump-plus both read word 606000", "Verdict: TROUBLE"}},
		{"alone, against an office", nil, []string{"--office", office}, exitTrouble, []string{" 274:28 p 3-14 wrong: "}},
		{"two put right", []int{274, 322}, nil, exitGood, []string{"Verdict: GOOD"}},
		{"against the image", nil, []string{"--office", office}, exitTrouble, []string{
			"Verdict: TROUBLE", "line 290, page 3-15: link, 77 of 374 jumps end where no order", "check the sign"}},
		{"all put right", []int{292, 294}, []string{"--office", office}, exitGood, []string{"Verdict: GOOD"}},
	}
	for _, step := range steps {
		for _, line := range step.mend {
			typed[line-1] = master[line-1]
		}
		if err := os.WriteFile(mine, []byte(strings.Join(typed, "\n")), 0o666); err != nil {
			t.Fatal(err)
		}
		out, status := carryOut(append([]string{"proof", "--machine", mine}, step.args...)...)
		if status != step.status {
			t.Errorf("%s: exit status %d, want %d\n%s", step.name, status, step.status, out)
		}
		for _, want := range step.want {
			if !strings.Contains(blanks.ReplaceAllString(out, " "), want) {
				t.Errorf("%s: it does not print %q\n%s", step.name, want, out)
			}
		}
		if marks := strings.Count(out, "<- look here"); step.status == exitGood && marks > 0 {
			t.Errorf("%s: %d lines are spoken against, want none\n%s", step.name, marks, out)
		}
	}
}

// blanks are the blanks and line ends that folding puts at other places.
var blanks = regexp.MustCompile(`\s+`)

// carryOut runs the program and gives all that it prints.
func carryOut(args ...string) (out string, status int) {
	var b bytes.Buffer
	status = Run(args, strings.NewReader(""), &b, &b)
	return b.String(), status
}

// load reads the lines of a file.
func load(t *testing.T, name string) []string {
	t.Helper()
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(src), "\n")
}
