package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
)

// An output is one file of a result.
type output struct {
	path string
	data []byte
}

// save writes every file of a result, or none as far as the host allows. It refuses to touch an input, a link, or
// anything but a plain file; an existing file it replaces only when asked to. No file is ever half written: each is drafted
// beside its target, read back and compared, and only when all drafts stand are they put in place.
func (e *env) save(replace bool, files ...output) error {
	for i, f := range files {
		if err := e.mayWrite(f.path, replace); err != nil {
			return err
		}
		if slices.ContainsFunc(files[:i], func(o output) bool { return filepath.Clean(o.path) == filepath.Clean(f.path) }) {
			return &unusable{where: f.path, what: "two files of one result cannot have one name", next: "name them apart"}
		}
	}
	var drafts []*draft
	for _, f := range files {
		d, err := newDraft(e.host, f)
		drafts = append(drafts, d)
		if err != nil {
			return unwritten(f.path, err, discard(drafts))
		}
	}
	// New names first: they can be withdrawn when a later one fails, and what has been replaced cannot be brought back.
	slices.SortStableFunc(drafts, func(a, b *draft) int { return a.rank() - b.rank() })
	var folders []string
	for i, d := range drafts {
		if err := d.place(); err != nil {
			return unwritten(d.path, err, append(discard(drafts[i:]), withdraw(drafts[:i])...))
		}
		if folder := filepath.Dir(d.path); !slices.Contains(folders, folder) {
			folders = append(folders, folder)
		}
	}
	for _, folder := range folders {
		if err := last(e.host, folder); err != nil {
			return err
		}
	}
	for _, f := range files {
		e.saved = append(e.saved, f.path)
	}
	return nil
}

// saveFolder writes a result of several files into a folder that is new or empty; it makes a new one, and takes it away
// again when the files could not be written. Paths of the files are relative to the folder.
func (e *env) saveFolder(folder string, files ...output) error {
	made := false
	switch entries, err := os.ReadDir(folder); {
	case errors.Is(err, fs.ErrNotExist):
		if to, err := os.Readlink(folder); err == nil {
			return &unusable{where: folder, what: fmt.Sprintf("this is a link to %s, and nothing is there", to), next: "name a new folder"}
		}
		if err := e.host.do("make folder", folder, func() error { return os.Mkdir(folder, 0o777) }); err != nil {
			return unwritten(folder, err, nil)
		}
		made = true
	case err != nil:
		return unwritten(folder, err, nil)
	case len(entries) > 0:
		return &unusable{where: folder, what: "this folder is not empty", next: "name a new one"}
	}
	inside := make([]output, len(files))
	for i, f := range files {
		inside[i] = output{path: filepath.Join(folder, f.path), data: f.data}
	}
	err := e.save(false, inside...)
	var durable *undurable
	if err != nil && made && !errors.As(err, &durable) {
		// Not empty only where a draft could not be taken away; save has named that one.
		e.host.do("remove folder", folder, func() error { return os.Remove(folder) })
	}
	if err == nil && made {
		err = last(e.host, filepath.Dir(folder))
	}
	return err
}

// mayWrite refuses a target that is not ours to write.
func (e *env) mayWrite(path string, replace bool) error {
	u := &unusable{where: path, next: "name another file for the result"}
	if path == "-" {
		u.what = "this names no file"
		u.next = "name one, or leave the option out where the command prints without it"
		return u
	}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil // a missing folder shows when the draft is made
	case err != nil:
		return unwritten(path, err, nil)
	case info.Mode()&fs.ModeSymlink != 0:
		to, _ := os.Readlink(path)
		u.what = fmt.Sprintf("this is a link to %s, and a result would take the place of the link", to)
	case !info.Mode().IsRegular():
		u.what = "this is " + kind(info.Mode()) + ", not a file"
	case slices.ContainsFunc(e.inputs, func(in input) bool { return in.file != nil && os.SameFile(in.file, info) }):
		u.what = "this is an input of the same command, and inputs are never touched"
	case !replace:
		u.what, u.next = "there is such a file already", "name a new one, or move that one away"
	default:
		return nil
	}
	return u
}

// unwritten says which file could not be written and why, and what is left of the attempt.
func unwritten(path string, err error, left []string) error {
	u := &unusable{where: path, what: "not written: " + cause(err), next: "make room or look at the permissions, and run this again", cause: err}
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		u.next = "look at the name and the folder, and run this again"
	}
	if len(left) > 0 {
		u.next = fmt.Sprintf("look at what is left: %s; then %s", strings.Join(left, ", "), u.next)
	}
	return u
}

// An undurable is the news that a result stands in its place, but may be gone after a power failure.
type undurable struct{ unusable }

// last makes the new names in a folder last through a power failure. When that fails the files are there all the same,
// and the message says so.
func last(h host, folder string) error {
	err := h.do("sync folder", folder, func() error { return syncFolder(folder) })
	if err == nil {
		return nil
	}
	return &undurable{unusable{where: folder, what: "the result is written there, but the disk did not confirm that it will last: " + cause(err),
		next: "copy it to another disk, and look after this one", cause: err}}
}
