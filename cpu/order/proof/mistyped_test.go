package proof_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/order/proof"
)

// mistyped is the machine file of the story of the training office.
const mistyped = "../../../cmd/coldstart/internal/school/stories/3/brindlecote.machine"

// The mistyped page: the training office's machine file with three slips in it. Two can be seen in the file; the third, the
// sign of a distance, in no file, but in what a program does under it.
func TestMistyped(t *testing.T) {
	typed, right := read(t, mistyped), read(t, office+"brindlecote.machine")
	wrong := differ(t, typed, right)
	if len(wrong) != 4 { // the distance stands in two lines of its order
		t.Fatalf("lines %v differ, want 4 of them", wrong)
	}

	r, err := proof.Read("mine.machine", []byte(typed))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"274 wrong 3-14: store[page:a] has 18 bits but P has 15 bits: write `extend(P, 18)`, `sign(P, 18)` or `cut(store[page:a], 15)`",
		"327 wrong 3-17: orders jump-minus (line 321) and jump-plus both read word 606000: one pattern is mistyped, or too wide",
	}
	if diff := cmp.Diff(want, lines(r)); diff != "" {
		t.Fatalf("findings (-want +got):\n%s", diff)
	}

	typed = mend(mend(typed, right, 274), right, 322)
	if r, err = proof.Read("mine.machine", []byte(typed)); err != nil || len(r.Findings) > 0 {
		t.Fatalf("two slips mended: %v, findings %v; want none", err, lines(r))
	}
	image, program := training(t, r.Code.Geometry)
	against := func(x *proof.Exploration) []string {
		var names []string
		for _, tally := range x.Tallies {
			if tally.Against() {
				names = append(names, tally.Order.Name+" page "+tally.Order.Page)
			}
		}
		return names
	}
	x := proof.Explore(r.Code, image, nil, program)
	if got := against(x); !slices.Equal(got, []string{"link page 3-15"}) {
		t.Errorf("the image speaks against %v, want link alone", got)
	}
	if got := against(proof.Explore(r.Code, image, nil, nil)); !slices.Contains(got, "link page 3-15") {
		t.Errorf("without a list of areas the image speaks against %v, want link among them", got)
	}

	if r, err = proof.Read("mine.machine", []byte(mend(mend(typed, right, 292), right, 294))); err != nil {
		t.Fatal(err)
	}
	x = proof.Explore(r.Code, image, nil, program)
	if got := against(x); len(got) > 0 || len(x.Unread) > 0 {
		t.Errorf("all slips mended: the image speaks against %v, and %d runs of words are not read; want none", got, len(x.Unread))
	}
}

// differ gives the numbers of the lines in which two files of as many lines differ.
func differ(t *testing.T, a, b string) []int {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	if len(x) != len(y) {
		t.Fatalf("%d lines and %d lines", len(x), len(y))
	}
	var all []int
	for i := range x {
		if x[i] != y[i] {
			all = append(all, i+1)
		}
	}
	return all
}

// mend puts one line of a file right.
func mend(typed, right string, line int) string {
	all := strings.Split(typed, "\n")
	all[line-1] = strings.Split(right, "\n")[line-1]
	return strings.Join(all, "\n")
}
