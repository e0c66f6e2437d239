package list_test

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/loader/list"
)

// forms are those of an invented list for these tests.
var forms = []list.Form{
	{Shape: "machine FILE", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: `tape CHANNEL FILE "label"`, Min: 2, Max: 3},
	{Shape: "device CHANNEL WORDS...", Min: 1, Max: -1},
}

func TestCheck(t *testing.T) {
	tests := []struct {
		name, src, want string // want is the report; "" for none
		good            int
	}{
		{"all kinds", "machine m\ntape a b\ntape a b c\ndevice a b c d e", "", 4},
		{"unknown, one near", "machine m\ntpae a b", `x.list:2:1: "tpae" is no record here; the nearest is "tape"`, 1},
		{"unknown, none near", "machine m\nquux", `x.list:2:1: "quux" is no record here; known are: machine, tape, device`, 1},
		{"too few", "machine m\ntape a", `x.list:2:1: the record has 1 words after "tape"; it must look like: tape CHANNEL FILE "label"`, 1},
		{"too many", "machine m\ntape a b c d", `x.list:2:1: the record has 4 words after "tape"; it must look like: tape CHANNEL FILE "label"`, 1},
		{"twice", "machine m\nmachine n", `x.list:2:1: a second record "machine"; line 1 has the first, and there may be one only`, 1},
		{"absent", "tape a b", `x.list: no record "machine"; add a line like: machine FILE`, 1},
		{"misshapen is not absent", "machine", `x.list:1:1: the record has 0 words after "machine"; it must look like: machine FILE`, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			records, err := list.Read("x.list", []byte(tt.src))
			if err != nil {
				t.Fatal(err)
			}
			var errs list.Errors
			good := list.Check(&errs, "x.list", records, forms)
			got := ""
			if err := errs.Err(); err != nil {
				got = list.Report(err)
			}
			if got != tt.want || len(good) != tt.good {
				t.Errorf("got  %d records, %q\nwant %d records, %q", len(good), got, tt.good, tt.want)
			}
		})
	}
}

func TestNumber(t *testing.T) {
	tests := []struct {
		name, text string
		want       int
		refused    string
	}{
		{"within", "256", 256, ""},
		{"lowest", "1", 1, ""},
		{"highest", "1000", 1000, ""},
		{"leading zeros are still decimal", "010", 10, ""},
		{"above", "1001", 0, "the count is 1001; it must be from 1 to 1000"},
		{"below", "0", 0, "the count is 0; it must be from 1 to 1000"},
		{"wrong digit", "1F", 0, `"1F" is no decimal number; the count must be one, from 1 to 1000`},
		{"sign", "-1", 0, `"-1" is no decimal number`},
		{"underline", "1_0", 0, `"1_0" is no decimal number`},
		{"empty", "", 0, `"" is no decimal number`},
		{"2^64", "18446744073709551616", 0, "the count is 18446744073709551616; it must be from 1 to 1000"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var errs list.Errors
			got, ok := list.Word{Text: tt.text}.Number(&errs, "the count", 1, 1000)
			err := errs.Err()
			switch {
			case tt.refused == "" && (!ok || got != tt.want || err != nil):
				t.Errorf("%q: got %d, %v; want %d", tt.text, got, err, tt.want)
			case tt.refused != "" && (ok || err == nil || !strings.Contains(err.Error(), tt.refused)):
				t.Errorf("%q: got %d, %v; want the refusal %q", tt.text, got, err, tt.refused)
			}
		})
	}
}

func TestNearest(t *testing.T) {
	words := []string{"machine", "tape", "layout", "areas", "chase"}
	tests := []struct{ name, typed, want string }{
		{"right already", "tape", "tape"},
		{"two letters exchanged", "tpae", "tape"},
		{"one left out", "machne", "machine"},
		{"one put in", "layoutt", "layout"},
		{"one changed", "aredas", "areas"},
		{"other case", "TAPE", "tape"},
		{"nothing near", "zzzzzz", ""},
		{"one of four letters", "tope", "tape"},
		{"half of a short word", "nope", ""},
		{"half of a short word that begins alike", "toje", "tape"},
		{"two of five letters", "chush", "chase"},
		{"nothing typed", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := list.Nearest(tt.typed, words); got != tt.want {
				t.Errorf("Nearest(%q) = %q, want %q", tt.typed, got, tt.want)
			}
		})
	}
}

func TestBrief(t *testing.T) {
	sixty := strings.Repeat("\u00e9", 60)
	for typed, want := range map[string]string{"": "", "tape": "tape", sixty: sixty, sixty + "x": sixty + "...", "a\xff": "a\xff"} {
		if got := list.Brief(typed); got != want {
			t.Errorf("Brief(%q) = %q, want %q", typed, got, want)
		}
	}
	if got := list.Unknown("record", sixty+"x", []string{"tape"}); !strings.Contains(got, `..."`) {
		t.Errorf("a very long word is repeated whole: %s", got)
	}
}

func TestLookalike(t *testing.T) {
	for c := rune(0); c < 0x80; c++ {
		if got := list.Lookalike(c); got != "" {
			t.Errorf("the plain character %q is said to look like %q", c, got)
		}
	}
	for c, want := range map[rune]string{'＃': "#", '～': "~", '−': "-", 'Ο': "O", '٠': "0", 'ä': ""} {
		if got := list.Lookalike(c); got != want {
			t.Errorf("Lookalike(%q) = %q, want %q", c, got, want)
		}
	}
}

func ExampleCheck() {
	src := "machine brindlecote.machine\ntpae TC1 gp-1.tape\n"
	records, _ := list.Read("office.list", []byte(src))
	var errs list.Errors
	good := list.Check(&errs, "office.list", records, forms)
	fmt.Println(len(good), "good")
	fmt.Println(list.Report(errs.Err()))
	// Output:
	// 1 good
	// office.list:2:1: "tpae" is no record here; the nearest is "tape"
}
