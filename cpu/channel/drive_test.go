package channel

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/memory"
)

// two is a tape of two blocks, of three words and of two.
var two = reel{{0o525252, 11, 12}, {0o525252, 21}}

func seated(tape Blocks) (*Drive, desk) {
	d := NewDrive(DefaultDrive())
	d.Seat(tape)
	return d, desk{d}
}

// The times follow by hand from the default drive: forward at 0, start 5 ms, words 125 us apart, gap 15,375 us.
func TestDriveTimes(t *testing.T) {
	const us = cpu.Microsecond
	tests := []struct {
		name  string
		at    cpu.Time
		signs string // just before at, and at it
		word  memory.Word
	}{
		{"head reaches block 0", 5000 * us, "rGelM rgelM", 0},
		{"word 0", 5125 * us, "rgelM RgelM", 0o525252},
		{"word 1", 5250 * us, "rgelM RgelM", 11},
		{"word 2, the gap begins", 5375 * us, "rgelM RGelM", 12},
		{"head reaches block 1", 20750 * us, "rGelM rgelM", 12},
		{"word 0 of block 1", 20875 * us, "rgelM RgelM", 0o525252},
		{"word 1 of block 1, the end", 21000 * us, "rgelM RGElM", 21},
		{"at rest", 24000 * us, "rGElM rGElm", 21},
	}
	d, k := seated(two)
	k.command(0, 1)
	now := cpu.Time(0)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := d.Next(now); got != test.at {
				t.Errorf("Next(%v) = %v, want %v", now, got, test.at)
			}
			if got := k.signs(test.at-1) + " " + k.signs(test.at); got != test.signs {
				t.Errorf("signs before and at %v = %s, want %s", test.at, got, test.signs)
			}
			if got := k.receive(test.at).Word; got != test.word {
				t.Errorf("word received at %v = %o, want %o", test.at, got, test.word)
			}
			now = test.at
		})
	}
	if got := d.Next(now); got != cpu.Never {
		t.Errorf("Next at rest = %v, want never", got)
	}
}

func TestDriveOrigin(t *testing.T) {
	_, k := seated(two)
	k.command(0, 1)
	got := k.receive(5250 * cpu.Microsecond)
	want := cpu.Reply{Word: 11, Origin: memory.Origin{Kind: memory.Tape, File: "reel", Block: 0, Word: 0}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("receive of word 1 (-want +got)\n%s", diff)
	}
}

func TestDriveLate(t *testing.T) {
	d, k := seated(two)
	k.command(0, 1)
	k.receive(5125 * cpu.Microsecond)
	if k.sign(5375*cpu.Microsecond-1, late) {
		t.Error("late before word 2 came, with word 1 still waiting")
	}
	if !k.sign(5375*cpu.Microsecond, late) {
		t.Error("not late when word 2 came over word 1")
	}
	if got := k.receive(5375 * cpu.Microsecond).Word; got != 12 {
		t.Errorf("word after a lost one = %o, want that of the later", got)
	}
	if !k.sign(5400*cpu.Microsecond, late) {
		t.Error("late went down without a command")
	}
	k.command(5400, 2)
	if k.sign(5400*cpu.Microsecond, late) {
		t.Error("late stayed up after a command")
	}
	if got := d.Position(5400 * cpu.Microsecond).Lost; got != 1 {
		t.Errorf("words lost = %d, want 1", got)
	}
}

// Each case gives commands at microseconds, then the words that a program standing by receives until it has enough.
func TestDriveMotion(t *testing.T) {
	three := reel{{1, 2}, {}, {3, 4}, {5, 6}}
	type told struct {
		us     int64
		number memory.Word
	}
	tests := []struct {
		name     string
		commands []told
		want     string // the first words received after the last command, each with its time
		block    int    // ahead of the head when the last command is done
	}{
		{"forward", []told{{0, 1}}, "1@5125 2@5250 3@36125", 0},
		{"forward twice is forward once", []told{{0, 1}, {1000, 1}}, "1@5125 2@5250 3@36125", 0},
		{"stop within a block runs on to the gap", []told{{0, 1}, {5130, 2}}, "1@5130 2@5250", 0},
		{"stop in the gap", []told{{0, 1}, {5300, 2}}, "2@5300", 2},
		{"stop too late in the gap passes a block", []told{{0, 1}, {35900, 2}}, "2@35900 3@36125 4@36250", 2},
		{"stop taken back", []told{{0, 1}, {5130, 2}, {5140, 1}}, "1@5140 2@5250 3@36125", 0},
		{"stop before the start is over", []told{{0, 1}, {1000, 2}}, "", 0},
		{"forward again while coming to rest", []told{{0, 1}, {5300, 2}, {6300, 1}}, "3@13425 4@13550 5@29050", 2},
		{"back one block reads the same block again", []told{{0, 1}, {5300, 3}, {70000, 1}}, "1@75125 2@75250 3@106125", 0},
		{"back from within a block", []told{{0, 1}, {5130, 3}, {70000, 1}}, "1@75125 2@75250 3@106125", 0},
		{"forward before the back is over", []told{{0, 1}, {5300, 3}, {5400, 1}}, "1@70425 2@70550 3@101425", 0},
		{"forward before the back is over, taken back", []told{{0, 1}, {5300, 3}, {5400, 1}, {5500, 2}}, "", 0},
		{"back over a place where nothing could be read", []told{{0, 1}, {36300, 3}, {37000, 3}, {200000, 1}}, "1@205125 2@205250 3@236125", 0},
		{"back at the first block", []told{{0, 3}, {1000, 1}}, "1@65125 2@65250 3@96125", 0},
		{"rewind", []told{{0, 1}, {51800, 4}, {52000, 1}}, "1@104925 2@105050 3@135925", 0},
		{"rewind from within a block", []told{{0, 1}, {36130, 4}, {36200, 1}}, "1@79255 2@79380 3@110255", 0},
		{"rewind where there is nothing to rewind", []told{{0, 4}, {10, 1}}, "1@5135 2@5260 3@36135", 0},
		{"forward at the end", []told{{0, 1}, {60000, 1}}, "6@60000", 4},
		{"a command it does not know", []told{{0, 1}, {10, 9}}, "1@5125 2@5250 3@36125", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, k := seated(three)
			now := cpu.Time(0)
			for _, c := range test.commands {
				now = cpu.Time(c.us) * cpu.Microsecond
				k.command(c.us, c.number)
			}
			if got := d.Position(now).Block; got != test.block {
				t.Errorf("block ahead of the head = %d, want %d", got, test.block)
			}
			if got := received(d, now, 3); got != test.want {
				t.Errorf("words = %q, want %q", got, test.want)
			}
		})
	}
}

