package cli

import (
	"fmt"
	"io"

	"coldstart/memory/march"
)

// coverCells is the size of the memory that coverage is worked out in; it is the same in 3 and in 5 cells, but for how many
// linked faults there are.
const coverCells = 4

// A coverReport is what every test sees.
type coverReport struct {
	heading
	Cells int         `json:"cells"`
	Tests []coverTest `json:"tests"`
}

// A coverTest is what a test sees.
type coverTest struct {
	marchTest
	Kinds []coverKind `json:"kinds"`
}

// A coverKind is how many variants of a kind there are, and how many are always seen.
type coverKind struct {
	marchKind
	Of     int `json:"of"`
	Always int `json:"always"`
	Never  int `json:"never"` // in no case at all
}

// newCoverReport works the coverage of the tests of the literature out, and of one that a person wrote.
func newCoverReport(own march.Test) *coverReport {
	r := &coverReport{Cells: coverCells}
	tests := march.Tests()
	if own.Name == "" {
		own.Name = "yours"
		tests = append(tests, own)
	}
	for _, t := range tests {
		c := coverTest{marchTest: testOf(t)}
		for _, row := range march.Cover(t, coverCells) {
			c.Kinds = append(c.Kinds, coverKind{marchKind{row.Symbol, row.Name}, len(row.Variants), row.Always(), row.Never()})
		}
		r.Tests = append(r.Tests, c)
	}
	return r
}

// coverColumns is how many tests stand side by side on paper.
const coverColumns = 9

func (r *coverReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("What each test sees, worked out now in a memory of %d cells: of so many variants of a kind, those that are seen "+
		"wherever they lie, whatever the cells held at first, and whichever way an `either` goes.", r.Cells))
	for from := 0; from < len(r.Tests); from += coverColumns {
		tests := r.Tests[from:min(from+coverColumns, len(r.Tests))]
		fmt.Fprintf(w, "\n%-13s%4s", "", "of")
		for _, t := range tests {
			fmt.Fprintf(w, "%7s", t.Name)
		}
		fmt.Fprintf(w, "\n%-17s", "operations")
		for _, t := range tests {
			fmt.Fprintf(w, "%7d", t.Length)
		}
		fmt.Fprintln(w)
		for i, k := range r.Tests[0].Kinds {
			fmt.Fprintf(w, "%-13s%4d", k.Symbol, k.Of)
			for _, t := range tests {
				fmt.Fprintf(w, "%7d", t.Kinds[i].Always)
			}
			fmt.Fprintln(w)
		}
	}
	fmt.Fprintln(w)
	for _, k := range r.Tests[0].Kinds {
		fold(w, "", fmt.Sprintf("%-13s %s", k.Symbol, k.Name))
	}
}
