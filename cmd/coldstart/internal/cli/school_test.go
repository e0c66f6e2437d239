package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coldstart/cmd/coldstart/internal/school"
)

// TestStoriesBegin types, in the folder of each story, every command that its text begins with: each of them works, whatever
// it finds.
func TestStoriesBegin(t *testing.T) {
	if testing.Short() {
		t.Skip("the office is run again and again here")
	}
	stories, err := school.Stories()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range stories {
		t.Run(s.Title, func(t *testing.T) {
			t.Chdir(t.TempDir())
			for _, f := range s.Files {
				if err := os.WriteFile(filepath.Base(f.Name), f.Data, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			typed := 0
			for line := range strings.Lines(s.Text) {
				words := strings.Fields(line)
				if !strings.HasPrefix(line, "  coldstart ") {
					continue
				}
				typed++
				if out, status := carryOut(words[1:]...); status == exitUnusable || status == exitFault {
					t.Errorf("%s: exit status %d\n%s", line, status, out)
				}
			}
			if typed == 0 {
				t.Error("the story begins with no command")
			}
		})
	}
}
