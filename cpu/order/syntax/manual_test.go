package syntax

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"golang.org/x/exp/ebnf"
)

// keywords are the words that begin lines, in alphabetical order.
var keywords = slices.Compact(slices.Sorted(slices.Values(slices.Concat(
	slices.Collect(maps.Keys(statementTable())), slices.Collect(maps.Keys(clauseOwners)),
	actionWords, blockWords, closeWords))))

// blocks gives the set-in blocks of the manual, each under the heading it stands below.
func blocks() (grammar string, examples []string) {
	heading, block := "", ""
	flush := func() {
		switch {
		case strings.TrimSpace(block) == "":
		case heading == "Grammar":
			grammar += block
		default:
			examples = append(examples, block)
		}
		block = ""
	}
	for line := range strings.Lines(doc) { // in Manual, lists are set in too
		if text, ok := strings.CutPrefix(line, "//\t"); ok {
			block += text
			continue
		}
		flush()
		if text, ok := strings.CutPrefix(line, "// # "); ok {
			heading = strings.TrimSpace(text)
		}
	}
	flush()
	return grammar, examples
}

// grammar is the grammar as the manual publishes it.
func grammar(t testing.TB) ebnf.Grammar {
	text, _ := blocks()
	g, err := ebnf.Parse("manual", strings.NewReader(text))
	if err != nil {
		t.Fatalf("the grammar of the manual does not parse: %v\n%s", err, text)
	}
	if err := ebnf.Verify(g, "File"); err != nil {
		t.Fatalf("the grammar of the manual is not whole: %v", err)
	}
	return g
}

func TestGrammarIsWhole(t *testing.T) {
	g := grammar(t)
	text, _ := blocks()
	for _, w := range slices.Concat(keywords, operatorWords, radixWords, units, indexWords) {
		if !strings.Contains(text, `"`+w+`"`) {
			t.Errorf("the grammar has no %q", w)
		}
	}
	if len(g) < 60 {
		t.Errorf("the grammar has %d productions; most of it was not found", len(g))
	}
}

func TestManualExamplesParse(t *testing.T) {
	_, examples := blocks()
	if len(examples) < 30 {
		t.Fatalf("found %d examples in the manual; most of them were not found", len(examples))
	}
	used := map[string]bool{}
	for _, example := range examples {
		f, err := Parse("manual", []byte(example))
		if err != nil {
			t.Errorf("an example does not parse: %v\n%s", err, example)
			continue
		}
		sameAgain(t, f, example)
		for line := range strings.Lines(example) {
			for _, w := range strings.Fields(line) {
				used[w] = true
			}
		}
	}
	for _, w := range slices.Concat(keywords, operatorWords) {
		if !used[w] {
			t.Errorf("no example of the manual shows %q", w)
		}
	}
}

func TestManualListsKeywords(t *testing.T) {
	_, list, _ := strings.Cut(strings.Join(strings.Fields(Manual()), " "), "The words that begin lines are: ")
	list, _, _ = strings.Cut(list, ".")
	got := strings.FieldsFunc(strings.Replace(list, " and ", ", ", 1), func(r rune) bool { return r == ',' || r == ' ' })
	if !slices.Equal(got, keywords) {
		t.Errorf("words that begin lines:\ngot  %q\nwant %q", got, keywords)
	}
}

func TestManualIsPlainText(t *testing.T) {
	for i, line := range strings.Split(Manual(), "\n") {
		if strings.HasPrefix(line, "//") || strings.HasPrefix(line, "package ") || strings.Contains(line, "\t") {
			t.Errorf("line %d of the manual is Go, not text: %q", i+1, line)
		}
		if len(line) > 80 {
			t.Errorf("line %d of the manual is too wide for a terminal, %d columns: %q", i+1, len(line), line)
		}
	}
}
