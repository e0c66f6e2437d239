package school

import (
	"embed"
	"encoding/base64"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
)

// stories holds a folder for each story: its text, files that take the place of the office's or stand beside them, and the
// sealed answer. What school/gen makes of them is said there.
//
//go:embed stories
var stories embed.FS

// The names of a story's two own files.
const (
	storyText = "story.txt"
	sealed    = "answer.sealed"
)

// A Story is a task to learn by: a scene, files with something to find in them, and a sealed answer.
type Story struct {
	Number int // from 1 on
	Title  string
	Says   string // what it asks, in one sentence
	Text   string // all of it
	Files  []File // its text first, then what belongs to its office
}

// Stories gives every story, by number; numbers may be left out.
func Stories() ([]Story, error) {
	folders, err := fs.ReadDir(stories, "stories")
	if err != nil {
		return nil, err
	}
	var numbers []int
	for _, f := range folders {
		n, err := strconv.Atoi(f.Name())
		if err != nil {
			return nil, err
		}
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	var all []Story
	for _, n := range numbers {
		text, err := fs.ReadFile(stories, storyPath(n, storyText))
		if err != nil {
			return nil, err
		}
		s := Story{Number: n, Text: string(text)}
		lines := strings.SplitN(s.Text, "\n", 3)
		if len(lines) < 3 {
			return nil, fmt.Errorf("story %d: its text has no title and no sentence below it", n)
		}
		s.Title, s.Says = lines[0], lines[1]
		if s.Files, err = s.files(); err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// files gives what a story is unpacked to: its own files, and of the office's those that its office list names, where it
// has none of its own by that name. The order text is not among them: who finds an old tape has none.
func (s *Story) files() ([]File, error) {
	own, err := fs.ReadDir(stories, storyPath(s.Number, ""))
	if err != nil {
		return nil, err
	}
	data := map[string][]byte{}
	for _, f := range own {
		if data[f.Name()], err = fs.ReadFile(stories, storyPath(s.Number, f.Name())); err != nil {
			return nil, err
		}
	}
	delete(data, sealed)
	open := func(name string) ([]byte, error) {
		if d, ok := data[name]; ok {
			return d, nil
		}
		return fs.ReadFile(Files(), name)
	}
	known, err := roles(open)
	if err != nil {
		return nil, err
	}
	for _, r := range known {
		if data[r.name], err = open(r.name); err != nil {
			return nil, err
		}
	}
	known = append([]role{{storyText, "the story, and what to begin with"}}, known...)
	for _, name := range slices.Sorted(maps.Keys(data)) {
		switch path.Ext(name) {
		case ".tape":
			known = append(known, role{name, "another recording of the same tape"})
		case ".words":
			known = append(known, role{name, "a store as it was read out, word by word, parity with it"})
		}
	}
	return contents(data, known), nil
}

// Answer opens the sealed answer to a story. It is kept as base64, not as a secret: so that nobody reads it who only looks
// around.
func Answer(number int) (string, error) {
	src, err := fs.ReadFile(stories, storyPath(number, sealed))
	if err != nil {
		return "", err
	}
	lines := slices.DeleteFunc(strings.Split(string(src), "\n"), func(l string) bool { return strings.HasPrefix(l, "#") })
	text, err := base64.StdEncoding.DecodeString(strings.Join(lines, ""))
	return string(text), err
}

// storyPath is the path of a file of a story.
func storyPath(number int, name string) string { return path.Join("stories", fmt.Sprint(number), name) }
