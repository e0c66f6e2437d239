package cli

import (
	"bufio"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/loader/splice"
)

// tiredFolder unpacks the story of the three passes into the working folder, which is new, and gives its files.
func tiredFolder(t *testing.T) map[string]string {
	t.Helper()
	t.Chdir(t.TempDir())
	all, err := school.Stories()
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range all[1].Files {
		if err := os.WriteFile(f.Name, f.Data, 0o666); err != nil {
			t.Fatal(err)
		}
		files[f.Name] = string(f.Data)
	}
	return files
}

// TestSpliceWritesBothOrNothing fails each step of writing a merged recording and its lineage, the last ones among them, once
// and from then on: either both files are there, whole, or neither; and the passes are what they were.
func TestSpliceWritesBothOrNothing(t *testing.T) {
	for _, sticky := range []bool{false, true} {
		for n := 1; ; n++ {
			files := tiredFolder(t)
			h := &failing{at: n, sticky: sticky}
			e := &env{host: h, out: bufio.NewWriter(io.Discard), err: io.Discard, limit: defaultLimit}
			s := &splicing{env: e, office: &officeOption{env: e, layout: "gp.layout"}, out: "merged.tape", bounds: splice.Bounds{Mixtures: 4096}}
			err := s.run([]string{"pass1.tape", "pass2.tape", "pass3.tape"}, "coldstart splice")
			for name, data := range files {
				if now, _ := os.ReadFile(name); string(now) != data {
					t.Fatalf("step %d fails, and %s is not what it was", n, name)
				}
			}
			_, first := os.Stat("merged.tape")
			_, second := os.Stat("merged.tape.lineage")
			if h.n < n {
				if err != nil || first != nil || second != nil {
					t.Fatalf("nothing fails, but %v, %v, %v", err, first, second)
				}
				t.Logf("%d steps, each failed; sticky %v", n-1, sticky)
				break
			}
			if err == nil {
				t.Fatalf("step %d, %v, fails, and nothing is said", n, h.said)
			}
			var durable *undurable
			switch {
			case errors.As(err, &durable):
				if first != nil || second != nil {
					t.Errorf("step %d: it says both are written, and %v, %v", n, first, second)
				}
			case !sticky && (first == nil || second == nil):
				t.Errorf("step %d, %v, fails, and one file is there: %v, %v\n%v", n, h.said, first, second, err)
			case !strings.Contains(err.Error(), "merged.tape"):
				t.Errorf("step %d: no path is named: %v", n, err)
			}
		}
	}
}
