package cli

import (
	"fmt"
	"io"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/loader/list"
)

// newSchool makes the command that shows and unpacks the training office.
func newSchool(e *env) *cobra.Command {
	return &cobra.Command{
		Use:     "school [FOLDER]",
		Short:   "show the training office, or unpack it to change it",
		GroupID: before,
		Long: `The training office is a small exchange that never was, with everything a real
one has: a machine file, a recording, words wired in store, and lists that say
what belongs where. It is built into coldstart. With a FOLDER, all its files are
unpacked there. The folder is new or empty; nothing is ever overwritten.`,
		Example: "  coldstart school                  what the training office holds\n" +
			"  coldstart school mine             unpack it into a new folder, to change it",
		Args: takes(0, 1, "the folder to unpack into"),
		RunE: func(_ *cobra.Command, words []string) error {
			r := &schoolReport{Next: []string{"coldstart bringup", "coldstart school mine"}}
			if len(words) == 1 {
				r.Folder = words[0]
				r.Next = []string{"cd " + shellWord(words[0]), "coldstart bringup"}
			}
			return e.school(r)
		},
	}
}

// school lists the training office and unpacks it where the report names a folder.
func (e *env) school(r *schoolReport) error {
	contents, err := school.Contents()
	if err != nil {
		return err
	}
	var files []output
	for _, f := range contents {
		data, err := fs.ReadFile(school.Files(), f.Name)
		if err != nil {
			return err
		}
		e.note(training+"/"+f.Name, data, nil)
		files = append(files, output{path: f.Name, data: data})
		r.Files = append(r.Files, schoolFile{f.Name, f.Purpose, f.Size})
	}
	if r.Folder != "" {
		if err := e.saveFolder(r.Folder, files...); err != nil {
			return err
		}
	}
	return e.show("school", r)
}

// A schoolReport says what the training office holds.
type schoolReport struct {
	heading
	Folder string       `json:"folder,omitempty"` // it was unpacked into
	Files  []schoolFile `json:"files"`
	Next   []string     `json:"next"` // what to type
}

// A schoolFile is one file of it.
type schoolFile struct {
	Name    string `json:"name"`
	Purpose string `json:"purpose"`
	Bytes   int    `json:"bytes"`
}

func (r *schoolReport) print(w io.Writer) {
	if r.Folder == "" {
		fmt.Fprintln(w, "The training office holds:")
	} else {
		fmt.Fprintf(w, "Unpacked into %s:\n", list.Safe(r.Folder))
	}
	for _, f := range r.Files {
		wrap(w, fmt.Sprintf("  %-20s", f.Name), strings.Fields(list.Safe(f.Purpose)))
	}
	fmt.Fprintln(w, "\nType next:")
	for _, line := range r.Next {
		fmt.Fprintln(w, "  "+list.Safe(line))
	}
}

// shellWord quotes a word as the shell wants it, where it holds more than letters, digits and a few plain signs.
func shellWord(word string) string {
	plain := func(c rune) bool {
		return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.ContainsRune("-_./", c)
	}
	if word != "" && strings.IndexFunc(word, func(c rune) bool { return !plain(c) }) < 0 {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
