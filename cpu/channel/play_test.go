package channel

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu"
)

// A played tape gives the words and times that a program standing by gets, and leaves the drive where it was.
func TestPlay(t *testing.T) {
	three := reel{{1, 2}, {}, {3, 4}, {5, 6}}
	d, k := seated(three)
	k.command(0, 1)
	before := d.Position(6 * cpu.Millisecond)
	var got []string
	for at, r := range d.Play() {
		got = append(got, fmt.Sprintf("%o@%d", r.Word, at/cpu.Microsecond))
		if r.Origin.File != "reel" {
			t.Errorf("word %o is of %q", r.Word, r.Origin.File)
		}
	}
	// By hand: start 5 ms, 125 us a word, gaps of 15,375 us, one more for the place that holds nothing.
	if want := "1@5125 2@5250 3@36125 4@36250 5@51750 6@51875"; strings.Join(got, " ") != want {
		t.Errorf("%q, want %q", got, want)
	}
	if after := d.Position(6 * cpu.Millisecond); after.Block != before.Block || after.Word != before.Word {
		t.Errorf("it stood at %+v, and stands at %+v", before, after)
	}
	for range d.Play() {
		break // whoever has heard enough may leave
	}
	d.Seat(nil)
	for range d.Play() {
		t.Error("a drive without a tape gives a word")
	}
}
