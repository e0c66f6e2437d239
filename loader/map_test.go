package loader_test

import (
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// mappedSurvey is a survey with one of everything that a map can show.
func mappedSurvey(t *testing.T, used bool) *loader.Survey {
	l, blocks := record(t, []load{
		{0, 0o000, four(1)},
		{1, 0o002, four(0o40)}, // over half of block 00
		{2, 0o020, four(9)},
		{3, 0o030, four(5)}, // damaged below
	}, func(src []byte) { src[3*len(src)/4+10] ^= 1 })
	_, m := loader.Place(blocks, geometry)
	var use func(memory.Addr) loader.Use
	if used {
		areas, err := loader.ReadAreas("test.areas", []byte("program 0000-0007\ntable 0020-0023\n"), geometry)
		if err != nil {
			t.Fatal(err)
		}
		use = func(a memory.Addr) loader.Use { return areas.Use(a, a == 0, a == 0o022) }
	}
	s := loader.NewSurvey(m, l, use)
	s.Doubt(2, 1)
	s.Doubt(2, -1) // in its header: nothing in store
	return s
}

func TestMapRuns(t *testing.T) {
	span := func(first, last memory.Addr) loader.Span { return loader.Span{First: first, Last: last} }
	want := []loader.MapRun{
		{Span: span(0o000, 0o000), Kind: "program, run"},
		{Span: span(0o001, 0o001), Kind: "program, not run"},
		{Span: span(0o002, 0o003), Kind: "loaded by two blocks"},
		{Span: span(0o004, 0o005), Kind: "program, not run"},
		{Span: span(0o006, 0o017), Kind: "gap between blocks"},
		{Span: span(0o020, 0o020), Kind: "data, never read"},
		{Span: span(0o021, 0o021), Kind: "doubtful"},
		{Span: span(0o022, 0o022), Kind: "table, read"},
		{Span: span(0o023, 0o023), Kind: "data, never read"},
		{Span: span(0o024, 0o027), Kind: "nothing loaded"},
		{Span: span(0o030, 0o033), Kind: "of a damaged block"},
		{Span: span(0o034, 0o077), Kind: "nothing loaded"},
	}
	got := mappedSurvey(t, true).Runs()
	if diff := cmp.Diff(want, got[:min(len(got), len(want))]); diff != "" {
		t.Errorf("runs (-want +got):\n%s", diff)
	}
	// Every address of the store is in one run, and no other.
	next, area := geometry.Areas[0].First, 0
	for _, r := range got {
		for r.First > next && area+1 < len(geometry.Areas) {
			area++
			next = geometry.Areas[area].First
		}
		if r.First != next {
			t.Fatalf("a run begins at %o, and the one before ended behind %o", r.First, next)
		}
		next = r.Last + 1
	}
	if last := geometry.Areas[len(geometry.Areas)-1].Last; next != last+1 {
		t.Errorf("the runs end at %o, the store at %o", next-1, last)
	}
}

func TestWriteMap(t *testing.T) {
	var b strings.Builder
	if err := mappedSurvey(t, false).WriteMap(&b); err != nil {
		t.Fatal(err)
	}
	const want = `A sign stands for 1 word, a full line for 64 words (addresses are octal, counts
decimal).
ST0
0000  ==22==.......... =?==----XXXX---- ---------------- ----------------
`
	if got := b.String(); !strings.HasPrefix(got, want) || !strings.Contains(got, "Key: - nothing loaded; = loaded; . gap between blocks; ") {
		t.Errorf("got\n%s\nwant first\n%s", got, want)
	}
	for line := range strings.Lines(b.String()) {
		if len(line) > 81 {
			t.Errorf("wider than paper: %s", line)
		}
	}
}
