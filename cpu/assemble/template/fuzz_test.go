package template_test

import (
	"maps"
	"os"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/cpu/assemble/template"
	"coldstart/memory/march"
)

// FuzzFill holds that what a template comes to is order text that comes to the same words when it is assembled by itself, and that
// nothing of the store to be tested is among them.
func FuzzFill(f *testing.F) {
	src, err := os.ReadFile(school + "brindlecote.march")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(src, "up(w0); down(r0,w1)")
	f.Add([]byte(whole), "either(w1)")
	f.Add([]byte(whole+"piece pad 1777\n halt 77\npiece findings\nat \"x\"\n"), "up(w0)")
	code, _ := brindlecote(f)
	f.Fuzz(func(t *testing.T, src []byte, notation string) {
		test, err := march.Parse(notation)
		if err != nil {
			return
		}
		tm, err := template.Read("t.march", src)
		if err != nil {
			return
		}
		job := template.Job{Test: test, First: 0o20000, Last: 0o20777}
		r, err := tm.Fill(code, job)
		if err != nil {
			return
		}
		again, err := assemble.Assemble(code, assemble.Source{Name: "again", Text: r.Text})
		if err != nil {
			t.Fatalf("%v\n%s", err, r.Text)
		}
		want := maps.Collect(r.Program.All())
		if !maps.Equal(maps.Collect(again.All()), want) {
			t.Errorf("other words the second time:\n%s", r.Text)
		}
		for a := range want {
			if job.First <= a && a <= job.Last {
				t.Errorf("a word at %o", a)
			}
		}
	})
}
