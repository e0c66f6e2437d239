// Package school holds the training office, built into the program: an invented exchange with its machine file, its
// programs as order text, its recording and its lists, for people who learn or try things out. Nothing else in the house
// knows an individual machine.
package school

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"coldstart/loader"
)

//go:generate go run ./gen

// List is the name of the office list in Files.
const List = "office.list"

//go:embed office
var embedded embed.FS

// Lesson is the lesson at the desk of the training office, in the file LessonFile.
//
//go:embed lesson.list
var Lesson []byte

// LessonFile is the name of Lesson in messages.
const LessonFile = "lesson.list"

// Files gives the files of the office. They lie side by side, without folders.
func Files() fs.FS {
	files, err := fs.Sub(embedded, "office")
	if err != nil {
		panic(err) // "office" is a valid path
	}
	return files
}

// A File is one file of the office, or of a story.
type File struct {
	Name    string
	Purpose string // for a table of contents, without a stop at its end
	Data    []byte
}

// Contents gives every file of the office and what it is for: the office list, the files it names in its order, and the
// rest by name.
func Contents() ([]File, error) {
	names, err := fs.Glob(Files(), "*")
	if err != nil {
		return nil, err
	}
	data := map[string][]byte{}
	open := func(name string) ([]byte, error) { return fs.ReadFile(Files(), name) }
	for _, name := range names {
		if data[name], err = open(name); err != nil {
			return nil, err
		}
	}
	known, err := roles(open)
	if err != nil {
		return nil, err
	}
	return contents(data, known), nil
}

// contents puts files with a role first, in the order of the roles, and the rest by name. What a file is for is said once,
// in its first remark; of a file without one, by its role.
func contents(data map[string][]byte, known []role) []File {
	all := make([]File, 0, len(data))
	for _, name := range slices.Sorted(maps.Keys(data)) {
		f := File{Name: name, Purpose: firstSentence(data[name]), Data: data[name]}
		if at := slices.IndexFunc(known, func(r role) bool { return r.name == name }); f.Purpose == "" && at >= 0 {
			f.Purpose = known[at].says
		}
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b File) int { return rank(known, a.Name) - rank(known, b.Name) })
	return all
}

// A role is what the office list says of a file.
type role struct{ name, says string }

// roles reads the office list.
func roles(open func(name string) ([]byte, error)) ([]role, error) {
	src, err := open(List)
	if err != nil {
		return nil, err
	}
	office, err := loader.ReadOffice(List, src)
	if err != nil {
		return nil, err
	}
	all := []role{
		{List, "which files the office of " + office.Name + " is made of"},
		{office.Machine.Text, "the machine file"},
		{office.Chase.Text, "the chase and the milestones"},
		{office.Areas.Text, "what the areas of store are for"},
		{office.Layout.Text, "the layout of the recordings"},
	}
	if office.March.Text != "" {
		all = append(all, role{office.March.Text, "the template of march tests by orders"})
	}
	for _, seat := range office.Tapes {
		all = append(all, role{seat.File.Text, fmt.Sprintf("recording %q, seated on %s", seat.Label, seat.At.Text)})
	}
	for _, seat := range office.Wired {
		all = append(all, role{seat.File.Text, "the words wired in " + seat.At.Text})
	}
	return all, nil
}

// rank puts the files with a role first, in the order of the roles.
func rank(roles []role, name string) int {
	if at := slices.IndexFunc(roles, func(r role) bool { return r.name == name }); at >= 0 {
		return at
	}
	return len(roles)
}

// firstSentence gives the first sentence of the remark a text begins with; "" where it begins otherwise.
func firstSentence(src []byte) string {
	var said []string
	for line := range strings.Lines(string(src)) {
		text, remark := strings.CutPrefix(line, "#")
		if text = strings.TrimSpace(text); !remark || text == "" {
			break
		}
		said = append(said, text)
	}
	first, _, _ := strings.Cut(strings.Join(said, " "), ". ")
	return strings.TrimSuffix(first, ".")
}
