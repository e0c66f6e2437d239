package debug

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestDesk plays what is typed in each testdata/*.desk, the lines that begin with desk>, and compares what the desk says with
// the lines that follow; an error begins with a !. COLDSTART_UPDATE=1 writes the files anew.
func TestDesk(t *testing.T) {
	names, err := filepath.Glob("testdata/*.desk")
	if err != nil || len(names) == 0 {
		t.Fatalf("%d transcripts, %v", len(names), err)
	}
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			want, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			b := newBench(t, nil)
			var got bytes.Buffer
			for line := range strings.Lines(string(want)) {
				typed, ok := strings.CutPrefix(line, "desk> ")
				switch {
				case strings.HasPrefix(line, "#"):
					got.WriteString(line)
				case ok:
					got.WriteString(line + b.do(strings.TrimRight(typed, "\n")))
				}
			}
			if os.Getenv("COLDSTART_UPDATE") == "1" {
				if err := os.WriteFile(name, got.Bytes(), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			if diff := cmp.Diff(string(want), got.String()); diff != "" {
				t.Errorf("%s (-want +got)\n%s", name, diff)
			}
		})
	}
}
