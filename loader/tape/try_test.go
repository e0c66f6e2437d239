package tape_test

import (
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
)

// A check is tried where a person would look for the code: in place of the layout's own, of spare words at the end, or of
// the last words of the data. Wherever it stands, the code of a known text is found there.
func TestWithCheck(t *testing.T) {
	const eights = "word 8 bits\nbytes 1 of 8 bits make 1 word high first\n"
	const arc = "check 16 bits 8005 start 0000 in reflected out reflected final 0000 2 words low first over data"
	tests := []struct{ name, records, in string }{
		{"its own", eights + "data 9 words\ncheck 16 bits 1021 start FFFF in straight out straight final 0000 over data", "its check"},
		{"spare", eights + "data 9 words\nfield spare 2 words high first", "the spare words at its end"},
		{"more spare", eights + "mark A5\ndata 9 words\nfield spare 3 words high first\nnumbers hexadecimal", "the last 2 of the 3 spare words at its end"},
		{"data", eights + "data 11 words", "the last 2 of its 11 words of data"},
		{"varying data, and spare", eights + "field count\ndata count words up to 20\nfield spare 2 words high first", "the spare words at its end"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			with, in, err := l.WithCheck(arc)
			if err != nil || in != tt.in {
				t.Fatalf("in place of %q, %v; want %q", in, err, tt.in)
			}
			raw := asWords("123456789")
			if l.DataAt() == 1 {
				raw = slices.Insert(raw, 0, 9)
			}
			if strings.Contains(tt.name, "more") {
				raw = append(raw, 0)
			}
			raw = append(raw, 0x3D, 0xBB)
			if read, made, ok := with.Code(raw); !ok || read != 0xBB3D || made != 0xBB3D {
				t.Errorf("code read %X, made %X, %v; want BB3D", read, made, ok)
			}
			if _, _, ok := with.Code(raw[1:]); ok && tt.name != "varying data, and spare" {
				t.Error("a block a word short has a code")
			}
			if _, _, ok := l.Code(raw); ok != (tt.name == "its own") {
				t.Error("the layout itself has changed")
			}
		})
	}
}

func TestWithCheckRefuses(t *testing.T) {
	tests := []struct{ name, records, check, want string }{
		{"a sum at the end", "data 2 words\nsum add over data", check, "check:1:1: the code has no place: what ends a block is its sum; for the code, add a line `field spare 2 words high first` behind it"},
		{"varying data", "field count\ndata count words up to 9", check, "the code has no place: what ends a block is its data"},
		{"one spare word", "data 2 words\nfield spare", check, "the code has no place"},
		{"its own of another size", "data 2 words\nnumbers hexadecimal\ncheck 8 bits 07 start 00 in straight out straight final 00 over data", check, "the code would take 2 words, and the layout's own check takes 1; make the check a `field spare`"},
		{"no room in the data", "data 2 words", check, "the code has no place"},
		{"over what is not there", "data 9 words", check + " number", `the check is over "number", but a block has no such part`},
		{"mistyped", "data 9 words", "check 16 bits 8005 strat", `the nearest is "start"`},
	}
	for _, tt := range tests {
		l, err := build(tt.records)
		if err != nil {
			t.Fatal(list.Report(err))
		}
		if with, _, err := l.WithCheck(tt.check); with != nil || err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got %v, want %s", tt.name, err, tt.want)
		}
	}
}

func TestParts(t *testing.T) {
	l, err := build("mark 7070\nfield number\nfield spare\ndata 2 words\nsum add over data\n" + check)
	if err != nil {
		t.Fatal(list.Report(err))
	}
	if got, want := strings.Join(l.Parts(), " "), "mark number spare data sum check"; got != want {
		t.Errorf("parts %s, want %s", got, want)
	}
}
