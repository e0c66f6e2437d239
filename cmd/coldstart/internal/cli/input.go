package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"github.com/spf13/cobra"

	"coldstart/loader/list"
)

// megabyte is the unit the limit is given in, in bytes.
const megabyte = 1_000_000

// defaultLimit is the size in bytes above which an input file is refused unless the command is told otherwise.
const defaultLimit = 64 * megabyte

// An input is a file a report rests on.
type input struct {
	Path   string `json:"path"`   // as typed; "-" is standard input
	SHA256 string `json:"sha256"` // of the bytes as read, in hexadecimal

	file fs.FileInfo // nil where it is no file of this host
}

// readsFiles gives a command that reads files the option that raises the limit.
func (e *env) readsFiles(c *cobra.Command) {
	c.Flags().Var(&fileLimit{env: e}, "file-limit", fmt.Sprintf("largest input file to read, in `MB` (default %d)", defaultLimit/megabyte))
}

// A fileLimit is the value of that option; it keeps what was typed, for commands that are to be typed again.
type fileLimit struct {
	env  *env
	text string
}

// Set takes the limit.
func (l *fileLimit) Set(s string) error {
	var mb int64
	if _, err := fmt.Sscanf(s, "%d", &mb); err != nil || fmt.Sprint(mb) != s || mb < 1 || mb > 1<<20 {
		return fmt.Errorf("want a whole number from 1 to %d", 1<<20)
	}
	l.env.limit, l.text = mb*megabyte, s
	return nil
}

// String is the limit as typed, Type what it counts.
func (l *fileLimit) String() string { return l.text }
func (l *fileLimit) Type() string   { return "MB" }

// read gives what is in the file, opened for reading only, and notes it as an input. The path "-" is standard input.
// Only plain files are read: a pipe may never end, and opening a tape drive moves the tape.
func (e *env) read(path string) ([]byte, error) {
	if path == "-" {
		return e.take(path, e.in, nil)
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	if !info.Mode().IsRegular() {
		return nil, &unusable{where: path, what: "this is " + kind(info.Mode()) + ", not a file", next: "name a file, or copy what is wanted into one"}
	}
	if info.Size() > e.limit {
		return nil, e.tooLarge(path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer f.Close()
	return e.take(path, f, info)
}

// take reads to the end or the limit and notes the input.
func (e *env) take(path string, r io.Reader, info fs.FileInfo) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, e.limit+1))
	switch {
	case err != nil:
		return nil, unreadable(path, err)
	case int64(len(data)) > e.limit:
		return nil, e.tooLarge(path)
	case info != nil && info.Size() > 0 && info.Size() != int64(len(data)):
		return nil, &unusable{where: path, what: fmt.Sprintf("it had %d bytes when it was opened, and %d were read: something is writing it", info.Size(), len(data)),
			next: "wait until it is whole, or copy it first"}
	case len(data) == 0:
		return nil, &unusable{where: path, what: "there is nothing in it", next: "look whether it was copied whole"}
	}
	e.note(path, data, info)
	return data, nil
}

// note records what a report rests on; info is nil for what is built in.
func (e *env) note(path string, data []byte, info fs.FileInfo) {
	e.inputs = append(e.inputs, input{Path: path, SHA256: digest(data), file: info})
}

// digest is the SHA-256 of data, in hexadecimal.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// tooLarge refuses a file above the limit.
func (e *env) tooLarge(path string) error {
	return &unusable{where: path, what: fmt.Sprintf("more than %d MB, the largest file read", e.limit/megabyte),
		next: "look whether it is the right file, then raise --file-limit"}
}

// unreadable puts what the host said into a sentence.
func unreadable(path string, err error) error {
	u := &unusable{where: path, cause: err}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		u.what, u.next = "there is no such file", "look at the name and the folder"
		if to, err := os.Readlink(path); err == nil {
			u.what, u.next = "this is a link to "+to+", and there is no such file", "name the file itself"
		} else if near := neighbour(path); near != "" {
			u.next = "the nearest name there is " + near
		}
	case errors.Is(err, syscall.ENOTDIR):
		u.what, u.next = fmt.Sprintf("%s is no folder", filepath.Dir(path)), "name the folder the file lies in"
	case errors.Is(err, fs.ErrPermission):
		u.what, u.next = "you are not allowed to read it", "ask its owner, or copy it as somebody who may"
	default:
		u.what, u.next = "reading failed: "+cause(err), "read it again, or from another copy"
	}
	return u
}

// neighbour is the name in the same folder most like the one typed, "" where none is near.
func neighbour(path string) string {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return ""
	}
	var all []string
	for _, entry := range entries {
		all = append(all, entry.Name())
	}
	return list.Nearest(filepath.Base(path), all)
}

// kind names what is not a plain file.
func kind(m fs.FileMode) string {
	switch {
	case m.IsDir():
		return "a folder"
	case m&fs.ModeNamedPipe != 0:
		return "a pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	}
	return "a device"
}
