package march

import (
	"strings"
	"testing"
)

// TestPublishedLengths counts the operations of every test: section 6.3 and item 23 of section 9 of our sheet of published
// values.
func TestPublishedLengths(t *testing.T) {
	want := []int{4, 4, 5, 6, 6, 8, 11, 10, 14, 15, 17, 13, 13, 14, 14, 22, 22, 26}
	tests := Tests()
	if len(tests) != len(want) || len(tests) != len(catalogue) {
		t.Fatalf("%d tests of %d in the catalogue, want %d", len(tests), len(catalogue), len(want))
	}
	for i, tt := range tests {
		if tt.Length() != want[i] || tt.Published != want[i] {
			t.Errorf("%s: %d operations, published as %d, want %d", tt.Name, tt.Length(), tt.Published, want[i])
		}
		if tt.String() != catalogue[i].text {
			t.Errorf("%s prints as %s, is written %s", tt.Name, tt, catalogue[i].text)
		}
		if tt.Source == "" {
			t.Errorf("%s has no source", tt.Name)
		}
	}
}

func TestNamed(t *testing.T) {
	for name, want := range map[string]string{"C-": "C-", "March C-": "C-", "MATS+": "MATS+", "c-": "", "": "", "March ": ""} {
		if tt, ok := Named(name); tt.Name != want || ok != (want != "") {
			t.Errorf("Named(%q) is %q, %v; want %q", name, tt.Name, ok, want)
		}
	}
}

func TestParse(t *testing.T) {
	tests := []struct{ text, want, err string }{
		{"either(w0); up(r0,w1); down(r1,w0)", "either(w0); up(r0,w1); down(r1,w0)", ""},
		{"  up( w0 ,w1);down(r1)\t", "up(w0,w1); down(r1)", ""},
		{"", "", `column 1: the end where a direction belongs: up, down or either`},
		{"either(w0);", "", `column 12: the end where a direction belongs: up, down or either`},
		{"either(w0) up(r0)", "", `column 12: "up" where ";" belongs`},
		{"sideways(w0)", "", `column 1: "sideways" where a direction belongs: up, down or either`},
		{"Up(w0)", "", `column 1: "Up" where a direction belongs: up, down or either`},
		{"up w0", "", `column 4: "w0" where "(" belongs`},
		{"up()", "", `column 4: ")" where an operation belongs: r0, r1, w0 or w1`},
		{"up(w2)", "", `column 4: "w2" where an operation belongs: r0, r1, w0 or w1`},
		{"up(w0,)", "", `column 7: ")" where an operation belongs: r0, r1, w0 or w1`},
		{"up(w0", "", `column 6: the end where "," belongs`},
		{"up(w0 r0)", "", `column 7: "r0" where "," belongs`},
		{"up(r0)", "", `column 4: r0 reads what the test has not written: begin with either(w0)`},
		{"either(w0); up(r1)", "", `column 16: r1 would fail on a good store: every cell holds 0 there`},
		{"either(w0); up(r0,w1,r0)", "", `column 22: r0 would fail on a good store: every cell holds 1 there`},
		{strings.Repeat("either(w0);", 6) + "either(w0)", "", `column 67: a test has at most 6 eithers: say up or down`},
		{"\u21d1(w0)", "", `column 1: "\u21d1" where a direction belongs: up, down or either`},
		{"up(w0)\x1b[2J", "", `column 7: "\x1b" where ";" belongs`},
		{"up(" + strings.Repeat("w0,", 300) + "w0)", "", `column 196: a test has at most 64 operations`},
	}
	for _, tt := range tests {
		got, err := Parse(tt.text)
		if s := got.String(); s != tt.want {
			t.Errorf("Parse(%q) is %q, want %q", tt.text, s, tt.want)
		}
		if msg := errorText(err); msg != tt.err {
			t.Errorf("Parse(%q):\n got %s\nwant %s", tt.text, msg, tt.err)
		}
	}
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// FuzzParse holds that a test that is read prints as it would be read again, and one that is not yields nothing.
func FuzzParse(f *testing.F) {
	for _, c := range catalogue {
		f.Add(c.text)
	}
	f.Add("up(w0);;")
	f.Add("up(w0);\xd0") // half a letter
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Parse(text)
		if err != nil {
			if len(got.Elements) != 0 || !strings.HasPrefix(err.Error(), "column ") {
				t.Fatalf("%q: %v with %v", text, got, err)
			}
			for _, c := range err.Error() {
				if c < ' ' || c > '~' {
					t.Fatalf("%q: the message %q is no plain text", text, err)
				}
			}
			return
		}
		again, err := Parse(got.String())
		if err != nil || again.String() != got.String() || again.Length() != got.Length() {
			t.Fatalf("%q prints as %q, which reads as %q, %v", text, got, again, err)
		}
	})
}
