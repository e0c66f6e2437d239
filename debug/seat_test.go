package debug

import (
	"strings"
	"testing"

	"coldstart/cpu"
)

// Another tape is seated, and taken out; going back brings the one before, and what was seated is kept across sessions.
func TestSeat(t *testing.T) {
	b := newBench(t, nil)
	tape := func() string {
		text, _, _ := strings.Cut(b.do("chan TC1"), ":")
		return strings.TrimSpace(text)
	}
	if got := tape(); got != "TC1   tape drive, no tape" {
		t.Errorf("at first: %q", got)
	}
	b.all(t, "take 3\nseat TC1 other.tape\ntake 3")
	if got := tape(); got != "TC1   tape drive" {
		t.Errorf("seated: %q", got)
	}
	b.all(t, "back 4")
	if got := tape(); got != "TC1   tape drive, no tape" {
		t.Errorf("gone back: %q", got)
	}
	b.all(t, "take 1\nseat TC1 other.tape\ntake 2\nunseat TC1\ntake 1\nback 2")
	if got := tape(); got != "TC1   tape drive" {
		t.Errorf("gone back to before it was taken out: %q", got)
	}
	for line, want := range map[string]string{
		"seat TT1 other.tape": "tape drive", "seat TC1 other.txt": "other.txt is no recording", "unseat TC9": "tape drive",
		"seat TC1 x.tape digest-of-another.tape": "another recording than the one seated then",
	} {
		if got := b.do(line); !strings.HasPrefix(got, "!") || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
	b.all(t, "unseat TC1")
	if got := b.do("unseat TC1"); got != "! no tape is seated on TC1\n" {
		t.Errorf("taken out twice: %q", got)
	}
}

// Live lamps are shown at least each 20 ms of the machine's time while it runs, and the run is the same as without.
func TestLiveLamps(t *testing.T) {
	plain, b := newBench(t, nil), newBench(t, nil)
	if got := b.do("lamps live"); !strings.Contains(got, "on a terminal alone") {
		t.Errorf("without a terminal: %s", got)
	}
	var times []cpu.Time
	b.show = func(now cpu.Time, rows string) {
		if !strings.Contains(rows, "100") {
			t.Fatalf("the rows are %q", rows)
		}
		times = append(times, now)
	}
	b.all(t, "lamps live")
	if got, want := b.do("roll within 500 ms"), plain.do("roll within 500 ms"); got != want {
		t.Errorf("live: %s\nwant %s", got, want)
	}
	for i := 1; i < len(times); i++ {
		if d := times[i] - times[i-1]; d < 0 || d > frame+cpu.Millisecond {
			t.Fatalf("pictures at %v and %v", times[i-1], times[i])
		}
	}
	if len(times) < 25 {
		t.Errorf("%d pictures of half a second", len(times))
	}
	shown := len(times)
	if b.all(t, "lamps still\nroll within 100 ms"); len(times) != shown {
		t.Error("still lamps were shown")
	}
	if got := b.do("lamps lively"); !strings.Contains(got, `the nearest is "live"`) {
		t.Errorf("lamps lively: %s", got)
	}
}
