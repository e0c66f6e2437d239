package assemble_test

import (
	"errors"
	"fmt"
	"go/scanner"
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
)

// Each text of the errors file gives exactly the errors it asks for, in order, and no Program.
func TestErrors(t *testing.T) {
	c := brindlecote(t)
	src, err := os.ReadFile("testdata/errors.order")
	if err != nil {
		t.Fatal(err)
	}
	first := 1
	for text := range strings.SplitSeq(string(src), "\n---\n") {
		t.Run(fmt.Sprintf("line %d", first), func(t *testing.T) {
			p, err := assemble.Assemble(c, assemble.Source{Name: "errors.order", Text: []byte(text)})
			if p != nil {
				t.Error("a Program came back beside the errors")
			}
			var got scanner.ErrorList
			if !errors.As(err, &got) {
				t.Fatalf("error %v is no list of errors", err)
			}
			wanted := asked(t, text)
			for i := range max(len(got), len(wanted)) {
				switch {
				case i >= len(got):
					t.Errorf("missing, and any after it: %+v", wanted[i])
					return
				case i >= len(wanted):
					t.Errorf("not asked for: %v", got[i])
				case got[i].Pos.Line != wanted[i].line || got[i].Pos.Column != wanted[i].column ||
					!strings.Contains(got[i].Msg, wanted[i].words):
					t.Errorf("got %v\nwant %+v", got[i], wanted[i])
					return
				}
			}
		})
		first += strings.Count(text, "\n") + 2
	}
}

// A wish is an error asked for.
type wish struct {
	line, column int
	words        string
}

// asked reads the wishes of a text.
func asked(t *testing.T, text string) []wish {
	t.Helper()
	var wishes []wish
	for i, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		_, ask, found := strings.Cut(line, "### ")
		if !found {
			continue
		}
		w := wish{line: i + 1}
		number, words, _ := strings.Cut(ask, ": ")
		if _, err := fmt.Sscan(number, &w.column); err != nil || words == "" {
			t.Fatalf("line %q asks for no column and words", line)
		}
		w.words = words
		wishes = append(wishes, w)
	}
	return wishes
}

// Errors of several sources are sorted by file and line, and one names a line of another.
func TestErrorsAcrossSources(t *testing.T) {
	c := brindlecote(t)
	_, err := assemble.Assemble(c,
		assemble.Source{Name: "b.order", Text: []byte("at 1000\nstart: words 1\n")},
		assemble.Source{Name: "a.order", Text: []byte("at 1000\nstart: words 1, what\n")},
	)
	var got scanner.ErrorList
	errors.As(err, &got)
	want := []string{
		"a.order:2:1: 001000 is assembled twice: here, and already in b.order:2",
		"a.order:2:1: start stands here a second time; it stands already in b.order:2",
		"a.order:2:17: there is no label or constant what",
	}
	if len(got) != len(want) {
		t.Fatalf("got %d errors %v, want %d", len(got), got, len(want))
	}
	for i := range want {
		if got[i].Error() != want[i] {
			t.Errorf("error %d is %q, want %q", i, got[i].Error(), want[i])
		}
	}
}
