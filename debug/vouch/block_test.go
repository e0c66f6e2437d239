package vouch_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/debug/vouch"
)

// What a recording holds besides its blocks is told of, and keeps no sheet from GOOD by itself.
func TestOddTapes(t *testing.T) {
	tape := newHouse(t, "office.list", "Pip", "Pip")["pip.tape"]
	block := func(n int) []byte { return tape[n*blockSize : (n+1)*blockSize] }
	bad := bytes.Clone(block(1))
	bad[11] ^= 1 // its third word
	tests := []struct {
		name    string
		tape    []byte
		classes []string // of blocks by number
		odd     string   // in what is said to be odd; "" for nothing
		result  string
	}{
		{"as it is", tape, []string{"0 run", "1 read only as data", "2 loaded, never touched"}, "", "GOOD"},
		// The starter lays 24 words: of four blocks the last stays on the tape.
		{"recorded again", slices.Concat(block(0), bad, block(1), block(2)),
			[]string{"0 run", "1 recorded again", "1 read only as data", "2 not loaded"}, "", "GOOD"},
		{"goes on behind the last", slices.Concat(tape, block(1)), []string{"0 run", "1 recorded again", "1 read only as data", "2 loaded, never touched"}, "goes on behind block 2", "GOOD"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			h := newHouse(t, "office.list", "Pip", "Pip")
			h["pip.tape"] = test.tape
			s := h.sheet(t, "")
			var got []string
			for _, b := range s.Blocks {
				got = append(got, b.Name+" "+b.Class)
			}
			if diff := cmp.Diff(test.classes, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if odd := strings.Join(s.Odd, "; "); !strings.Contains(odd, test.odd) || (odd == "") != (test.odd == "") {
				t.Errorf("odd: %q, want %q", odd, test.odd)
			}
			if s.Result != test.result {
				t.Errorf("%s, want %s; against it: %q", s.Result, test.result, s.Against)
			}
			if odd := s.Odd; len(odd) > 0 && !strings.Contains(s.Text(), "Odd on the tape") {
				t.Errorf("the sheet does not tell of %q", odd)
			}
		})
	}
}

// Of the kinds of proof only those stand in the table that some block records, and with all of them it is as wide as paper.
func TestProofs(t *testing.T) {
	row := func(sum, check, parity string) vouch.Block {
		return vouch.Block{Channel: "TC1", Name: "031", Loads: "020400-020777", Class: "loaded, never touched", Words: 256, Untouched: 256, Sum: sum, Check: check, Parity: parity}
	}
	tests := []struct {
		name string
		of   []vouch.Block
		want []string // lines of the table
	}{
		{"none", []vouch.Block{row("-", "-", "-")}, []string{
			"TC1   loads           class                  run data  not",
			" 031  020400-020777   loaded, never touched    0    0  256"}},
		{"sum", []vouch.Block{row("right", "-", "-")}, []string{
			"TC1   loads           class                  run data  not  sum",
			" 031  020400-020777   loaded, never touched    0    0  256  right"}},
		{"all, not of every block", []vouch.Block{row("right", "WRONG", "-"), row("-", "-", "right")}, []string{
			"TC1   loads           class                  run data  not  sum    check  parity",
			" 031  020400-020777   loaded, never touched    0    0  256  right  WRONG  -",
			" 031  020400-020777   loaded, never touched    0    0  256  -      -      right"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := &vouch.Sheet{Agreed: "The same.", Blocks: test.of}
			text := s.Text()
			if !strings.Contains(text, "\n"+strings.Join(test.want, "\n")+"\n") {
				t.Errorf("no lines\n%s\nin\n%s", strings.Join(test.want, "\n"), text)
			}
			for line := range strings.Lines(text) {
				if len(line) > 81 {
					t.Errorf("%d columns: %s", len(line)-1, line)
				}
			}
		})
	}
}
