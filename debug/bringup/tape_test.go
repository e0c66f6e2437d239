package bringup_test

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/loader/list"
	"coldstart/memory"
)

// The two blocks of these tests; their words are all different.
var (
	firstBlock  = []memory.Word{0o1001, 0o1002, 0o1003, 0o1004}
	secondBlock = []memory.Word{0o2001, 0o2002, 0o2003, 0o2004}
)

// blockBytes is how many bytes of a recording a block takes: eight words of two.
const blockBytes = 16

// What is wrong with a tape is told, whether or not the run came to anything; a run that did not leads to it.
func TestTape(t *testing.T) {
	tests := []struct {
		name   string
		alter  func([]byte) []byte
		tape   []string
		good   bool
		placed int // words that --direct places
	}{
		{"good", func(b []byte) []byte { return b }, nil, true, 8},
		{"a bit that fell", func(b []byte) []byte { b[blockBytes+6] &^= 1 << 4; return b }, []string{
			// Word 0 of block 1 is 2001, in bytes 20 and 01; bit 4 of the first is bit 10 of the word. All words of the block but
			// mark and sum count for the sum; bit 10 is 0 now in number, address, and the word altered.
			"TC1 block 1: sum wrong: 0027 is recorded, and the words read give 6027; a single wrong bit would be bit 10 of one of 3 words, or of the sum"}, true, 4},
		{"a word altered", func(b []byte) []byte { b[blockBytes+6], b[blockBytes+7] = 0, 0; return b }, []string{
			"TC1 block 1: sum wrong: 0027 is recorded, and the words read give 6026"}, true, 4},
		{"second block missing", func(b []byte) []byte { return b[:blockBytes] }, []string{
			"TC1 block 1: block missing"}, false, 4},
		{"cut short", func(b []byte) []byte { return b[:2*blockBytes-4] }, []string{
			"TC1 block 1: block cut short"}, false, 4},
		{"blocks exchanged", func(b []byte) []byte { return slices.Concat(b[blockBytes:], b[:blockBytes]) }, []string{
			"TC1 block 1: block out of order", "TC1 block 0: block out of order"}, true, 8},
		{"recorded twice end to end", func(b []byte) []byte { return slices.Concat(b, b) }, []string{
			"TC1: the recording goes on behind block 1, the last expected: 2 blocks recorded before"}, true, 8},
		// The drive serves the bad block where it stands, and the good one behind it, which the program does not come to.
		{"a bad block recorded again", func(b []byte) []byte {
			bad := bytes.Clone(b)
			bad[blockBytes+6], bad[blockBytes+7] = 0, 0
			return slices.Concat(bad, b[blockBytes:])
		}, []string{"TC1 block 1: sum wrong: 0027 is recorded, and the words read give 6026",
			"TC1: the recording goes on behind block 1, the last expected: 1 block recorded before"}, true, 8},
		{"rubbish between the blocks", func(b []byte) []byte {
			return slices.Concat(b[:blockBytes], []byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, b[blockBytes:])
		}, []string{"TC1 behind block 0: no block: 10 bytes, from byte 16 of the file on, belong to none"}, true, 8},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKiln(t, loading()+"done: jump done", "milestone done required at "+done+" \"done\"")
			k["t.tape"] = test.alter(bytes.Clone(k.seat(t, firstBlock, secondBlock)))
			o := k.open(t)
			r := run(t, o, bringup.Start{Fill: 1})
			if got := r.Verdict == watch.Good; got != test.good {
				t.Errorf("%v, %v; want GOOD %v", r.Verdict, r.Stop, test.good)
			}
			if len(r.Tape) != len(test.tape) {
				t.Fatalf("tape: %q, want %q", r.Tape, test.tape)
			}
			for i, want := range test.tape {
				if !strings.HasPrefix(r.Tape[i], want) || strings.Contains(want, "sum") && r.Tape[i] != want {
					t.Errorf("tape: %q, want %q", r.Tape[i], want)
				}
			}
			if !test.good && !strings.HasPrefix(first(r.LookAt), test.tape[0]) {
				t.Errorf("look at %q, want the tape first", r.LookAt)
			}
			direct := run(t, o, bringup.Start{Fill: 1, Direct: true, Until: until(t, o, "P = 701")})
			if got := placed(direct); got != test.placed {
				t.Errorf("placed directly: %d words, want %d", got, test.placed)
			}
		})
	}
}

// done is where a program stands that goes on after loading: 2 orders, 16 words of 3 orders, 8 more that store, a jump, a word.
const done = "774"

// placed counts the words of the two blocks that stand in store.
func placed(r *bringup.Report) int {
	n := 0
	for i, w := range slices.Concat(firstBlock, secondBlock) {
		if r.Half.Seen(memory.Addr(0o10+i)) == w {
			n++
		}
	}
	return n
}

