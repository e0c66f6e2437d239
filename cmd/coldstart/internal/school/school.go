// Package school holds the training office, built into the program: an invented exchange with its machine file, its
// programs as order text, its recording and its lists, for people who learn or try things out. Nothing else in the house
// knows an individual machine.
package school

import (
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"coldstart/loader"
)

//go:generate go run ./gen

// List is the name of the office list in Files.
const List = "office.list"

//go:embed office
var embedded embed.FS

// Files gives the files of the office. They lie side by side, without folders.
func Files() fs.FS {
	files, err := fs.Sub(embedded, "office")
	if err != nil {
		panic(err) // "office" is a valid path
	}
	return files
}

// A File is one file of the office, for a table of contents.
type File struct {
	Name    string
	Purpose string // without a stop at its end
	Size    int    // in bytes
}

// Contents gives every file and what it is for: the office list, the files it names in its order, and the rest by name.
// What a file is for is said once, in its first remark; of a file without one, by the office list that names it.
func Contents() ([]File, error) {
	names, err := fs.Glob(Files(), "*")
	if err != nil {
		return nil, err
	}
	roles, err := roles()
	if err != nil {
		return nil, err
	}
	all := make([]File, 0, len(names))
	for _, name := range names {
		src, err := fs.ReadFile(Files(), name)
		if err != nil {
			return nil, err
		}
		f := File{Name: name, Purpose: firstSentence(src), Size: len(src)}
		if at := slices.IndexFunc(roles, func(r role) bool { return r.name == name }); f.Purpose == "" && at >= 0 {
			f.Purpose = roles[at].says
		}
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b File) int { return rank(roles, a.Name) - rank(roles, b.Name) })
	return all, nil
}

// A role is what the office list says of a file.
type role struct{ name, says string }

// roles reads the office list.
func roles() ([]role, error) {
	src, err := fs.ReadFile(Files(), List)
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
