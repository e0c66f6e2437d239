package syntax

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A file with a doubt mark at the end of each kind of line, in the printer's layout but for the lines that it joins.
const doubtful = `store     ST0 000-377: 4 bits                       page 2-1 ?
  wired ?
  parity  left odd over 3-2
  parity  right odd over 1-0 and address ?
  check-bit c1 odd over 3 1-0
  check-bit c2 odd over 3-2 0 ?
  corrects once ?
  chips   U1-U4 for bits 0-3 ?

order     jump-*-* d
  pattern 1011 c s dddd ?
  each    c: 0 zero = (zero = 1)
  each    s: 0 near = (1) ?
  except  load, move-* ?
  operand d as page:d ?
  mode    reached ?
  must    d /= 0
  must    d /= 1 ?
  does    let v = c
          if v = 1 ?
            P <- d
          else ?
            halt; A <- 1 ?
          end
          repeat 3 times while A = 0 ?
          end ?
          if A = 0 then wait 1 else halt ?
  cost    2 ?
  check   "1011" reads "jump-zero-near 0"
  check   A = 1 : A = 2 ?

interrupt tape "ready"
  level   3 ?
  when    A = 1 ?
  after   2 orders of go ?
  does    halt ?

undefined 0110 **** "spare"
  does ?
  cost    2 ?
`

func TestDoubts(t *testing.T) {
	f, err := Parse("doubtful", []byte(doubtful))
	if err != nil {
		t.Fatal(err)
	}
	var want, got []int
	for i, line := range strings.Split(doubtful, "\n") {
		if strings.HasSuffix(line, "?") && !strings.HasPrefix(line, "store") {
			want = append(want, i+1)
		}
	}
	var said []string
	for _, s := range f.Statements {
		for _, d := range s.Head().Doubts {
			got = append(got, d.At.Line)
			said = append(said, fmt.Sprint(d.Clause, d.Nth))
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("doubted lines:\ngot  %v\nwant %v\nin\n%s", got, want, doubtful)
	}
	for _, d := range []string{"check-bit1", "each1", "must1", "does1", "does3", "does4", "does6", "does7", "does8", "check1", "parity0", "after0"} {
		if !slices.Contains(said, d) {
			t.Errorf("no doubt is %s; they are %v", d, said)
		}
	}
	if !f.Statements[0].Head().Doubt {
		t.Error("the doubt of the head line is lost")
	}
	// The columns of one store are one list, doubted together.
	printed := strings.Replace(doubtful, "over 3-2\n  parity  right odd", "over 3-2, right odd", 1)
	if text := string(Print(f)); text != printed {
		t.Errorf("printed:\n%s\nwant:\n%s", text, printed)
	}
	sameAgain(t, f, doubtful)
}

// A ? may be a bit of a pattern or the doubt mark.
func TestQuestionMarksInPatterns(t *testing.T) {
	tests := []struct {
		name, typed string
		words       string
		doubt       bool
		printed     string
	}{
		{"bit close by", "order a\npattern 0011??", "0011??", false, "0011 ??"},
		{"bits alone", "order a\npattern 0011 ??", "0011??", false, "0011 ??"},
		{"doubt", "order a\npattern 0011 ?", "0011", true, "0011 ?"},
		{"doubt before a comment", "order a\npattern 0011  ? # as I read it", "0011", true, "0011 ?"},
		{"bit close by, and doubt", "order a\npattern 0011? ?", "0011?", true, "0011? ?"},
		{"bit in the middle", "order a\npattern 0011 ? aa", "0011?aa", false, "0011 ? aa"},
		{"bit before a stroke", "order a\npattern 0011 ? / 0011", "0011? 0011", false, "0011? / 0011"},
		{"one bit", "order a\npattern ?", "?", false, "?"},
		{"one bit behind a stroke", "order a\npattern 01 / ?", "01 ?", false, "01 / ?"},
		{"two lines, the first doubted", "order a\npattern 01 ?\npattern 10", "01 10", true, "01 / 10 ?"},
		{"a long order, a line a word", "order a\npattern " + strings.Repeat("01*", 20) + "\npattern " + strings.Repeat("a", 60) + " ?",
			strings.Repeat("01*", 20) + " " + strings.Repeat("a", 60), true, strings.TrimSpace(strings.Repeat("01 * ", 20)) + " ?"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := Parse("pattern", []byte(tt.typed))
			if err != nil {
				t.Fatalf("%v\nfrom %q", err, tt.typed)
			}
			var words []string
			for _, p := range f.Statements[0].(*Order).Patterns {
				words = append(words, p.Text)
			}
			if got := strings.Join(words, " "); got != tt.words || (f.Statements[0].Head().Doubts != nil) != tt.doubt {
				t.Errorf("got %q, doubts %v, want %q, doubted %v, from %q", got, f.Statements[0].Head().Doubts, tt.words, tt.doubt, tt.typed)
			}
			_, got, _ := strings.Cut(string(Print(f)), "pattern ")
			if got, _, _ = strings.Cut(got, "\n"); got != tt.printed {
				t.Errorf("printed %q, want %q, from %q", got, tt.printed, tt.typed)
			}
			sameAgain(t, f, tt.typed)
		})
	}
}

// Patterns on head lines end where the page begins.
func TestPatternsOnHeadLines(t *testing.T) {
	tests := []struct{ typed, printed string }{
		{"undefined 0110 rrpage page 3-9 ?", "undefined 0110 rr p a g e                           page 3-9 ?\n"},
		{"undefined 0110 ? page 3-9", "undefined 0110?                                     page 3-9\n"},
		{`undefined 01??"spare" ?`, "undefined 01 ?? \"spare\" ?\n"},
		{`undefined 01 ""`, "undefined 01\n"},
		{"declares 1 orders of 01** page 1", "declares  1 orders of 01 **                         page 1\n"},
		{"declares 1 orders of 01** ?", "declares  1 orders of 01 ** ?\n"},
		{"declares 1 orders page 1", "declares  1 orders                                  page 1\n"},
	}
	for _, tt := range tests {
		f, err := Parse("head", []byte(tt.typed))
		if err != nil {
			t.Errorf("%v\nfrom %q", err, tt.typed)
			continue
		}
		if got := string(Print(f)); got != tt.printed {
			t.Errorf("got %q, want %q, from %q", got, tt.printed, tt.typed)
		}
		sameAgain(t, f, tt.typed)
	}
}

// Words that no order reads may do nothing, which is not the same as saying nothing of them.
func TestUndefinedSaysNothing(t *testing.T) {
	f, err := Parse("undefined", []byte("undefined 00\nundefined 01\n  does\nundefined 10\n  does halt\n"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"[]syntax.Line(nil)", "[]syntax.Line{}", "1 line"} {
		does := f.Statements[i].(*Undefined).Does
		got := fmt.Sprintf("%#v", does)
		if len(does) > 0 {
			got = fmt.Sprint(len(does), " line")
		}
		if got != want {
			t.Errorf("group %d does %s, want %s", i, got, want)
		}
	}
	sameAgain(t, f, "three groups")
}
