package main

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu"
)

// TestGoingOn presses the resume key where the second stage has given a block up: it goes on with the next one, and the
// office comes up with one block less. A trouble line names the table that stands in the place of the lost block.
func TestGoingOn(t *testing.T) {
	gone := func(from, to int) func([]byte) []byte { return cut(at(from, 0), at(to, 0)) }
	for _, test := range []struct {
		name  string
		edit  func([]byte) []byte
		halts []int
		lines []string
	}{
		{"a block missing", gone(0o44, 0o45), []int{0o201}, []string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE LINES 026000 "}},
		{"two missing", gone(0o44, 0o46), []int{0o201, 0o201}, []string{"UP 052 BLOCKS", "BLOCKS REFUSED 010", "TROUBLE TABLE LINES 026000 "}},
		{"no mark", flip(0o44, 0), []int{0o200}, []string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE LINES 026000 "}},
		{"address", flip(0o44, 2), []int{0o202}, []string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE LINES 026000 "}},
		{"count", flip(0o44, 3), []int{0o203}, []string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE LINES 026000 "}},
		{"sum", flip(0o44, header+7), []int{0o204}, []string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE LINES 026000 "}},
		{"the last missing", func(rec []byte) []byte { return rec[:at(0o53, 0)] }, []int{0o206},
			[]string{"UP 053 BLOCKS", "BLOCKS REFUSED 004", "TROUBLE TABLE NUMBERS 027470 "}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := power(t, map[string]func([]byte) []byte{tapeFile: test.edit})
			for i, want := range test.halts {
				run(h, cpu.Time(15*(i+1))*cpu.Second)
				if got := haltedBy(h); got != want || !h.Machine.Resume() {
					t.Fatalf("stop %d: halt %o, which resumes: %v; want halt %o", i, got, h.Machine.Resumes(), want)
				}
			}
			run(h, h.Machine.Now()+12*cpu.Second)
			text := fmt.Sprintf("halt %d\n%s", haltedBy(h), strings.Join(paper(h), "\n"))
			for _, want := range append(test.lines, "halt -1") {
				if !strings.Contains(text, want) {
					t.Errorf("printed no %q:\n%s", want, text)
				}
			}
		})
	}
}
