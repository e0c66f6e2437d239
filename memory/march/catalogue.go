package march

import "strings"

// catalogue is the tests, with the sources as far as we know them: [src] is a sequence and citation read in public
// memory-test tables, code comments or an encyclopaedia, not in the papers; [mem] is from memory.
var catalogue = []struct {
	name, text string
	published  int // operations for each cell
	source     string
}{
	{"MSCAN", "either(w0); either(r0); either(w1); either(r1)", 4, "[mem]"},
	{"MATS", "either(w0); either(r0,w1); either(r1)", 4, "[src] sequence; [mem] Nair 1979"},
	{"MATS+", "either(w0); up(r0,w1); down(r1,w0)", 5, "[src] lists Nair 1979; [mem] Abadir & Reghbati 1983"},
	{"MATS++", "either(w0); up(r0,w1); down(r1,w0,r0)", 6, "[src] van de Goor 1991"},
	{"X", "either(w0); up(r0,w1); down(r1,w0); either(r0)", 6, "[src]"},
	{"Y", "either(w0); up(r0,w1,r1); down(r1,w0,r0); either(r0)", 8, "[src]"},
	{"C", "either(w0); up(r0,w1); up(r1,w0); either(r0); down(r0,w1); down(r1,w0); either(r0)", 11, "[mem] Marinescu 1982"},
	{"C-", "either(w0); up(r0,w1); up(r1,w0); down(r0,w1); down(r1,w0); either(r0)", 10, "[src]"},
	{"C+", "either(w0); up(r0,w1,r1); up(r1,w0,r0); down(r0,w1,r1); down(r1,w0,r0); either(r0)", 14, "[mem]"},
	{"A", "either(w0); up(r0,w1,w0,w1); up(r1,w0,w1); down(r1,w0,w1,w0); down(r0,w1,w0)", 15, "[src] Suk & Reddy 1981"},
	{"B", "either(w0); up(r0,w1,r1,w0,r0,w1); up(r1,w0,w1); down(r1,w0,w1,w0); down(r0,w1,w0)", 17, "[src] Suk & Reddy 1981"},
	{"PMOVI", "down(w0); up(r0,w1,r1); up(r1,w0,r0); down(r0,w1,r1); down(r1,w0,r0)", 13, "[src] 1976"},
	{"U", "either(w0); up(r0,w1,r1,w0); up(r0,w1); down(r1,w0,r0,w1); down(r1,w0)", 13, "[src] 1997"},
	{"LR", "either(w0); down(r0,w1); up(r1,w0,r0,w1); up(r1,w0); up(r0,w1,r1,w0); up(r0)", 14, "[src] VTS 1996"},
	{"SR", "down(w0); up(r0,w1,r1,w0); up(r0,r0); up(w1); down(r1,w0,r0,w1); down(r1,r1)", 14, "[src] ATS 2000"},
	{"LA", "either(w0); up(r0,w1,w0,w1,r1); up(r1,w0,w1,w0,r0); down(r0,w1,w0,w1,r1); down(r1,w0,w1,w0,r0); down(r0)", 22, "[src] 1999"},
	{"SS", "either(w0); up(r0,r0,w0,r0,w1); up(r1,r1,w1,r1,w0); down(r0,r0,w0,r0,w1); down(r1,r1,w1,r1,w0); either(r0)", 22, "[src] MTDT 2002"},
	{"RAW", "either(w0); up(r0,w0,r0,r0,w1,r1); up(r1,w1,r1,r1,w0,r0); " +
		"down(r0,w0,r0,r0,w1,r1); down(r1,w1,r1,r1,w0,r0); either(r0)", 26, "[src] VTS 2002"},
}

// Tests is the march tests of the literature, the short and old ones first.
func Tests() []Test {
	var all []Test
	for _, c := range catalogue {
		t, err := Parse(c.text)
		if err != nil {
			continue // no text of ours is refused: a test holds that none is missing
		}
		t.Name, t.Published, t.Source = c.name, c.published, c.source
		all = append(all, t)
	}
	return all
}

// Named is the test of the literature that has this name, with or without the word March before it.
func Named(name string) (Test, bool) {
	for _, t := range Tests() {
		if t.Name == strings.TrimPrefix(name, "March ") {
			return t, true
		}
	}
	return Test{}, false
}
