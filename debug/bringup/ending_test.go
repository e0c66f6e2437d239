package bringup_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// Each way a run can end, its verdict, and what the report says first about it.
func TestEndings(t *testing.T) {
	const chase = "milestone begin required at 700 \"begun\"\nmilestone there required at 702 \"there\"\n"
	tests := []struct {
		name, program, chase string
		until                string
		limits               bringup.Limits
		ending               bringup.Ending
		verdict              watch.Verdict
		stop                 string // its first line holds this
		look                 string // so does the first place to look at
	}{
		{name: "arrived", program: "a: load a\nload a\njump a", chase: chase, ending: bringup.Arrived, verdict: watch.Good},
		{name: "met", program: "a: add b\njump a\nb: words 1", until: "A = 12", ending: bringup.Met, verdict: watch.Good},
		{name: "trap", program: "words 7777", ending: bringup.Trapped, verdict: watch.Trouble,
			stop: "trap undefined, no order reads this word, in the order at 700; saved = 700", look: "the order at 700, words 7777"},
		{name: "trap of no store", program: "load 500", ending: bringup.Trapped, verdict: watch.Trouble,
			stop: "trap no-reply, nothing answers, in the order at 700, store 500", look: "the order at 700, load 500"},
		{name: "trap before the milestone", program: "load 500", chase: chase, ending: bringup.Trapped, verdict: watch.Trouble,
			stop: "stopped by a trap at 1 us", look: "the order at 700"},
		{name: "halt", program: "halt", ending: bringup.Halted, verdict: watch.Trouble,
			stop: "halted at 1 us: by the order at 700, halt", look: "the order at 700, halt"},
		{name: "standing", program: "never", ending: bringup.Standing, verdict: watch.Trouble,
			stop: "waiting for what never comes at 1 us: by the order at 700, never", look: "the order at 700, never"},
		{name: "endless", program: "a: load a\njump a", ending: bringup.Endless, verdict: watch.Trouble,
			stop: "in a loop that nothing can end", look: "the loop at 700-701"},
		{name: "endless, asking", program: "a: test TC1, ready\njump-zero a\nhalt", ending: bringup.Endless, verdict: watch.Trouble,
			stop: "in a loop that nothing can end", look: `the loop at 700-701, which asks "test TC1, ready" (the sign is 0)`},
		{name: "ended by its timer", program: "start-timer\na: test TC1, ready\njump-zero a\nhalt", ending: bringup.Trapped, verdict: watch.Trouble,
			stop: "trap late, the timer ran out", look: "the loop at 701-702"},
		{name: "limit of time", program: "a: add b\nstore 10\njump a\nb: words 1", limits: bringup.Limits{Time: cpu.Millisecond},
			ending: bringup.Limit, verdict: watch.Undecided, stop: "limit reached, still running at 1 ms: the limit was 1 ms; last order at", look: "the loop at 700-702"},
		{name: "limit of orders", program: "a: add b\nstore 10\njump a\nb: words 1", limits: bringup.Limits{Orders: 1000},
			ending: bringup.Limit, verdict: watch.Undecided, stop: "the limit was 1000 orders; last order at 700", look: "the loop at 700-702"},
		{name: "not endless: it counts", program: "a: add b\njump a\nb: words 1", limits: bringup.Limits{Orders: 300_000},
			ending: bringup.Limit, verdict: watch.Undecided, stop: "the limit was 300000 orders"},
		{name: "limit of orders alone, in a slow loop", program: "a: idle\nstore 10\njump a", limits: bringup.Limits{Orders: 200_000},
			ending: bringup.Limit, verdict: watch.Undecided, stop: "the limit was 200000 orders"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			o := newKiln(t, test.program, test.chase).open(t)
			s := bringup.Start{Fill: 1, Limits: test.limits}
			if test.until != "" {
				s.Until = until(t, o, test.until)
				s.Prepare = func(h *duplex.Half) error { h.Machine.Set(o.Code.Registers[1], 0); return nil }
			}
			r := run(t, o, s)
			if r.Ending != test.ending || r.Verdict != test.verdict {
				t.Fatalf("%q: %v, %v; want %v, %v", test.program, r.Ending, r.Verdict, test.ending, test.verdict)
			}
			if test.stop == "" && len(r.Stop) > 0 || test.stop != "" && !strings.Contains(first(r.Stop), test.stop) {
				t.Errorf("%q: says %q, want %q", test.program, first(r.Stop), test.stop)
			}
			if !strings.Contains(first(r.LookAt), test.look) || (len(r.LookAt) == 0) != (r.Verdict == watch.Good) {
				t.Errorf("%q: look at %q, want %q", test.program, r.LookAt, test.look)
			}
		})
	}
}

// first is the first line, "" where there is none.
func first(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	return lines[0]
}

