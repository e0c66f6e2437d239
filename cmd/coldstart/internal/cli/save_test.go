package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// errPulled is what a pulled cable looks like.
var errPulled = errors.New("cable pulled")

// A failing host fails at its n-th step.
type failing struct {
	at     int
	sticky bool // and at every one after it
	late   bool // only after the step has been done
	n      int
	said   []string // the steps that failed
}

func (f *failing) do(step, path string, act func() error) error {
	f.n++
	if f.n != f.at && (!f.sticky || f.n < f.at) {
		return act()
	}
	f.said = append(f.said, step)
	if f.late {
		act()
	}
	return &fs.PathError{Op: step, Path: path, Err: errPulled}
}

const (
	older = "older bytes"
	newer = "newer bytes, and more of them"
)

// saves are the kinds of result; each starts in an empty folder.
var saves = []struct {
	name  string
	have  []string // files that hold older before
	write func(e *env) error
	want  []string // files that hold newer when nothing fails
}{
	{"new file", nil, func(e *env) error { return e.save(false, output{"a", []byte(newer)}) }, []string{"a"}},
	{"replaced file", []string{"a"}, func(e *env) error { return e.save(true, output{"a", []byte(newer)}) }, []string{"a"}},
	{"two new files", nil, func(e *env) error {
		return e.save(false, output{"a", []byte(newer)}, output{"b", []byte(newer)})
	}, []string{"a", "b"}},
	{"one new, one replaced", []string{"a"}, func(e *env) error {
		return e.save(true, output{"a", []byte(newer)}, output{"b", []byte(newer)})
	}, []string{"a", "b"}},
	{"new folder", nil, func(e *env) error {
		return e.saveFolder("office", output{"a", []byte(newer)}, output{"b", []byte(newer)})
	}, []string{"office", "office/a", "office/b"}},
}

// TestEveryStepOfAWriteMayFail fails each step of each kind of result, before or after the step is done, once or from then
// on: every file is old or new and whole, what is left over is named, and what is said has path and cause.
func TestEveryStepOfAWriteMayFail(t *testing.T) {
	for _, s := range saves {
		for _, f := range []failing{{}, {sticky: true}, {late: true}, {late: true, sticky: true}} {
			t.Run(fmt.Sprintf("%s/sticky=%v,late=%v", s.name, f.sticky, f.late), func(t *testing.T) {
				steps := 0
				for n := 1; ; n++ {
					h := f
					h.at = n
					t.Chdir(t.TempDir())
					for _, name := range s.have {
						os.WriteFile(name, []byte(older), 0o666)
					}
					err := s.write(&env{host: &h, err: io.Discard})
					if h.n < n {
						if err != nil {
							t.Fatalf("nothing failed, but: %v", err)
						}
						checkTree(t, s.want, nil, "")
						break
					}
					steps = n
					if err == nil {
						t.Fatalf("step %d failed (%v), and nothing was said", n, h.said)
					}
					checkRefusal(t, h.said[0], err)
					checkTree(t, s.want, s.have, err.Error())
					if !f.sticky && !f.late && h.said[0] != "sync folder" {
						checkUntouched(t, s.have)
					}
				}
				t.Logf("%d steps", steps)
				if steps < 6 {
					t.Errorf("only %d steps go through the host: some call to the disk does not", steps)
				}
			})
		}
	}
}

// checkRefusal wants a sentence with path and cause.
func checkRefusal(t *testing.T, step string, err error) {
	t.Helper()
	var u *unusable
	var lasting *undurable
	if errors.As(err, &lasting) {
		u = &lasting.unusable
	} else if !errors.As(err, &u) {
		t.Errorf("%s failed: %v is a %T, want an unusable", step, err, err)
		return
	}
	if u.where == "" || u.next == "" || !strings.Contains(err.Error(), errPulled.Error()) || !errors.Is(err, errPulled) {
		t.Errorf("%s failed: %q lacks path, cause, or what next", step, err)
	}
	if lasting != nil != (step == "sync folder") {
		t.Errorf("%s failed: %q tells the wrong story of what is written", step, err)
	}
}

