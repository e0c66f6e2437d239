package order

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What an addendum replaces is gone, whatever stands in it and in whatever order the sheets stand: names, counts and doubts are
// those of what stands.
func TestAmend(t *testing.T) {
	const sheets = `
declares  3 orders
order     load a                 page A-4 issue 2 replaces page 3-4 ?
  pattern 0001 aaaaaaaaaaaaaa
  mode    near
  does    A <- extend(place, 18)
group     r: 0 B, 1 A            page A-5 replaces page 2-2
mode      near                   page A-6 issue 1 replaces page 2-9
  does    let place = a
group     r: 0 A, 1 Q            page 2-2
order     load a                 page 3-4 ?
  pattern 0001 aaaaaaaaaaaaaa
  does    A <- nothing-known
mode      near                   page 2-9
  does    let place = b
order     turn r                 page 3-5
  pattern 0010 0000000000000 r
  does    r <- 0
order     load a                 page A-9 replaces page A-4 issue 2
  pattern 0001 aaaaaaaaaaaaaa
  mode    near
  does    A <- extend(a, 18)
`
	code, err := Read("amended.machine", []byte(base+sheets))
	if err != nil {
		t.Fatal(err)
	}
	if o := code.Order("load"); len(code.Orders) != 3 || o.Page != "A-9" || code.Order("turn").Fields[0].Group[0].Name != "B" {
		t.Errorf("%d orders, load of page %s; want 3, of page A-9, and r 0 to be B", len(code.Orders), o.Page)
	}
	first := strings.Count(base, "\n")
	want := []Replaced{
		{"order load", first + 3, "A-4 issue 2", first + 19, "A-9"},
		{"group r", first + 10, "2-2", first + 7, "A-5"},
		{"order load", first + 11, "3-4", first + 3, "A-4 issue 2"},
		{"mode near", first + 14, "2-9", first + 8, "A-6 issue 1"},
	}
	if diff := cmp.Diff(want, code.Replaced); diff != "" {
		t.Errorf("replaced (-want +got):\n%s", diff)
	}
	if len(code.Doubts) != 0 {
		t.Errorf("doubts of lines that are replaced: %v", code.Doubts)
	}
}
