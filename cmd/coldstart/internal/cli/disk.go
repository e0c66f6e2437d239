package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"github.com/google/renameio/v2"
)

// A host carries out one step of a write. Every call to the disk on the way of a result goes through it, so that a test
// can make the n-th one fail.
type host interface {
	// do carries out a step on a path; the name of the step is for people.
	do(step, path string, act func() error) error
}

// A disk is the host outside of tests.
type disk struct{}

func (disk) do(_, _ string, act func() error) error { return act() }

// A draft is a whole output file under a passing name beside its target.
type draft struct {
	host
	path  string
	file  *renameio.PendingFile
	fresh bool // nothing stood at path before
}

// newDraft writes the file beside its target and reads it back. The draft is given with an error too: it may have left
// something to discard.
func newDraft(h host, f output) (*draft, error) {
	d := &draft{host: h, path: f.path}
	err := h.do("make draft", f.path, func() (err error) {
		_, err = os.Lstat(f.path)
		d.fresh = err != nil
		// Beside the target, because only there the rename is sure to be one step.
		d.file, err = renameio.NewPendingFile(f.path, renameio.WithTempDir(filepath.Dir(f.path)), renameio.WithPermissions(0o666))
		return err
	})
	if err == nil {
		err = d.fill(f.data)
	}
	return d, err
}

// fill writes and syncs the data, and compares what the disk gives back.
func (d *draft) fill(data []byte) error {
	name := d.file.Name()
	if err := d.do("write draft", name, func() error {
		n, err := d.file.Write(data)
		if err == nil && n < len(data) {
			err = fmt.Errorf("%d of %d bytes written", n, len(data))
		}
		return err
	}); err != nil {
		return err
	}
	if err := d.do("sync draft", name, d.file.Sync); err != nil {
		return err
	}
	return d.do("read draft back", name, func() error {
		back, err := os.ReadFile(name)
		if err == nil && !bytes.Equal(back, data) {
			err = errors.New("the disk gave back other bytes than were written")
		}
		return err
	})
}

// place gives the draft its name.
func (d *draft) place() error {
	return d.do("put in place", d.path, d.file.CloseAtomicallyReplace)
}

// rank is 0 for a draft that can be withdrawn once it is in place, and 1 for one that takes the place of another file.
func (d *draft) rank() int {
	if d.fresh {
		return 0
	}
	return 1
}

// discard takes away drafts that were not put in place. It gives the names of what is left, with the cause.
func discard(drafts []*draft) (left []string) {
	for _, d := range drafts {
		if d.file == nil {
			continue
		}
		if err := d.do("remove draft", d.file.Name(), d.file.Cleanup); err != nil {
			left = append(left, fmt.Sprintf("%s (%s)", d.file.Name(), cause(err)))
		}
	}
	return left
}

// withdraw takes away files already put in place, because a later one of the same result failed. What had stood there
// before cannot be brought back: it stays new, and is named.
func withdraw(drafts []*draft) (left []string) {
	for _, d := range drafts {
		if !d.fresh {
			left = append(left, d.path+" (the new one has taken the place of the old)")
			continue
		}
		if err := d.do("take back", d.path, func() error { return os.Remove(d.path) }); err != nil {
			left = append(left, fmt.Sprintf("%s (%s)", d.path, cause(err)))
		}
	}
	return left
}

// cause is what the host said, without the names of calls and of passing files around it.
func cause(err error) string {
	var said *fs.PathError
	var renamed *os.LinkError
	switch {
	case errors.As(err, &said):
		return said.Err.Error()
	case errors.As(err, &renamed):
		return renamed.Err.Error()
	}
	return err.Error()
}

// syncFolder syncs the folder itself: its names, not its files. A few file systems do not know how, and say so.
func syncFolder(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) && !errors.Is(err, syscall.ENOTSUP) {
		return err
	}
	return nil
}