// A parity trap at a word that reads as it was written leads to the parity cell that does not fit it.
func TestParityCell(t *testing.T) {
	o := newKiln(t, "load a\nstore 10\nload 10\nhalt\na: words 7", "").open(t)
	area := o.Code.Geometry.Area(0o10)
	for column, name := range map[int]string{12: "K0 U14 (left parity) @010", 13: "K0 U13 (right parity) @010"} {
		right := int(area.ParityBits(0o10, 7)>>(column-12)) & 1
		r := run(t, o, bringup.Start{Fill: 1, Prepare: func(h *duplex.Half) error { return h.Store.Jam(0o10, column, 1-right) }})
		want := name + ": does not fit the word, which reads as it was written"
		if r.Ending != bringup.Trapped || len(r.Misread) > 0 || !slices.Equal(r.LookAt, []string{want}) {
			t.Errorf("%v, misread %q, look at %q; want %q", r.Ending, r.Misread, r.LookAt, want)
		}
	}
}

// A limit that a slow machine states holds, and is not overtaken by that on orders.
func TestOneLimitRulesAlone(t *testing.T) {
	o := newKiln(t, "a: idle\nstore 10\njump a", "").open(t)
	r := run(t, o, bringup.Start{Fill: 1, Limits: bringup.Limits{Orders: 800_000}}) // some 137 s of the machine's time
	if r.Ending != bringup.Limit || r.Orders != 800_000 || r.At <= bringup.DefaultTime {
		t.Errorf("%v after %d orders at %v; want 800000 orders, past %v", r.Ending, r.Orders, r.At, cpu.Time(bringup.DefaultTime))
	}
}

// A machine that stops leaves its teletypewriter printing: the line it was in is on the paper too, and said not to be whole.
func TestPaperOfAStoppedMachine(t *testing.T) {
	send := func(code string) string { return "load " + code + "\nsend TT1\n" }
	wait := func(n string) string { return n + ": test TT1, ready\njump-zero " + n + "\n" }
	o := newKiln(t, send("h")+wait("x")+send("lf")+wait("y")+send("h")+"halt\nh: words 110\nlf: words 12", "").open(t)
	r := run(t, o, bringup.Start{Fill: 1})
	if len(r.Lines) != 2 || r.Lines[0].Text() != "H" || !r.Lines[0].Ended || r.Lines[1].Text() != "H" || r.Lines[1].Ended {
		t.Errorf("paper: %+v; want a whole line H and half a line H", r.Lines)
	}
}

// What ends a run while its loop is looked into ends it there.
func TestMilestoneAtOnceAfterLoop(t *testing.T) {
	o := newKiln(t, "a: load a\njump a", "milestone held required holds 700-701 for 65537 us \"held\"\n").open(t)
	r := run(t, o, bringup.Start{Fill: 1})
	if r.Ending != bringup.Arrived || r.At > 65540*cpu.Microsecond {
		t.Errorf("%v at %v; want it to arrive at 65.537 ms", r.Ending, r.At)
	}
}

// A run that waits for a condition shows the milestones it met, and does not ask for the rest.
func TestUntilShowsMilestones(t *testing.T) {
	o := newKiln(t, "a: load a\nload a\nload a\njump a", "milestone a at 701 \"first\"\nmilestone b required at 777 \"never\"\n").open(t)
	r := run(t, o, bringup.Start{Fill: 1, Until: until(t, o, "P = 703")})
	if r.Verdict != watch.Good || len(r.Milestones) != 1 || r.Milestones[0].Name != "a" || len(r.Missing) != 0 {
		t.Errorf("%v, milestones %v, missing %v; want GOOD with milestone a alone", r.Verdict, r.Milestones, r.Missing)
	}
}

// The resume key is pressed at halts, no more often than said, and never at a trap; a loop with a halt in it ends at the last.
func TestResume(t *testing.T) {
	for _, test := range []struct {
		name, program string
		resume        int
		pressed       []string // the halt, and where it goes on
		ending        bringup.Ending
		orders        int64
	}{
		{"not pressed", "halt\nhalt", 0, nil, bringup.Halted, 1},
		{"once", "halt\nhalt", 1, []string{"700-701"}, bringup.Halted, 2},
		{"a trap", "halt\nwords 7777\nhalt", 5, []string{"700-701"}, bringup.Trapped, 2},
		{"a wait", "halt\nnever", 5, []string{"700-701"}, bringup.Standing, 2},
		{"round and round", "a: halt\njump a", 3, []string{"700-701", "700-701", "700-701"}, bringup.Halted, 7},
		{"a loop behind", "halt\na: jump a", 2, []string{"700-701"}, bringup.Endless, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := run(t, newKiln(t, test.program, "").open(t), bringup.Start{Fill: 1, Resume: test.resume})
			var pressed []string
			for _, p := range r.Resumed {
				pressed = append(pressed, fmt.Sprintf("%o-%o", p.Halt, p.Place))
				if p.Text != "halt" || p.Orders == 0 || p.At == 0 {
					t.Errorf("pressed %+v; want the order, the time and how many were done", p)
				}
			}
			if !slices.Equal(pressed, test.pressed) || r.Ending != test.ending || test.orders != 0 && r.Orders != test.orders {
				t.Errorf("pressed %q, %v, %d orders; want %q, %v, %d", pressed, r.Ending, r.Orders, test.pressed, test.ending, test.orders)
			}
		})
	}
}

