package march

import (
	"fmt"
	"strings"
	"testing"
)

// published is the coverage of the unlinked faults: our own sheet of published check values, section 6.5, recomputed there
// from the published definitions and compared with what could be read of the table of Hamdioui, van de Goor and Rodgers,
// MTDT 2002. The columns are those of the sheet: AF, SAF, SOF, TF, CFin, CFid, CFst p and t, WDF, DRDF, the three CFds,
// CFtr, CFwd, CFrd, CFdrd, CFir.
const published = `
MSCAN  | AB             | 2 | n | 1 | 0 | 0 | 4/4 | 0 | 0 | 0,0,0 | 0 | 0 | 4 | 0 | 4
MATS   | ABC, part D    | 2 | n | 1 | 2 | 0 | 4/2 | 0 | 0 | 0,0,0 | 0 | 0 | 2 | 0 | 2
MATS+  | ABCD           | 2 | n | 1 | 3 | 3 | 6/4 | 0 | 0 | 3,3,0 | 2 | 0 | 4 | 0 | 4
MATS++ | ABCD           | 2 | y | 2 | 3 | 3 | 6/4 | 0 | 0 | 3,3,0 | 4 | 0 | 4 | 0 | 4
X      | ABCD           | 2 | n | 2 | 4 | 4 | 6/5 | 0 | 0 | 4,4,0 | 4 | 0 | 5 | 0 | 5
Y      | ABCD           | 2 | y | 2 | 4 | 4 | 6/5 | 0 | 2 | 4,4,0 | 4 | 0 | 5 | 4 | 5
C      | ABCD           | 2 | n | 2 | 4 | 8 | 8/8 | 0 | 1 | 8,8,0 | 8 | 0 | 8 | 2 | 8
C-     | ABCD           | 2 | n | 2 | 4 | 8 | 8/8 | 0 | 0 | 8,8,0 | 8 | 0 | 8 | 0 | 8
C+     | ABCD           | 2 | y | 2 | 4 | 8 | 8/8 | 0 | 2 | 8,8,0 | 8 | 0 | 8 | 8 | 8
A      | ABCD           | 2 | n | 2 | 4 | 8 | 8/6 | 0 | 0 | 6,8,0 | 5 | 0 | 6 | 0 | 6
B      | ABCD           | 2 | y | 2 | 4 | 8 | 8/6 | 0 | 0 | 6,8,0 | 5 | 0 | 6 | 0 | 6
PMOVI  | ABCD           | 2 | y | 2 | 4 | 7 | 8/8 | 0 | 2 | 8,7,0 | 8 | 0 | 8 | 6 | 8
U      | ABCD           | 2 | y | 2 | 4 | 8 | 8/8 | 0 | 0 | 8,8,0 | 8 | 0 | 8 | 0 | 8
LR     | ABCD           | 2 | y | 2 | 4 | 8 | 8/8 | 0 | 0 | 8,8,0 | 8 | 0 | 8 | 0 | 8
SR     | AB             | 2 | y | 2 | 4 | 8 | 8/8 | 0 | 2 | 8,8,0 | 8 | 0 | 8 | 4 | 8
LA     | ABCD           | 2 | y | 2 | 4 | 8 | 8/8 | 0 | 2 | 8,8,0 | 8 | 0 | 8 | 8 | 8
SS     | ABCD           | 2 | n | 2 | 4 | 8 | 8/8 | 2 | 2 | 8,8,8 | 8 | 8 | 8 | 8 | 8
RAW    | ABCD           | 2 | y | 2 | 4 | 8 | 8/8 | 2 | 2 | 8,8,8 | 8 | 8 | 8 | 8 | 8`

// publishedLinked is the same of the linked faults in 4 cells: CFid#CFid of two aggressors and of one, CFin#CFin likewise,
// TF#CFin, TF#CFid; the first line is how many there are.
const publishedLinked = `
all | 192 | 48 | 96 | 12 | 48 | 96
Y   | 112 | 36 | 48 |  6 | 48 | 96
C-  | 160 | 48 | 64 | 12 | 48 | 96
A   | 192 | 48 | 64 | 12 | 42 | 96
B   | 192 | 48 | 64 | 12 | 48 | 96
LR  | 192 | 48 | 64 | 12 | 48 | 96
LA  | 192 | 48 | 64 | 12 | 48 | 96
SS  | 160 | 48 | 64 | 12 | 48 | 96`

// table is the lines of a table by their first column, and their order.
func table(text string) (cells map[string][]string, order []string) {
	cells = map[string][]string{}
	for line := range strings.Lines(strings.TrimSpace(text)) {
		var row []string
		for cell := range strings.SplitSeq(line, "|") {
			row = append(row, strings.TrimSpace(cell))
		}
		cells[row[0]] = row[1:]
		order = append(order, row[0])
	}
	return cells, order
}

// byKind is the rows of a coverage by their symbol.
func byKind(rows []Row) map[string]Row {
	by := map[string]Row{}
	for _, r := range rows {
		by[r.Symbol] = r
	}
	return by
}

