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
func (e *env) read(path string) (data []byte, err error) {
	err = e.stream(path, func(r io.Reader) (err error) {
		data, err = io.ReadAll(r)
		return err
	})
	return data, err
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
