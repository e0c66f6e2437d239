package school_test

import (
	"bytes"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/debug/bringup"
)

// open gives a file of the training office.
func open(name string) ([]byte, error) { return fs.ReadFile(school.Files(), name) }

// The office opens with nothing but its own files, and everything in it reads without fault.
func TestTheOfficeIsWhole(t *testing.T) {
	office, err := bringup.Open(open, school.List)
	if err != nil {
		t.Fatal(err)
	}
	if len(office.Tapes) == 0 || office.Plan == nil || len(office.Areas) == 0 || office.Wired.Len() == 0 {
		t.Errorf("%d tapes, plan %v, %d areas, %d wired words: want some of each", len(office.Tapes), office.Plan, len(office.Areas), office.Wired.Len())
	}
	for _, tape := range office.Tapes {
		if err := tape.Recording.Err(); err != nil {
			t.Errorf("recording %s: %v", tape.Label, err)
		}
	}
}

// Every file is in the contents, once, with a purpose that fits a table.
func TestContents(t *testing.T) {
	all, err := school.Contents()
	if err != nil {
		t.Fatal(err)
	}
	names, err := fs.Glob(school.Files(), "*")
	if err != nil || len(names) != len(all) {
		t.Errorf("%d files in the contents, %d in the office (%v)", len(all), len(names), err)
	}
	for _, f := range all {
		if src, err := open(f.Name); err != nil || !bytes.Equal(src, f.Data) {
			t.Errorf("%s: the contents hold another file (%v)", f.Name, err)
		}
	}
	fits(t, all)
	if first := all[0].Name; first != school.List {
		t.Errorf("the contents begin with %s, want %s", first, school.List)
	}
}

// fits tells whether files have names of their own, something in them, and a purpose that fits a table.
func fits(t *testing.T, all []school.File) {
	t.Helper()
	seen := map[string]bool{}
	for _, f := range all {
		if seen[f.Name] || len(f.Data) == 0 {
			t.Errorf("%s stands twice, or is empty", f.Name)
		}
		seen[f.Name] = true
		if len(f.Purpose) < 10 || len(f.Purpose) > 250 || strings.HasSuffix(f.Purpose, ".") {
			t.Errorf("%s: purpose %q does not fit a table; begin the file with a remark of one short sentence", f.Name, f.Purpose)
		}
	}
}

// Every story opens as an office of its own, without order text, and has a text and a sealed answer that fit a screen.
func TestStories(t *testing.T) {
	all, err := school.Stories()
	if err != nil || len(all) != 5 {
		t.Fatalf("%d stories (%v), want 5", len(all), err)
	}
	for i, s := range all {
		answer, err := school.Answer(s.Number)
		if s.Number != []int{1, 2, 3, 4, 5}[i] || err != nil || answer == "" || s.Files[0].Name != "story.txt" {
			t.Errorf("story %d, answer %q (%v), first file %s", s.Number, answer, err, s.Files[0].Name)
		}
		fits(t, s.Files)
		for name, text := range map[string]string{"text": s.Text, "answer": answer} {
			for line := range strings.Lines(text) {
				if len(line) > 81 {
					t.Errorf("story %d: line of its %s is too long: %s", s.Number, name, line)
				}
			}
		}
		for _, f := range s.Files {
			if strings.HasSuffix(f.Name, ".order") || strings.HasSuffix(f.Name, ".sealed") {
				t.Errorf("story %d gives %s away", s.Number, f.Name)
			}
		}
		_, err = bringup.Open(func(name string) ([]byte, error) {
			if at := slices.IndexFunc(s.Files, func(f school.File) bool { return f.Name == name }); at >= 0 {
				return s.Files[at].Data, nil
			}
			return nil, fs.ErrNotExist
		}, school.List)
		if opens := s.Number != 3; opens != (err == nil) {
			t.Errorf("story %d opens: %v; a mistyped machine file does not, and the others do", s.Number, err)
		}
	}
	if _, err := school.Answer(9); err == nil {
		t.Error("a story that there is none of has an answer")
	}
}
