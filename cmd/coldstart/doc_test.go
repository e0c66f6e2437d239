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
	"unicode"

	"github.com/google/go-cmp/cmp"
)

// documents are the pages whose sessions are run.
var documents = []string{"../../README.md", "../../DEVELOPERS.md"}

// A session is what a document shows of one command: the lines typed after "$ ", and what came of them.
type session struct {
	line  int    // in the document, of the command
	typed string // without "$ "; for a file the reader is told to save: its name
	want  string // standard output, where a line "..." stands for any number of lines; or what is in the file
	file  bool
}

// TestDocuments runs every "$ coldstart ..." in the documents, in one folder a document, and compares what it prints.
func TestDocuments(t *testing.T) {
	if testing.Short() {
		t.Skip("the office is run again and again here")
	}
	for _, name := range documents {
		t.Run(filepath.Base(name), func(t *testing.T) {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			sessions := readSessions(string(text))
			if len(sessions) == 0 {
				t.Fatal("no block starts with $ coldstart; a page without one real session teaches nothing")
			}
			folder := t.TempDir()
			for _, s := range sessions {
				if s.file {
					if err := os.WriteFile(filepath.Join(folder, s.typed), []byte(s.want), 0o666); err != nil {
						t.Fatal(err)
					}
					continue
				}
				got := runSession(t, folder, s.typed, atPrompts(s.want))
				if matches(s.want, got) {
					continue
				}
				if update {
					text = bytes.Replace(text, []byte("$ "+s.typed+"\n"+s.want), []byte("$ "+s.typed+"\n"+got), 1)
					continue
				}
				t.Errorf("line %d: $ %s\n(-page +printed)\n%s", s.line, s.typed, cmp.Diff(s.want, got))
			}
			if update {
				if err := os.WriteFile(name, text, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// prompt is a line of the desk with words typed behind its prompt.
var prompt = regexp.MustCompile(`(?m)^\S+ \S+ \S+> (.+)$`)

// atPrompts gives what a page shows as typed at the prompts of the desk, a line each.
func atPrompts(page string) string {
	var typed strings.Builder
	for _, m := range prompt.FindAllStringSubmatch(page, -1) {
		typed.WriteString(m[1] + "\n")
	}
	return typed.String()
}

// runSession runs one command line by the shell, its standard input as given, and gives its standard output.
func runSession(t *testing.T, folder, typed, input string) string {
	t.Helper()
	cmd := exec.Command("sh", "-c", typed)
	cmd.Stdin = strings.NewReader(input)
	cmd.Dir = folder
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	err := cmd.Run()
	// A verdict other than GOOD is a fine thing to show; anything above is a page that misleads.
	if code := cmd.ProcessState.ExitCode(); code != 0 && code != 1 && code != 3 {
		t.Errorf("$ %s: %v\n%s", typed, err, complaint.String())
	}
	if wrong := unfit(out.String()); wrong != "" {
		t.Errorf("$ %s prints %s", typed, wrong)
	}
	return out.String()
}

// saved is a line that tells the reader to save the block after it as a file.
var saved = regexp.MustCompile("(?i)save .*`([a-z.-]+)`:$")

// readSessions finds the commands in the fenced blocks that start with "$ coldstart", and the files to be saved.
func readSessions(text string) []session {
	var all []session
	fenced, ours := false, false
	name := "" // of the file that the next block is to be saved as
	for i, line := range strings.SplitAfter(text, "\n") {
		switch {
		case strings.HasPrefix(line, "```"):
			fenced, ours = !fenced, false
			if fenced && name != "" {
				all = append(all, session{line: i + 1, typed: name, file: true})
				ours, name = true, ""
			}
		case !fenced:
			if m := saved.FindStringSubmatch(strings.TrimSpace(line)); m != nil {
				name = m[1]
			}
		case strings.HasPrefix(line, "$ "):
			typed := strings.TrimSpace(line[2:])
			if ours = strings.HasPrefix(typed, "coldstart"); ours {
				all = append(all, session{line: i + 1, typed: typed})
			}
		case ours:
			all[len(all)-1].want += line
		}
	}
	return all
}

// matches compares a page with what was printed; a line "..." in the page stands for any lines.
func matches(page, printed string) bool {
	var pattern strings.Builder
	for line := range strings.Lines(page) {
		if line == "...\n" {
			pattern.WriteString(`(?:.*\n)*`)
		} else {
			pattern.WriteString(regexp.QuoteMeta(line))
		}
	}
	return regexp.MustCompile(`\A` + pattern.String() + `\z`).MatchString(printed)
}

// unfit names the first thing in a text that has no business on paper or before a volunteer; "" where there is none.
func unfit(text string) string {
	if strings.Contains(text, "goroutine ") && strings.Contains(text, ".go:") {
		return "a trace of the program"
	}
	for i, r := range text {
		if r != '\n' && !unicode.IsPrint(r) {
			return fmt.Sprintf("%U at byte %d", r, i)
		}
	}
	return ""
}

func TestReadSessions(t *testing.T) {
	const page = "Save it as `a.b`:\n\n```\nx\n```\nText.\n\n```\n$ coldstart a 'b c'\none\n...\n$ ls\nx\n$ coldstart d\n```\n```\n$ go test ./...\nok\n```\n$ coldstart not-in-a-block\n"
	want := []session{{3, "a.b", "x\n", true}, {9, "coldstart a 'b c'", "one\n...\n", false}, {14, "coldstart d", "", false}}
	if diff := cmp.Diff(want, readSessions(page), cmp.AllowUnexported(session{})); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestMatches(t *testing.T) {
	tests := []struct {
		name, page, printed string
		want                bool
	}{
		{"same", "a\nb\n", "a\nb\n", true},
		{"nothing", "", "", true},
		{"nothing wanted", "", "a\n", false},
		{"one line more", "a\n", "a\nb\n", false},
		{"one line less", "a\nb\n", "a\n", false},
		{"gap", "a\n...\nd\n", "a\nb\nc\nd\n", true},
		{"gap of no lines", "a\n...\nb\n", "a\nb\n", true},
		{"gap at the end", "a\n...\n", "a\nb\n", true},
		{"gap at the start", "...\nb\n", "a\nb\n", true},
		{"gap, wrong end", "a\n...\nd\n", "a\nb\nc\n", false},
		{"half a line after a gap", "a\n...\nd\n", "a\nbd\n", false},
		{"end comes twice", "a\n...\nd\n", "a\nd\nb\nd\n", true},
		{"two gaps", "a\n...\nc\n...\ne\n", "a\nb\nc\nd\ne\n", true},
		{"two gaps, wrong order", "a\n...\nd\n...\nb\n", "a\nb\nc\nd\n", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := matches(tt.page, tt.printed); got != tt.want {
				t.Errorf("matches(%q, %q) = %v, want %v", tt.page, tt.printed, got, tt.want)
			}
		})
	}
}
