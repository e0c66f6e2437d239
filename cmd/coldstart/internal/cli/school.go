package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/loader/list"
)

// newSchool makes the command that shows and unpacks the training office and its stories.
func newSchool(e *env) *cobra.Command {
	var story, answers int
	var lesson bool
	c := &cobra.Command{
		Use:     "school [FOLDER]",
		Short:   "show the training office and its stories, or unpack them",
		GroupID: before,
		Long: `The training office is a small exchange that never was, with everything a real
one has: a machine file, a recording, words wired in store, and lists that say
what belongs where. It is built into coldstart. With a FOLDER, all its files are
unpacked there. The folder is new or empty; nothing is ever overwritten.

A story is a task to learn by, with files in which there is something to find.
--story N shows its text, or with a FOLDER unpacks it; --answers N opens the
sealed answer.

--lesson is for who sits at the desk for the first time: it says what a thing is
for, asks for it, and looks at the running machine whether it was done.`,
		Example: "  coldstart school --lesson         learn the desk, in an hour\n" +
			"  coldstart school                  what the training office holds\n" +
			"  coldstart school mine             unpack it into a new folder, to change it\n" +
			"  coldstart school --story 2 tired  unpack story 2 into a new folder\n" +
			"  coldstart school --answers 2      what there was to find in it",
		Args: takes(0, 1, "the folder to unpack into"),
		RunE: func(c *cobra.Command, words []string) error {
			folder := ""
			if len(words) == 1 {
				folder = words[0]
			}
			switch {
			case lesson && (folder != "" || c.Flags().Changed("answers") || c.Flags().Changed("story")):
				return &unusable{where: "--lesson", what: "a lesson is held at the desk of the training office", next: "leave out the folder, --story and --answers"}
			case lesson:
				return holdLesson(c.Context(), e)
			case c.Flags().Changed("answers") && (folder != "" || c.Flags().Changed("story")):
				return &unusable{where: "--answers", what: "an answer is only printed", next: "leave out the folder and --story"}
			case c.Flags().Changed("answers"):
				return e.answers(answers)
			case c.Flags().Changed("story"):
				return e.story(story, folder)
			}
			return e.school(&schoolReport{Folder: folder})
		},
	}
	c.Flags().IntVar(&story, "story", 0, "show story `N`, or unpack it")
	c.Flags().BoolVar(&lesson, "lesson", false, "learn the desk: a lesson for one, which asks and looks whether it was done")
	c.Flags().IntVar(&answers, "answers", 0, "open the sealed answer to story `N`")
	return c
}

// school lists the training office and its stories, and unpacks the office where the report names a folder.
func (e *env) school(r *schoolReport) error {
	contents, err := school.Contents()
	if err != nil {
		return err
	}
	stories, err := school.Stories()
	if err != nil {
		return err
	}
	for _, s := range stories {
		r.Stories = append(r.Stories, schoolStory{s.Number, s.Title, s.Says})
	}
	if r.Next = []string{"coldstart bringup", "coldstart school mine", "coldstart school --story 1 evening"}; r.Folder != "" {
		r.Next = []string{"cd " + shellWord(r.Folder), "coldstart bringup"}
	}
	return e.unpack(r, training, contents)
}

// story shows a story and what it holds, and unpacks it where a folder is named.
func (e *env) story(number int, folder string) error {
	s, err := storyOf(number)
	if err != nil {
		return err
	}
	r := &schoolReport{Folder: folder, Story: number, Text: s.Text}
	if r.Next = []string{fmt.Sprintf("coldstart school --story %d mine", number)}; folder != "" {
		r.Next = []string{"cd " + shellWord(folder), fmt.Sprintf("coldstart school --story %d", number)}
	}
	return e.unpack(r, fmt.Sprintf("story %d", number), s.Files)
}

// storyOf is the story of a number.
func storyOf(number int) (*school.Story, error) {
	stories, err := school.Stories()
	if err != nil {
		return nil, err
	}
	var numbers []string
	for i := range stories {
		if stories[i].Number == number {
			return &stories[i], nil
		}
		numbers = append(numbers, fmt.Sprint(stories[i].Number))
	}
	return nil, &unusable{where: fmt.Sprintf("story %d", number), what: "there is none", next: "take one of " + strings.Join(numbers, ", ")}
}

// unpack lists files in a report, writes them where it names a folder, and shows it.
func (e *env) unpack(r *schoolReport, from string, contents []school.File) error {
	var files []output
	for _, f := range contents {
		e.note(from+"/"+f.Name, f.Data, nil)
		files = append(files, output{path: f.Name, data: f.Data})
		r.Files = append(r.Files, schoolFile{f.Name, f.Purpose, len(f.Data)})
	}
	if r.Folder != "" {
		if err := e.saveFolder(r.Folder, files...); err != nil {
			return err
		}
	}
	return e.show("school", r)
}

// answers opens the sealed answer to a story.
func (e *env) answers(number int) error {
	if _, err := storyOf(number); err != nil {
		return err
	}
	text, err := school.Answer(number)
	if err != nil {
		return err
	}
	return e.show("school", &answerReport{Story: number, Answer: text})
}

// A schoolReport says what the training office or a story holds.
type schoolReport struct {
	heading
	Folder  string        `json:"folder,omitempty"` // it was unpacked into
	Story   int           `json:"story,omitempty"`  // 0: the office itself
	Text    string        `json:"text,omitempty"`   // of the story
	Files   []schoolFile  `json:"files"`
	Stories []schoolStory `json:"stories,omitempty"`
	Next    []string      `json:"next"` // what to type
}

// A schoolFile is one file of it.
type schoolFile struct {
	Name    string `json:"name"`
	Purpose string `json:"purpose"`
	Bytes   int    `json:"bytes"`
}

// A schoolStory is one story on the list.
type schoolStory struct {
	Number int    `json:"number"`
	Title  string `json:"title"`
	Says   string `json:"says"`
}

func (r *schoolReport) print(w io.Writer) {
	switch {
	case r.Folder != "":
		fmt.Fprintf(w, "Unpacked into %s:\n", list.Safe(r.Folder))
	case r.Story > 0:
		fmt.Fprintf(w, "Story %d: %s\nIts files:\n", r.Story, r.Text)
	default:
		fmt.Fprintln(w, "The training office holds:")
	}
	for _, f := range r.Files {
		wrap(w, fmt.Sprintf("  %-20s", f.Name), strings.Fields(list.Safe(f.Purpose)))
	}
	if len(r.Stories) > 0 {
		fmt.Fprintln(w, "\nStories to learn by:")
	}
	for _, s := range r.Stories {
		wrap(w, fmt.Sprintf("  %d  %-18s", s.Number, s.Title), strings.Fields(s.Says))
	}
	fmt.Fprintln(w, "\nType next:")
	for _, line := range r.Next {
		fmt.Fprintln(w, "  "+list.Safe(line))
	}
}

// An answerReport is an answer opened.
type answerReport struct {
	heading
	Story  int    `json:"story"`
	Answer string `json:"answer"`
}

func (r *answerReport) print(w io.Writer) { fmt.Fprint(w, r.Answer) }

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
