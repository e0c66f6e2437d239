// Gen makes the files of the training office that are made and not written: tables by rule as order text, then, from all
// the order text assembled, the recording, the wired words, the areas and the chase list; and of the stories the damaged
// recordings and the answers. It runs in the folder above the office, through `go generate`, and writes the same bytes
// each time.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// folder is where the office lies.
const folder = "office"

func main() {
	if err := makeAll(func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(folder, name)) }); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// makeAll makes the office and the stories, and writes them if all of it could be made.
func makeAll(read func(name string) ([]byte, error)) error {
	office, err := makeOffice(read)
	if err != nil {
		return err
	}
	stories, err := makeStories(read, office)
	if err != nil {
		return err
	}
	if err := write(folder, office); err != nil {
		return err
	}
	return write(storyFolder, stories)
}

// write puts files into a folder.
func write(folder string, files []file) error {
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.name), f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