// Words placed directly stood there at power-up; words read in were written by an order. Both lead back to the tape.
func TestDirect(t *testing.T) {
	for _, direct := range []bool{false, true} {
		t.Run(fmt.Sprint("direct ", direct), func(t *testing.T) {
			k := newKiln(t, loading()+"done: halt", "")
			k.seat(t, firstBlock, []memory.Word{0o2001, 0o2002, 0o2003, 0o7777})
			o := k.open(t)
			at := memory.Addr(0o17)
			s := bringup.Start{Fill: 1, Direct: direct}
			if direct {
				s.At = &at
			}
			r := run(t, o, s)
			if direct {
				want := "017: stood there at power-up: tape t.tape block 1 word 3"
				if r.Ending != bringup.Trapped || !slices.Contains(r.Stop, want) {
					t.Errorf("%v: %q, want %q", r.Ending, r.Stop, want)
				}
				return
			}
			w := r.Record.Whence(0o17)
			if w.Number == 0 || w.Origin != (memory.Origin{Kind: memory.Tape, File: "t.tape", Block: 1, Word: 3}) {
				t.Errorf("017: %+v, want it written from word 3 of block 1", w)
			}
		})
	}
}

func TestOpenRefuses(t *testing.T) {
	tests := []struct {
		name  string
		alter func(kiln)
		want  string
	}{
		{"no machine", func(k kiln) { delete(k, "kiln.machine") }, "kiln.machine: file does not exist"},
		{"empty tape", func(k kiln) { k["t.tape"] = nil }, "the recording is empty"},
		{"no layout", func(k kiln) { k.replace("layout kiln.layout\n", "") }, "office.list:6:10: a tape needs a layout: add a line `layout FILE`"},
		{"channel mistyped", func(k kiln) { k.replace("tape TC1", "tape TC2") }, `"TC2" is no channel here; the nearest is "TC1"`},
		{"device mistyped", func(k kiln) { k.replace("device TT1", "device TT2") }, `"TT2" is no channel here; the nearest is "TT1"`},
		{"two devices", func(k kiln) { k.replace("device TT1", "device TC1") }, "channel TC1 has a device already"},
		{"wired elsewhere", func(k kiln) { k["p.words"] = []byte("010: 0001\n") }, "p.words has a word at 010, outside W0"},
		{"chase wrong", func(k kiln) {
			k.replace("layout kiln", "chase c.chase\nlayout kiln")
			k["c.chase"] = []byte("milestone a at 999\n")
		}, "c.chase:1:16: "},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKiln(t, "halt", "")
			k.seat(t, firstBlock, secondBlock)
			test.alter(k)
			o, err := bringup.Open(k.file, "office.list")
			if err == nil {
				t.Fatalf("opened: %v", o)
			}
			if got := list.Report(err); !strings.Contains(got, test.want) {
				t.Errorf("%q, want %q in it", got, test.want)
			}
		})
	}
}

// replace alters the office list.
func (k kiln) replace(old, new string) {
	k["office.list"] = []byte(strings.Replace(string(k["office.list"]), old, new, 1))
}

// A log is every write of a run, told by nobody but the machine.
type log struct {
	record *trail.Record
	writes map[memory.Addr]trail.Write
}

func (l *log) Observe(s *cpu.Step) {
	l.record.Observe(s)
	for _, w := range s.Writes {
		if w.Status == 0 {
			l.writes[w.Addr] = trail.Write{Number: s.Number, At: s.At, Place: s.Place, Word: w.Word}
		}
	}
}

// The trail of a training boot agrees with a plain log of its writes, and the origin of each word that came from the tape,
// through whatever registers it came, is the word of the recording that belongs there.
func TestTrailOfTheTrainingBoot(t *testing.T) {
	o := training(t)
	h, err := o.Half("A", 1)
	if err != nil {
		t.Fatal(err)
	}
	l := &log{record: trail.New(o.Code, o.Wired), writes: map[memory.Addr]trail.Write{}}
	h.Machine.Observe(l)
	h.Machine.Boot()
	loaded := until(t, o, "P = 5000")
	for range 2_000_000 {
		if h.Machine.Step(); loaded.Holds(h) {
			break
		}
	}
	if !loaded.Holds(h) {
		t.Fatal("the resident program was not entered in 2,000,000 orders")
	}
	for a, want := range l.writes {
		got := l.record.Whence(a)
		got.Origin = memory.Origin{}
		if got != want {
			t.Errorf("%06o: trail says %+v, the log %+v", a, got, want)
		}
	}
	words := 0
	for a, e := range o.Image.All() {
		w := l.record.Whence(a)
		if e.Origin.Kind != memory.Tape || w.Word != e.Word {
			continue // what a program changed since is no word of the tape
		}
		if words++; w.Origin != e.Origin {
			t.Errorf("%06o: from %+v, want %+v", a, w.Origin, e.Origin)
		}
	}
	if want := o.Image.Len() - o.Wired.Len(); words < want*9/10 {
		t.Errorf("only %d words of %d stand as they are on the tape", words, want)
	}
}

// An office that was helped past a halt while something was wrong on its tape is not GOOD, however far it came.
func TestHelpedPastABadBlock(t *testing.T) {
	o, err := bringup.Open(func(name string) ([]byte, error) {
		src, err := os.ReadFile("../../cmd/coldstart/internal/school/office/" + name)
		if name == "gp1.tape" {
			const block = 3 * (4 + 256 + 1) // bytes: a word is three
			src[0o17*block+0o100] ^= 1
		}
		return src, err
	}, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	r, err := o.BringUp(t.Context(), bringup.Start{Fill: 1, Resume: 1}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if r.Ending != bringup.Arrived || r.Verdict != watch.Undecided || !strings.Contains(strings.Join(r.LookAt, "\n"), "block 017: sum wrong") {
		t.Errorf("%v, %v, look at %q; want it to arrive, UNDECIDED, with block 017 to look at", r.Ending, r.Verdict, r.LookAt)
	}
}