func TestStartElsewhere(t *testing.T) {
	o := newKiln(t, "halt\nhalt", "").open(t)
	at := memory.Addr(0o701)
	if r := run(t, o, bringup.Start{Fill: 1, At: &at}); !strings.Contains(first(r.Stop), "the order at 701, halt") {
		t.Errorf("%q, want the halt at 701", r.Stop)
	}
}

func TestCancelled(t *testing.T) {
	o := newKiln(t, "a: add b\nstore 10\njump a\nb: words 1", "").open(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := o.Run(ctx, bringup.Start{Fill: 1}); !errors.Is(err, context.Canceled) {
		t.Errorf("Run: error %v, want that it was cancelled", err)
	}
	if _, err := o.BringUp(ctx, bringup.Start{Fill: 1}, 2); !errors.Is(err, context.Canceled) {
		t.Errorf("BringUp: error %v, want that it was cancelled", err)
	}
}

func TestPrepareRefuses(t *testing.T) {
	no := errors.New("no")
	o := newKiln(t, "halt", "").open(t)
	if _, err := o.Run(context.Background(), bringup.Start{Prepare: func(*duplex.Half) error { return no }}); !errors.Is(err, no) {
		t.Errorf("error %v, want that of Prepare", err)
	}
}

// A run that comes out otherwise with another fill is not decided, and says what was read unwritten.
func TestTwoFills(t *testing.T) {
	const chase = "milestone there required at 710 \"there\"\n"
	tests := []struct {
		name, program string
		verdict       watch.Verdict
		agreed, look  string
	}{
		{"agree", "load a\nstore 10\nload 10\njump 710\na: words 5\nwords 0, 0, 0\nload a", watch.Good, "The same with fills 1 and 2", ""},
		{"harmless", "load 10\njump 710\na: words 0\nwords 0, 0, 0, 0, 0\nload a", watch.Good, "The same with fills 1 and 2", ""},
		// It counts up from what happens to stand in 010.
		{"do not agree", "load 10\nb: add a\njump-zero 710\njump b\na: words 1\nwords 0, 0, 0\nload a", watch.Undecided,
			"Not the same with fills 1 and 2 of unwritten store: ", "store 010, first by the order at 700 (order 1)"},
		{"a register", "copy-b\nb: add a\njump-zero 710\njump b\na: words 1\nwords 0, 0, 0\nload a", watch.Undecided,
			"Not the same with fills 1 and 2", "register B, first by the order at 700"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			o := newKiln(t, test.program, chase).open(t)
			r, err := o.BringUp(context.Background(), bringup.Start{Fill: 1}, 2)
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != test.verdict || !strings.HasPrefix(r.Agreed, test.agreed) || !slices.Equal(r.Fills, []uint64{1, 2}) {
				t.Errorf("%v, %q, fills %v; want %v, %q", r.Verdict, r.Agreed, r.Fills, test.verdict, test.agreed)
			}
			if !strings.HasPrefix(first(r.LookAt), test.look) || (test.look == "") != (len(r.LookAt) == 0) {
				t.Errorf("look at %q, want %q", r.LookAt, test.look)
			}
		})
	}
}

// A condition that holds by what nothing wrote is not decided either.
func TestTwoFillsUntil(t *testing.T) {
	o := newKiln(t, "a: jump a", "").open(t)
	b, err := o.BringUp(context.Background(), bringup.Start{Fill: 1, Until: until(t, o, "B /= 0 and P = 700")}, 2)
	if err != nil || b.Verdict != watch.Good {
		t.Fatalf("%v, %v", b, err)
	}
	value := b.Half.Machine.Value(o.Code.Registers[2])
	s := bringup.Start{Fill: 1, Until: until(t, o, "B = "+o.Code.Geometry.Style.Word(value, 12)), Limits: bringup.Limits{Orders: 100}}
	r, err := o.BringUp(context.Background(), s, 2)
	if err != nil || r.Verdict != watch.Undecided || len(r.LookAt) == 0 {
		t.Errorf("%v, %v; want UNDECIDED with a place to look at", r, err)
	}
}
