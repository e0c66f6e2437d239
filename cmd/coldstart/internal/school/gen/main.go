// Gen makes the files of the training office that are made and not written: tables by rule as order text, then, from all
// the order text assembled, the recording, the wired words, the areas and the chase list. It runs in the folder above
// the office, through `go generate`, and writes the same bytes each time.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// folder is where the office lies.
const folder = "office"

func main() {
	files, err := makeOffice(func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(folder, name)) })
	if err == nil {
		err = write(files)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// write puts the files in the office, if all of them could be made.
func write(files []file) error {
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.name), f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