// checkTree wants whole files only: the wanted ones, new where they exist, or old where they stood before. Anything else
// must be named in what was said; with said "" everything wanted must be there.
func checkTree(t *testing.T, want, had []string, said string) {
	t.Helper()
	known := map[string]bool{}
	for _, name := range want {
		known[name] = true
	}
	found := map[string]bool{}
	filepath.WalkDir(".", func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			t.Fatal(err)
		}
		found[path] = true
		switch {
		case path == "." || known[path] && e.IsDir():
		case !known[path]:
			if !strings.Contains(said, path) {
				t.Errorf("%s is left over and not named in %q", path, said)
			}
		default:
			data, _ := os.ReadFile(path)
			if string(data) != newer && string(data) != older {
				t.Errorf("%s holds %q, neither old nor new", path, data)
			}
		}
		return nil
	})
	for _, name := range want {
		if said == "" && !found[name] {
			t.Errorf("%s is missing", name)
		}
	}
	for _, name := range had {
		if !found[name] {
			t.Errorf("%s was there and is gone", name)
		}
	}
}

// checkUntouched wants the folder as it was: the files that stood there, old, and nothing else.
func checkUntouched(t *testing.T, had []string) {
	t.Helper()
	checkTree(t, had, had, "")
	for _, name := range had {
		if data, err := os.ReadFile(name); string(data) != older {
			t.Errorf("%s holds %q (%v), want it old: none of the result was to be written", name, data, err)
		}
	}
}

// TestADiskThatLies changes a byte of the draft before it is read back.
func TestADiskThatLies(t *testing.T) {
	t.Chdir(t.TempDir())
	err := (&env{host: liar{}}).save(false, output{"a", []byte(newer)})
	if err == nil || !strings.Contains(err.Error(), "a: not written: the disk gave back other bytes") {
		t.Errorf("got %v, want it noticed", err)
	}
	checkUntouched(t, nil)
}

// A liar is a host whose disk changes what was written.
type liar struct{}

func (liar) do(step, path string, act func() error) error {
	if step == "read draft back" {
		os.WriteFile(path, []byte(strings.ToUpper(newer)), 0o666)
	}
	return act()
}

func TestTargetsThatAreNotOurs(t *testing.T) {
	t.Chdir(t.TempDir())
	os.WriteFile("old", []byte(older), 0o666)
	os.WriteFile("in", []byte(older), 0o666)
	os.Mkdir("folder", 0o777)
	os.WriteFile("folder/x", []byte(older), 0o666)
	os.Symlink("old", "link")
	os.Symlink("nowhere", "dangling")
	os.Link("in", "in2")
	e := &env{host: disk{}, limit: defaultLimit}
	if _, err := e.read("in"); err != nil {
		t.Fatal(err)
	}
	one := func(path string, replace bool) error { return e.save(replace, output{path, []byte(newer)}) }
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"standard output", one("-", false), "-: this names no file; name one, or leave the option out where the command prints without it"},
		{"existing", one("old", false), "old: there is such a file already; name a new one, or move that one away"},
		{"link", one("link", true), "link: this is a link to old, and a result would take the place of the link; name another file for the result"},
		{"dangling link", one("dangling", false), "dangling: this is a link to nowhere, and a result would take the place of the link; name another file for the result"},
		{"folder", one("folder", true), "folder: this is a folder, not a file; name another file for the result"},
		{"device", one(os.DevNull, true), "/dev/null: this is a device, not a file; name another file for the result"},
		{"input", one("in", true), "in: this is an input of the same command, and inputs are never touched; name another file for the result"},
		{"input by another path", one("folder/../in", true), "folder/../in: this is an input of the same command, and inputs are never touched; name another file for the result"},
		{"input by another name", one("in2", true), "in2: this is an input of the same command, and inputs are never touched; name another file for the result"},
		{"no folder", one("nowhere/a", false), "nowhere/a: not written: no such file or directory; look at the name and the folder, and run this again"},
		{"one name twice", e.save(false, output{"a", nil}, output{"./a", nil}), "./a: two files of one result cannot have one name; name them apart"},
		{"second refused", e.save(false, output{"a", nil}, output{"old", nil}), "old: there is such a file already; name a new one, or move that one away"},
		{"folder not empty", e.saveFolder("folder", output{"a", nil}), "folder: this folder is not empty; name a new one"},
		{"folder that is a file", e.saveFolder("old", output{"a", nil}), "old: not written: not a directory; look at the name and the folder, and run this again"},
	}
	for _, tt := range tests {
		if tt.err == nil || tt.err.Error() != tt.want {
			t.Errorf("%s:\ngot  %v\nwant %s", tt.name, tt.err, tt.want)
		}
	}
	for _, name := range []string{"old", "in", "link", "folder/x"} {
		if data, err := os.ReadFile(name); string(data) != older {
			t.Errorf("%s holds %q (%v), want it untouched", name, data, err)
		}
	}
	if _, err := os.Lstat("a"); err == nil {
		t.Error("a was written by a refused command")
	}
}
