package cli

import (
	"errors"
	"fmt"
	"go/scanner"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/cpu/order"
	"coldstart/debug/bringup"
	"coldstart/loader"
	"coldstart/loader/tape"
)

// Training is what the built-in office goes by in paths that nobody can open.
const training = "training office"

// A fallback says what a command does where no office is named and none lies in the working folder.
type fallback bool

const (
	teaches fallback = true  // it shows or teaches, and takes the training office
	decides fallback = false // it decides about somebody's image, so it is refused
)

// An officeOption is how the person at the desk says what a command works on: a whole office, or single files in the
// place of those the office names. An empty string was not said.
type officeOption struct {
	env      *env
	fallback fallback

	folder  string
	machine string
	layout  string

	found *officeFolder // once it has been looked for
}

// takesOffice gives a command the option for a whole office, and the one for input files.
func (e *env) takesOffice(c *cobra.Command, f fallback) *officeOption {
	o := &officeOption{env: e, fallback: f}
	c.Flags().StringVar(&o.folder, "office", "", "the `FOLDER` that holds office.list (default: this folder)")
	e.readsFiles(c)
	return o
}

// takesFiles gives a command the options for a machine file and a tape layout that no office need name.
func (o *officeOption) takesFiles(c *cobra.Command) {
	c.Flags().StringVar(&o.machine, "machine", "", "the machine `FILE` (default: the office's)")
	c.Flags().StringVar(&o.layout, "layout", "", "the `FILE` with the layout of the tape (default: the office's)")
}

// open reads the whole office, with other recordings seated where any are given.
func (o *officeOption) open(seats ...bringup.Seat) (*bringup.Office, error) {
	f, err := o.find()
	if err != nil {
		return nil, err
	}
	office, err := bringup.Open(f.read, school.List, seats...)
	return office, f.locate(err)
}

// openOn reads the whole office with another machine file in the place of its own.
func (o *officeOption) openOn(name string, machine []byte) (*bringup.Office, error) {
	f, err := o.find()
	if err != nil {
		return nil, err
	}
	src, err := f.read(school.List)
	if err != nil {
		return nil, err
	}
	names, err := loader.ReadOffice(f.name(school.List), src)
	if err != nil {
		return nil, err
	}
	f.held[names.Machine.Text] = machine
	office, err := bringup.Open(f.read, school.List)
	return office, f.locate(err)
}

// code reads the machine file: the one named, else the office's, and nothing else of the office.
func (o *officeOption) code() (*order.Code, error) {
	src, name, err := o.file(o.machine, "machine", func(names *loader.Office) string { return names.Machine.Text })
	if err != nil {
		return nil, err
	}
	return order.Read(name, src)
}

// tapeLayout reads the layout of tapes: the one named, else the office's.
func (o *officeOption) tapeLayout() (*tape.Layout, error) {
	src, name, err := o.file(o.layout, "layout", func(names *loader.Office) string { return names.Layout.Text })
	if err != nil {
		return nil, err
	}
	return tape.ReadLayout(name, src)
}

// file reads the file named, or the one that the office names for the same part.
func (o *officeOption) file(named, part string, pick func(*loader.Office) string) (src []byte, name string, err error) {
	if named != "" {
		src, err = o.env.read(named)
		return src, named, err
	}
	f, err := o.find()
	if err != nil {
		return nil, "", err
	}
	src, err = f.read(school.List)
	if err != nil {
		return nil, "", err
	}
	names, err := loader.ReadOffice(f.name(school.List), src)
	if err != nil {
		return nil, "", err
	}
	if pick(names) == "" {
		return nil, "", &unusable{where: f.name(school.List), what: "it names no " + part, next: fmt.Sprintf("add a line `%s FILE`, or say --%s FILE", part, part)}
	}
	src, err = f.read(pick(names))
	return src, f.name(pick(names)), err
}

// recording reads one recording in a layout.
func (e *env) recording(l *tape.Layout, path string) (*tape.Recording, error) {
	var rec *tape.Recording
	err := e.stream(path, func(r io.Reader) (err error) {
		rec, err = tape.Read(l, path, r)
		return err
	})
	if err != nil {
		return nil, err
	}
	return rec, nil
}

// find settles where the office is, once.
func (o *officeOption) find() (*officeFolder, error) {
	if o.found != nil {
		return o.found, nil
	}
	f := &officeFolder{env: o.env, path: o.folder, held: map[string][]byte{}}
	if f.path == "" {
		f.path = "."
		if _, err := os.Lstat(school.List); errors.Is(err, fs.ErrNotExist) {
			if o.fallback == decides {
				return nil, &unusable{what: "no " + school.List + " here, and this is not for the training office", next: "name the office with --office FOLDER"}
			}
			f.files = school.Files()
			fmt.Fprintf(o.env.err, "no %s here: using the training office; --office FOLDER names another, \"coldstart school FOLDER\" unpacks this one\n", school.List)
		}
	}
	o.found = f
	return f, nil
}

// An officeFolder is where the files of an office lie.
type officeFolder struct {
	env   *env
	path  string
	files fs.FS             // the training office; nil for a folder of this host
	held  map[string][]byte // what has been read, so that no file is an input twice
}

// name is how a file of the office is called in front of a person.
func (f *officeFolder) name(file string) string {
	if f.files != nil {
		return training + "/" + file
	}
	return filepath.Join(f.path, filepath.FromSlash(file))
}

// read gives a file of the office, noted as an input. The name is one that the office list was allowed to hold: it does
// not lead out of the folder.
func (f *officeFolder) read(file string) ([]byte, error) {
	if data, ok := f.held[file]; ok {
		return data, nil
	}
	data, err := f.fetch(file)
	if err == nil {
		f.held[file] = data
	}
	return data, err
}

// fetch reads a file for the first time.
func (f *officeFolder) fetch(file string) ([]byte, error) {
	if f.files == nil {
		return f.env.read(f.name(file))
	}
	data, err := fs.ReadFile(f.files, file)
	if err != nil {
		return nil, unreadable(f.name(file), err)
	}
	f.env.note(f.name(file), data, nil)
	return data, nil
}

// locate makes positions in files of the office into ones in files of this host, so that they can be followed.
func (f *officeFolder) locate(err error) error {
	var all scanner.ErrorList
	if !errors.As(err, &all) {
		return err
	}
	there := make(scanner.ErrorList, len(all))
	for i, e := range all {
		moved := *e
		moved.Pos.Filename = f.name(e.Pos.Filename)
		there[i] = &moved
	}
	return there
}
