package school_test

import (
	"io/fs"
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
	seen := map[string]bool{}
	for _, f := range all {
		src, err := open(f.Name)
		if err != nil || len(src) != f.Size || f.Size == 0 {
			t.Errorf("%s: %d bytes (%v), contents say %d", f.Name, len(src), err, f.Size)
		}
		if seen[f.Name] {
			t.Errorf("%s stands twice", f.Name)
		}
		seen[f.Name] = true
		if len(f.Purpose) < 10 || len(f.Purpose) > 250 || strings.HasSuffix(f.Purpose, ".") {
			t.Errorf("%s: purpose %q does not fit a table; begin the file with a remark of one short sentence", f.Name, f.Purpose)
		}
	}
	if first := all[0].Name; first != school.List {
		t.Errorf("the contents begin with %s, want %s", first, school.List)
	}
}
