package cli

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// abc is the digest of "abc": the first example of the Secure Hash Standard's published example values, from memory.
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func TestInputsAreDigested(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("a.tape", []byte("abc"), 0o444); err != nil {
		t.Fatal(err)
	}
	status, stdout, stderr := try("abc", "read", "a.tape", "-", "--json")
	if status != 0 || stderr != "" {
		t.Fatalf("status %d, standard error %q; want 0 and nothing", status, stderr)
	}
	want := `{
  "command": "read",
  "look_at": [],
  "to_settle": [],
  "inputs": [
    {
      "path": "a.tape",
      "sha256": "` + abc + `"
    },
    {
      "path": "-",
      "sha256": "` + abc + `"
    }
  ],
  "blocks": 0
}
`
	if diff := cmp.Diff(want, stdout); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestUnusableInputs(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, size := range map[string]int64{"tape1.img": 5, "empty.img": 0, "large.img": 2*megabyte + 1, "just.img": 2 * megabyte} {
		f, err := os.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Truncate(size); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	if err := os.Mkdir("folder", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo("pipe", 0o666); err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, stdin, path, want string }{
		{"missing", "", "tape.img", "tape.img: there is no such file; the nearest name there is tape1.img"},
		{"missing, none near", "", "zzzzzzzzzzzz", "zzzzzzzzzzzz: there is no such file; look at the name and the folder"},
		{"in a folder that is none", "", "nowhere/a", "nowhere/a: there is no such file; look at the name and the folder"},
		{"below a file", "", "tape1.img/a", "tape1.img/a: tape1.img is no folder; name the folder the file lies in"},
		{"empty", "", "empty.img", "empty.img: there is nothing in it; look whether it was copied whole"},
		{"folder", "", "folder", "folder: this is a folder, not a file; name a file, or copy what is wanted into one"},
		{"pipe, which must not be waited for", "", "pipe", "pipe: this is a pipe, not a file; name a file, or copy what is wanted into one"},
		{"device", "", os.DevNull, "/dev/null: this is a device, not a file; name a file, or copy what is wanted into one"},
		{"large", "", "large.img", "large.img: more than 2 MB, the largest file read; look whether it is the right file, then raise --file-limit"},
		{"at the limit", "", "just.img", ""},
		{"large standard input", strings.Repeat("x", 2*megabyte+1), "-", "-: more than 2 MB, the largest file read; look whether it is the right file, then raise --file-limit"},
		{"empty standard input", "", "-", "-: there is nothing in it; look whether it was copied whole"},
		{"unprintable name", "", "a\x1b[2Jb", `a\x1b[2Jb: there is no such file; look at the name and the folder`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			status, stdout, stderr := try(tt.stdin, "read", tt.path, "--file-limit", "2")
			if tt.want == "" {
				if status != 0 || stderr != "" {
					t.Errorf("%q: status %d, standard error %q; want it read", tt.path, status, stderr)
				}
				return
			}
			if status != exitUnusable || stdout != "" {
				t.Errorf("%q: status %d, standard output %q; want %d and nothing", tt.path, status, stdout, exitUnusable)
			}
			if diff := cmp.Diff("coldstart: "+tt.want+"\n", stderr); diff != "" {
				t.Errorf("%q (-want +got)\n%s", tt.path, diff)
			}
		})
	}
}

// A file that grows or shrinks while it is read is no evidence of anything.
func TestFileThatIsBeingWritten(t *testing.T) {
	name := filepath.Join(t.TempDir(), "tape1.img")
	if err := os.WriteFile(name, []byte("abcde"), 0o666); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	for read, want := range map[string]string{
		"abcde":   "",
		"abc":     "it had 5 bytes when it was opened, and 3 were read: something is writing it; wait until it is whole, or copy it first",
		"":        "it had 5 bytes when it was opened, and 0 were read",
		"abcdefg": "it had 5 bytes when it was opened, and 7 were read",
	} {
		e := &env{limit: megabyte}
		err := e.take(name, strings.NewReader(read), info, func(io.Reader) error { return nil })
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q read of 5 bytes: %v, want %q", read, err, want)
		}
		if (len(e.inputs) == 1) != (want == "") {
			t.Errorf("%q read of 5 bytes: %d inputs noted", read, len(e.inputs))
		}
	}
}

func TestNotAllowedToRead(t *testing.T) {
	err := unreadable("a", &os.PathError{Op: "open", Path: "a", Err: syscall.EACCES})
	if want := "a: you are not allowed to read it; ask its owner, or copy it as somebody who may"; err.Error() != want {
		t.Errorf("got %q, want %q", err, want)
	}
}

func TestFileLimit(t *testing.T) {
	for _, s := range []string{"0", "-1", "x", "1x", "1.5", "", "99999999999999999999", "1048577"} {
		if status, _, stderr := try("abc", "read", "-", "--file-limit", s); status != exitUnusable || !strings.Contains(stderr, "--file-limit") {
			t.Errorf("--file-limit %q: status %d, standard error %q; want it refused by name", s, status, stderr)
		}
	}
}

// TestJSONIsFitForATerminal prints what an enemy could put in a label; read back, it is the same.
func TestJSONIsFitForATerminal(t *testing.T) {
	const enemy = "\x1b]0;x\a \u009b2J \u202egood\u202c \u200b <b>&\" \U000e0041 \U0001f4fc ü"
	var b strings.Builder
	if err := writeJSON(&b, map[string]string{"label": enemy}); err != nil {
		t.Fatal(err)
	}
	for _, r := range b.String() {
		if strings.ContainsRune("\x1b\a\u009b\u202e\u202c\u200b\U000e0041", r) {
			t.Errorf("%U is printed: %q", r, b.String())
		}
	}
	if !strings.Contains(b.String(), `<b>&\" \udb40\udc41 📼 ü`) {
		t.Errorf("what can be printed is not: %s", b.String())
	}
	var back map[string]string
	if err := json.Unmarshal([]byte(b.String()), &back); err != nil || back["label"] != enemy {
		t.Errorf("read back as %q, %v; want %q", back["label"], err, enemy)
	}
}

func TestNeighbourLooksInTheSameFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "office.list"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	if got := neighbour(filepath.Join(dir, "ofice.list")); got != "office.list" {
		t.Errorf("got %q, want office.list", got)
	}
}
