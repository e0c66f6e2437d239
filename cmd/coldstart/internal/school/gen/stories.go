package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"path"
	"strings"

	"coldstart/cpu/assemble"
	"coldstart/debug/bringup"
	"coldstart/memory"
)

// storyFolder is where the stories lie, a folder each by number.
const storyFolder = "stories"

// A teller knows the whole office, and makes what a story needs of it.
type teller struct {
	open    func(name string) ([]byte, error) // a file of the office as it is made now
	program *assemble.Program
}

// run brings the office up, with another recording seated if one is given; resume is how often the resume key is pressed.
func (t *teller) run(resume int, seats ...bringup.Seat) (*bringup.Report, error) {
	office, err := bringup.Open(t.open, officeFile, seats...)
	if err != nil {
		return nil, err
	}
	return office.Run(context.Background(), bringup.Start{Fill: 1, Resume: resume})
}

// addr writes an address as the machine file does.
func (t *teller) addr(a memory.Addr) string { return fmt.Sprintf("%06o", a) }

// word writes a word as the machine file does.
func (t *teller) word(w memory.Word) string { return fmt.Sprintf("%06o", w) }

// label is the address of a label, 0 where there is none: what is looked for there is then not found.
func (t *teller) label(name string) memory.Addr {
	a, _ := t.program.Label(name)
	return a
}

// makeStories makes what is made of the stories: damaged recordings, a spoilt machine file, and the sealed answers. Every
// figure in an answer comes from a run made here; read gives what is written by hand in the office, made what is not.
func makeStories(read func(name string) ([]byte, error), made []file) ([]file, error) {
	t := &teller{open: func(name string) ([]byte, error) {
		for _, f := range made {
			if f.name == name {
				return f.data, nil
			}
		}
		return read(name)
	}}
	var err error
	if _, t.program, err = assembled(read, made); err != nil {
		return nil, err
	}
	var files []file
	for _, story := range []struct {
		number int
		tell   func(*teller) (string, []file, error)
	}{{1, evening}, {2, tired}, {3, mistyped}, {4, night}, {5, line}} {
		n := story.number
		answer, more, err := story.tell(t)
		if err != nil {
			return nil, fmt.Errorf("story %d: %w", n, err)
		}
		for _, f := range append(more, file{"answer.sealed", seal(n, answer)}) {
			files = append(files, file{path.Join(fmt.Sprint(n), f.name), f.data})
		}
	}
	return files, nil
}

// seal puts an answer into a form that nobody reads by accident.
func seal(number int, answer string) []byte {
	const line = 76
	var out bytes.Buffer
	fmt.Fprintf(&out, "# Sealed: the answer to story %d. `coldstart school --answers %d` opens it.\n", number, number)
	for text := base64.StdEncoding.EncodeToString([]byte(answer)); text != ""; {
		n := min(line, len(text))
		fmt.Fprintln(&out, text[:n])
		text = text[n:]
	}
	return out.Bytes()
}

// A prose is text being written, line by line.
type prose struct{ strings.Builder }

// say writes a line.
func (p *prose) say(form string, args ...any) { fmt.Fprintf(p, form+"\n", args...) }
