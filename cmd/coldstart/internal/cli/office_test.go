package cli

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/loader"
	"coldstart/memory"
)

// fresh is an env in an empty working folder, and what it says on standard error.
func fresh(t *testing.T) (*env, *bytes.Buffer) {
	t.Helper()
	t.Chdir(t.TempDir())
	said := new(bytes.Buffer)
	return &env{out: bufio.NewWriter(io.Discard), err: said, limit: defaultLimit, host: disk{}}, said
}

func TestWhoeverTeachesTakesTheTrainingOffice(t *testing.T) {
	e, said := fresh(t)
	o := &officeOption{env: e, fallback: teaches}
	office, err := o.open()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := o.code(); err != nil {
		t.Error(err)
	}
	if office.Name != "Wendle Ferry" || strings.Count(said.String(), "using the training office") != 1 {
		t.Errorf("office %q, standard error %q; want the training office, said once", office.Name, said)
	}
	seen := map[string]int{}
	for _, in := range e.inputs {
		seen[in.Path]++
	}
	for _, file := range []string{"office.list", "brindlecote.machine", "gp1.tape", "starter.words"} {
		if path := training + "/" + file; seen[path] != 1 {
			t.Errorf("%s is %d times an input, want once: %v", path, seen[path], seen)
		}
	}
}

// A verdict about somebody's machine never rests on the training office.
func TestWhoeverDecidesRefusesIt(t *testing.T) {
	e, said := fresh(t)
	_, err := (&officeOption{env: e, fallback: decides}).open()
	want := "no office.list here, and this is not for the training office; name the office with --office FOLDER"
	if err == nil || err.Error() != want || said.Len() > 0 || len(e.inputs) > 0 {
		t.Errorf("error %v, standard error %q, inputs %v\nwant %s", err, said, e.inputs, want)
	}
}

// What lies in the working folder is the office, however broken: nothing else is taken in its place.
func TestAnOfficeHereIsNeverPassedOver(t *testing.T) {
	for name, make := range map[string]func() error{
		"empty":         func() error { return os.WriteFile(school.List, nil, 0o666) },
		"folder":        func() error { return os.Mkdir(school.List, 0o777) },
		"dangling link": func() error { return os.Symlink("nowhere", school.List) },
		"crooked":       func() error { return os.WriteFile(school.List, []byte("ofice \"X\"\n"), 0o666) },
	} {
		t.Run(name, func(t *testing.T) {
			e, said := fresh(t)
			if err := make(); err != nil {
				t.Fatal(err)
			}
			_, err := (&officeOption{env: e, fallback: teaches}).open()
			if err == nil || !strings.Contains(err.Error(), school.List) || said.Len() > 0 {
				t.Errorf("error %v, standard error %q; want an error about %s and no fall-back", err, said, school.List)
			}
		})
	}
}

// Errors in files of an office elsewhere carry a path that can be opened from here.
func TestErrorsAreFoundFromHere(t *testing.T) {
	e, _ := fresh(t)
	os.MkdirAll("a/b", 0o777)
	os.WriteFile("a/b/office.list", []byte("office \"X\"\nmachine m\nlayuot x\n"), 0o666)
	_, err := (&officeOption{env: e, folder: "a/b"}).open()
	if err == nil || !strings.HasPrefix(err.Error(), filepath.FromSlash("a/b/office.list:3:1: ")) {
		t.Errorf("got %v, want a place in a/b/office.list", err)
	}
	var u *unusable
	if _, err := (&officeOption{env: e, folder: "a/c"}).open(); !errors.As(err, &u) || u.where != filepath.FromSlash("a/c/office.list") {
		t.Errorf("got %v, want the list named that is not there", err)
	}
}

// TestSchoolWritesAllOrNothing fails the unpacking at every step, and wants the folder whole or gone.
func TestSchoolWritesAllOrNothing(t *testing.T) {
	contents, err := school.Contents()
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; ; n += 7 { // a draft takes several steps, so all kinds come up
		e, _ := fresh(t)
		h := &failing{at: n}
		e.host = h
		err := e.school(&schoolReport{Folder: "mine"})
		if h.n < n {
			if err != nil || n == 1 {
				t.Errorf("%d steps, and error %v; want many, and none", h.n, err)
			}
			break
		}
		if err == nil {
			t.Fatalf("step %d of the unpacking failed (%v), and nothing was said", n, h.said)
		}
		entries, _ := os.ReadDir("mine")
		if durable := new(*undurable); len(entries) != 0 && !(errors.As(err, durable) && len(entries) == len(contents)) {
			t.Errorf("step %d (%v) failed, and %d of %d files are there", n, h.said, len(entries), len(contents))
		}
	}
}

func TestShellWord(t *testing.T) {
	for word, want := range map[string]string{
		"mine": "mine", "../a_b-c.d": "../a_b-c.d", "": "''", "my office": "'my office'",
		"it's": `'it'\''s'`, "$(halt)": "'$(halt)'", "ä": "'ä'",
	} {
		if got := shellWord(word); got != want {
			t.Errorf("shellWord(%q) = %s, want %s", word, got, want)
		}
	}
}

func TestRuns(t *testing.T) {
	g := memory.Geometry{Style: memory.Style{Radix: 16}, Width: 8, AddrBits: 8, Areas: []memory.Area{{Name: "S", First: 0, Last: 0xFF, Width: 8}}}
	tests := []struct {
		name  string
		words []memory.Addr
		want  string
	}{
		{"no word", nil, "nothing"},
		{"one word", []memory.Addr{0}, "00"},
		{"the last two", []memory.Addr{0xFF, 0xFE}, "FE-FF"},
		{"many", []memory.Addr{0, 2, 4, 6, 8, 9, 11, 13, 15}, "00, 02, 04, 06, 08-09, 0B, and 2 more runs"},
	}
	for _, tt := range tests {
		image := memory.NewImage(g)
		for _, a := range tt.words {
			if err := image.Set(a, 1, memory.Origin{}); err != nil {
				t.Fatal(err)
			}
		}
		if got := runs(&g, wordRuns(image)); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
	if diff := cmp.Diff("10-1F", span(&g, loader.Span{First: 0x10, Last: 0x1F})); diff != "" {
		t.Error(diff)
	}
}