// line writes a coverage as the table of the sheet does.
func line(rows []Row) []string {
	by := byKind(rows)
	whole, part := "", ""
	for _, letter := range []string{"A", "B", "C", "D"} {
		switch r := by["AF "+letter]; r.Always() {
		case len(r.Variants):
			whole += letter
		case 0:
		default:
			part += ", part " + letter
		}
	}
	n := func(kind string) string { return fmt.Sprint(by[kind].Always()) }
	open := [...]string{"n", "y"}[by["SOF"].Always()]
	return []string{whole + part, n("SAF"), open, n("TF"), n("CFin"), n("CFid"), n("CFst(p)") + "/" + n("CFst(t)"), n("WDF"), n("DRDF"),
		n("CFds rx") + "," + n("CFds xw!x") + "," + n("CFds xwx"), n("CFtr"), n("CFwd"), n("CFrd"), n("CFdrd"), n("CFir")}
}

// TestPublishedCoverage recomputes every cell of the table, in 3, 4 and 5 cells.
func TestPublishedCoverage(t *testing.T) {
	want, order := table(published)
	if len(order) != len(catalogue) {
		t.Fatalf("%d tests in the table, %d in the catalogue", len(order), len(catalogue))
	}
	sizes := []int{3, 4, 5}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, cells := range sizes {
		for _, name := range order {
			test, ok := Named(name)
			if !ok {
				t.Fatalf("no test %s", name)
			}
			rows := cover(test, cells, false)
			if got, want := strings.Join(line(rows), " | "), strings.Join(want[name], " | "); got != want {
				t.Errorf("%s in %d cells:\n got %s\nwant %s", name, cells, got, want)
			}
			// The sheet says of all tests: RDF 2/2, IRF 2/2.
			if by := byKind(rows); by["RDF"].Always() != 2 || by["IRF"].Always() != 2 {
				t.Errorf("%s in %d cells: RDF %d, IRF %d; want 2, 2", name, cells, by["RDF"].Always(), by["IRF"].Always())
			}
		}
	}
}

// TestVariantsInAll holds the totals that the table counts out of.
func TestVariantsInAll(t *testing.T) {
	want := map[string]int{"AF A": 2, "AF B": 8, "AF C": 2, "AF D": 4, "SAF": 2, "SOF": 1, "TF": 2, "CFin": 4, "WDF": 2, "RDF": 2, "DRDF": 2, "IRF": 2}
	for _, r := range cover(Tests()[0], 3, false) {
		n, ok := want[r.Symbol]
		if !ok {
			n = 8
		}
		if len(r.Variants) != n {
			t.Errorf("%s has %d variants, want %d", r.Symbol, len(r.Variants), n)
		}
	}
}

func TestPublishedLinkedCoverage(t *testing.T) {
	want, order := table(publishedLinked)
	kinds := []string{"CFid#CFid two", "CFid#CFid one", "CFin#CFin two", "CFin#CFin one", "TF#CFin", "TF#CFid"}
	for _, name := range order[1:] {
		test, _ := Named(name)
		by := byKind(Cover(test, 4))
		for i, kind := range kinds {
			got := fmt.Sprintf("%d of %d", by[kind].Always(), len(by[kind].Variants))
			if want := want[name][i] + " of " + want["all"][i]; got != want {
				t.Errorf("%s, %s: got %s, want %s", name, kind, got, want)
			}
		}
	}
	if testing.Short() {
		return
	}
	// The sheet: 64 of 96 was the ceiling for CFin#CFin among all tests tried.
	for _, test := range Tests() {
		if n := byKind(Cover(test, 4))["CFin#CFin two"].Always(); n > 64 {
			t.Errorf("%s detects %d of CFin#CFin of two aggressors, more than 64", test.Name, n)
		}
	}
}

// TestQuickestSentinels holds what tells the tests apart soonest: item 24 of section 9 of the sheet.
func TestQuickestSentinels(t *testing.T) {
	variant := func(name, kind, variant string) Seen {
		test, _ := Named(name)
		for _, v := range byKind(cover(test, 4, false))[kind].Variants {
			if v.Name == variant {
				return v.Seen
			}
		}
		t.Fatalf("%s has no variant %s", kind, variant)
		return 0
	}
	for _, tt := range []struct {
		test, kind, variant string
		want                Seen
	}{
		{"MATS+", "TF", "<1w0/1/->", Sometimes}, // seen only where the cell happens to hold 1 at first
		{"MATS++", "TF", "<1w0/1/->", Always},
		{"SR", "AF C", "one cell, x below y", Never},
		{"C-", "AF C", "one cell, x below y", Always},
		{"RAW", "WDF", "<0w0/1/->", Always},
		{"LA", "WDF", "<1w1/0/->", Never},
	} {
		if got := variant(tt.test, tt.kind, tt.variant); got != tt.want {
			t.Errorf("%s, %s %s: got %d, want %d", tt.test, tt.kind, tt.variant, got, tt.want)
		}
	}
	for _, tt := range Tests() {
		all := byKind(cover(tt, 4, false))["WDF"].Always() == 2
		if want := tt.Name == "SS" || tt.Name == "RAW"; all != want {
			t.Errorf("%s detects all WDF: %v, want %v", tt.Name, all, want)
		}
	}
}