// received is the first n words a program standing by from now on receives.
func received(d *Drive, now cpu.Time, n int) string {
	k, text := desk{d}, ""
	for n > 0 && now != cpu.Never {
		if k.sign(now, ready) {
			text += fmt.Sprintf(" %o@%d", k.receive(now).Word, now/cpu.Microsecond)
			n--
		}
		now = d.Next(now)
	}
	if text == "" {
		return ""
	}
	return text[1:]
}

func TestDriveUnseated(t *testing.T) {
	d := NewDrive(DefaultDrive())
	k := desk{d}
	k.command(0, 1)
	for _, at := range []cpu.Time{0, cpu.Second} {
		if got := k.signs(at); got != "rgElm" {
			t.Errorf("signs with no tape at %v = %s, want the end sign alone", at, got)
		}
	}
	if got := d.Next(0); got != cpu.Never {
		t.Errorf("Next with no tape = %v, want never", got)
	}
	want := Position{Commands: 1, Heard: []Heard{{Number: 1}}}
	if diff := cmp.Diff(want, d.Position(cpu.Second)); diff != "" {
		t.Errorf("position with no tape (-want +got)\n%s", diff)
	}
}

func TestDrivePosition(t *testing.T) {
	d, k := seated(two)
	for n := range int64(heardKept + 2) {
		k.command(n, memory.Word(n))
	}
	k.command(100, 1)
	p := d.Position(6 * cpu.Millisecond)
	if len(p.Heard) != heardKept || p.Commands != heardKept+3 || p.Heard[0].Number != 3 || p.Heard[heardKept-1].Number != 1 {
		t.Errorf("commands heard = %d of %d, %v; want the last %d, oldest first", len(p.Heard), p.Commands, p.Heard, heardKept)
	}
}

func ExampleDrive() {
	tape := reel{{0o525252, 0o001000, 0o777777}}
	d := NewDrive(DefaultDrive())
	d.Seat(tape)
	var rack Rack
	rack.Put(1, d)

	rack.Do(cpu.Action{Verb: cpu.Command, Code: 1, Word: 1}, 0)
	for now := cpu.Time(0); now != cpu.Never; now = rack.Next(now) {
		if rack.Do(cpu.Action{Verb: cpu.Sign, Code: 1, Sign: 0}, now).Word == 1 {
			fmt.Printf("%v %06o\n", now, rack.Do(cpu.Action{Verb: cpu.Receive, Code: 1}, now).Word)
		}
	}
	// Output:
	// 5.125 ms 525252
	// 5.25 ms 001000
	// 5.375 ms 777777
}

// Whatever the tape and the times of the drive, a program standing by receives every word, once and in order, and Next
// never stands still.
func TestDriveGivesAll(t *testing.T) {
	random := rand.New(rand.NewPCG(44, 0))
	for run := range 200 {
		tape, want := make(reel, 1+random.IntN(6)), []memory.Word(nil)
		for i := range tape {
			for range random.IntN(5) {
				tape[i] = append(tape[i], memory.Word(random.Uint64N(1<<18)))
			}
			want = append(want, tape[i]...)
		}
		spec := DefaultDrive()
		for _, time := range []*cpu.Time{&spec.Word, &spec.Gap, &spec.Start, &spec.Stop} {
			*time = 1 + cpu.Time(random.Int64N(1000))
		}
		d := NewDrive(spec)
		d.Seat(tape)
		k, got := desk{d}, []memory.Word(nil)
		k.command(0, 1)
		for now := cpu.Time(0); now != cpu.Never; {
			if k.sign(now, ready) {
				got = append(got, k.receive(now).Word)
			}
			next := d.Next(now)
			if next <= now {
				t.Fatalf("run %d: Next(%d) = %d", run, now, next)
			}
			now = next
		}
		if diff := cmp.Diff(want, got); diff != "" || !k.sign(cpu.Second, end) || k.sign(cpu.Second, moving) {
			t.Fatalf("run %d, %+v, tape %o: words (-want +got)\n%s", run, spec, tape, diff)
		}
	}
}
