package vouch_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// blocks are the words of the tape of Pip House: a program that loads word 23, in block 1, and stays at 15 unless that is 0.
var blocks = [][]memory.Word{{0o0023, 0o2016, 0o1015, 0o4004}, {5, 6, 7, 0}, {1, 2, 3, 4}}

// blockSize is how many bytes a block takes on it: eight words of two.
const blockSize = 16

// A house is the files of a small office.
type house map[string][]byte

// newHouse makes Pip House, with some text in one of its files altered.
func newHouse(t *testing.T, file, old, new string) house {
	t.Helper()
	h := house{}
	for _, name := range []string{"office.list", "pip.machine", "pip.layout", "pip.chase", "start.words"} {
		src, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		h[name] = src
	}
	layout, err := tape.ReadLayout("pip.layout", h["pip.layout"])
	if err != nil {
		t.Fatal(err)
	}
	for i, words := range blocks {
		if h["pip.tape"], err = layout.Append(h["pip.tape"], i, memory.Addr(0o13+8*i), words); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Contains(h[file], []byte(old)) {
		t.Fatalf("%s has no %q", file, old)
	}
	h[file] = bytes.Replace(h[file], []byte(old), []byte(new), 1)
	return h
}

// training is the training office.
func training(t *testing.T) house {
	t.Helper()
	const office = "../../cmd/coldstart/internal/school/office/"
	h := house{}
	names, err := os.ReadDir(office)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if n.Type().IsRegular() {
			if h[n.Name()], err = os.ReadFile(office + n.Name()); err != nil {
				t.Fatal(err)
			}
		}
	}
	return h
}

// sheet vouches for an office, with some faults put in.
func (h house) sheet(t *testing.T, override string, jams ...string) *vouch.Sheet {
	t.Helper()
	f := vouch.Frame{By: "A. Person", Date: "1979-11-25", Program: []string{"coldstart (test)"}, Override: override, Jams: jams,
		Command: []string{"  coldstart vouch --by 'A. Person' \\", "    --date 1979-11-25"}}
	o, err := bringup.Open(func(name string) ([]byte, error) {
		src, ok := h[name]
		if !ok {
			return nil, fmt.Errorf("%s: %w", name, os.ErrNotExist)
		}
		f.Inputs = append(f.Inputs, vouch.Input{Path: name, SHA256: fmt.Sprintf("%x", sha256.Sum256(src))})
		return src, nil
	}, "office.list")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	for i := range f.Inputs {
		f.Inputs[i].Part = o.Files[i].Part
	}
	start := bringup.Start{Fill: 1, Limits: bringup.Limits{Orders: 3_000_000}, Prepare: func(half *duplex.Half) error {
		for _, text := range jams {
			j, err := jam.Parse(o.Code, text)
			if err == nil {
				err = j.Put(half)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}}
	r, err := o.BringUp(context.Background(), start, 2)
	if err != nil {
		t.Fatal(err)
	}
	return vouch.Make(o, r, f)
}

// What stands against a sheet keeps it from GOOD, whatever the run came to; only some of that can be let pass.
func TestResult(t *testing.T) {
	type alteration struct{ file, old, new string }
	asIs := alteration{"pip.machine", "Pip", "Pip"}
	in := func(old, new string) alteration { return alteration{"pip.machine", old, new} }
	const last = "\x2a\x2a\x00\x02" // how block 2 begins: mark 5252, number 2
	tests := []struct {
		name, override string
		jams           []string
		altered        alteration
		result         string
		passed         bool
		against        []string // the beginning of each
	}{
		{"clean", "", nil, asIs, "GOOD", false, nil},
		{"clean, and an override nobody needs", "because", nil, asIs, "GOOD", false, nil},
		{"last block renumbered", "", nil, alteration{"pip.tape", last, "\x2a\x2a\x00\x03"}, "UNDECIDED", false,
			[]string{"block 2 on TC1 is missing", "block 3 on TC1 does not read whole: block out of order: "}},
		{"and let pass", "it is a copy", nil, alteration{"pip.tape", last, "\x2a\x2a\x00\x03"}, "GOOD", true,
			[]string{"block 2 on TC1 is missing", "block 3 on TC1 does not read whole: block out of order: "}},
		{"a word of the program altered", "because", nil, alteration{"pip.tape", "\x00\x13", "\x00\x16"}, "UNDECIDED", false,
			[]string{"the run by itself is TROUBLE: halted", "block 0 on TC1 does not read whole: sum wrong"}},
		{"an order that the machine file reads otherwise", "because", nil, in("zero <- A = 0", "zero <- A /= 0"), "TROUBLE", false,
			[]string{"the run by itself is TROUBLE: halted"}},
		{"a starter that halts", "because", nil, alteration{"start.words", "700: 4000 3010", "700: 4004 3010"}, "TROUBLE", false,
			[]string{"the run by itself is TROUBLE: halted"}},
		{"a doubt about an order run", "", nil, in("lay                           page 7", "lay                           page 7 ?"), "UNDECIDED", false,
			[]string{"doubt mark met, line 44: order lay, page 7"}},
		{"and let pass", "seen in issue 4", nil, in("lay                           page 7", "lay                           page 7 ?"), "GOOD", true,
			[]string{"doubt mark met, line 44: order lay, page 7"}},
		{"a doubt about a line of it", "", nil, in("X <- X + 1", "X <- X + 1 ?"), "UNDECIDED", false, []string{"doubt mark met, line 48: order lay, does"}},
		{"a doubt about an order never run", "", nil, in("halt                          page 7", "halt                          page 7 ?"), "GOOD", false, nil},
		{"a doubt about a register used", "", nil, in("register X: 9 bits", "register X: 9 bits ?"), "UNDECIDED", false, []string{"doubt mark met, line 9: register X"}},
		{"a doubt about a flip-flop used", "", nil, in("flip-flop zero", "flip-flop zero ?"), "UNDECIDED", false, []string{"doubt mark met, line 11: flip-flop zero"}},
		{"a doubt about a channel used", "", nil, in("channel  TC1: code 1, 12 bits", "channel  TC1: code 1, 12 bits ?"), "UNDECIDED", false, []string{"doubt mark met, line 18: channel TC1"}},
		{"a doubt about a channel not used", "", nil, in("channel  TT1: code 2, 8 bits", "channel  TT1: code 2, 8 bits ?"), "GOOD", false, nil},
		{"a doubt about a trap that never sprang", "", nil, in(`"no order reads this word"`, `"no order reads this word" ?`), "GOOD", false, nil},
		{"a doubt about the word", "", nil, in("word     12 bits, twos complement", "word     12 bits, twos complement ?"), "UNDECIDED", false, []string{"doubt mark met, line 4: word"}},
		{"bits the handbook is silent on", "", nil, in("pattern 100 000000011", "pattern 100 00000?011"), "UNDECIDED", false,
			[]string{"the handbook is silent on bits of order lay, line 44, page 7, which was run"}},
		{"a word read that nothing wrote", "", nil, alteration{"pip.tape", "\x00\x13", "\x01\x13"}, "UNDECIDED", false,
			[]string{"block 0 on TC1 does not read whole", "read before anything wrote it: store 123, first by the order at 013"}},
		{"a fault that changes nothing", "", []string{"S1 U01 @100 = 1"}, asIs, "UNDECIDED", false, []string{"a fault was put in: S1 U01 @100 = 1"}},
		{"is not let pass", "because", []string{"S1 U01 @100 = 1"}, asIs, "UNDECIDED", false, []string{"a fault was put in: S1 U01 @100 = 1"}},
		{"a fault that stops it", "because", []string{"S1 U01 @023 = 0"}, asIs, "TROUBLE", false,
			[]string{"the run by itself is TROUBLE: ", "a fault was put in: "}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newHouse(t, test.altered.file, test.altered.old, test.altered.new).sheet(t, test.override, test.jams...)
			if s.Result != test.result || s.Passed != test.passed {
				t.Errorf("%s, passed %v; want %s, %v", s.Result, s.Passed, test.result, test.passed)
			}
			if len(s.Against) != len(test.against) {
				t.Fatalf("against it: %q, want %q", s.Against, test.against)
			}
			for i, want := range test.against {
				if !strings.HasPrefix(s.Against[i], want) {
					t.Errorf("against it: %q, want %q", s.Against[i], want)
				}
			}
			if (s.Result == "GOOD") != (len(s.LookAt) == 0) || len(s.LookAt) > 0 && len(s.ToSettle) == 0 {
				t.Errorf("%s, look at %q, to settle it %q", s.Result, s.LookAt, s.ToSettle)
			}
			for _, word := range []string{"verified", "certified", "safe", " OK"} {
				if strings.Contains(s.Text(), word) {
					t.Errorf("the sheet says %q", word)
				}
			}
		})
	}
}

// A run that never came by what is missing is not excused by it.
func TestNotMet(t *testing.T) {
	h := newHouse(t, "start.words", "700: 4000 3010", "700: 4004 3010")
	h["pip.tape"] = h["pip.tape"][:2*blockSize]
	s := h.sheet(t, "")
	if s.Result != "TROUBLE" || len(s.Against) != 2 || s.Against[1] != "block 2 on TC1 is missing" {
		t.Errorf("%s, against it: %q; want TROUBLE, and block 2 missing named", s.Result, s.Against)
	}
	h = newHouse(t, "pip.chase", "held", "held")
	h["pip.tape"] = h["pip.tape"][:2*blockSize]
	if s = h.sheet(t, ""); s.Result != "UNDECIDED" {
		t.Errorf("%s, against it: %q; want UNDECIDED: it waits for the words that are missing", s.Result, s.Against)
	}
}

// The classes of the training office, and what is in them, counted as its survey counts.
func TestBlocks(t *testing.T) {
	s := training(t).sheet(t, "")
	classes, run, idle := map[string]int{}, 0, 0
	for _, b := range s.Blocks {
		classes[b.Class]++
		run, idle = run+b.Run, idle+b.Untouched
		if b.Run+b.Data+b.Untouched != b.Words || b.Words != 256 || b.Sum != "right" || b.Parity != "-" {
			t.Errorf("block %s: %+v", b.Name, b)
		}
	}
	if len(s.Blocks) != 44 || classes["run"]+classes["read only as data"] != 43 || classes["loaded, never touched"] != 1 {
		t.Errorf("%d blocks: %v", len(s.Blocks), classes)
	}
	// A survey of the same run has 1669 words run where they were loaded, and 1210 and 52 never touched, since nobody calls; the
	// program runs copies of three more elsewhere.
	if run != 1672 || idle != 1262 {
		t.Errorf("%d words run and %d never touched, want 1672 and 1262", run, idle)
	}
	if u := s.Use; u.Kinds != 74 || u.Used+len(u.Never) != u.Kinds || u.Branches < len(u.Onward)+len(u.Away) || len(u.Onward) == 0 {
		t.Errorf("use: %+v", u)
	}
}

// A sheet is plain text of numbered pages of 60 lines and 80 columns.
func TestPages(t *testing.T) {
	s := training(t).sheet(t, "", "ST0 U07 @000760 = 0")
	lines := strings.Split(strings.TrimSuffix(s.Text(), "\n"), "\n")
	pages := (len(lines) + 59) / 60
	for i, l := range lines {
		if len(l) > 80 {
			t.Errorf("line %d has %d columns: %s", i+1, len(l), l)
		}
		if head := fmt.Sprintf("sheet %d of %d", i/60+1, pages); (i%60 == 0) != (strings.HasPrefix(l, "CONFIRMATION BEFORE WRITE-BACK") && strings.HasSuffix(l, head)) {
			t.Errorf("line %d: %q; want the title there and %q", i+1, l, head)
		}
	}
	if pages < 2 {
		t.Errorf("%d pages", pages)
	}
}

// What Make states, Read finds again; no byte can be altered, cut off or added unnoticed.
func TestRead(t *testing.T) {
	s := newHouse(t, "office.list", "Pip", "Pip").sheet(t, "")
	text := s.Text()
	o, err := vouch.Read(text)
	if err != nil {
		t.Fatal(err)
	}
	if o.Broken != "" || o.By != s.By || o.Date != s.Date || o.Result != "GOOD" || !slices.Equal(o.Program, s.Program) || !slices.Equal(o.Inputs, s.Inputs) ||
		o.Command != "coldstart vouch --by 'A. Person' --date 1979-11-25" {
		t.Errorf("read back: %+v", o)
	}
	if then, now, same := o.Differences(s); !same || len(then)+len(now) > 0 {
		t.Errorf("it differs from itself: %q, %q", then, now)
	}
	if o, err = vouch.Read(text + "Verdict: GOOD\n"); err != nil || o.Broken != "" {
		t.Errorf("with the verdict printed behind: %v, %+v", err, o)
	}
	broken := func(what, text string) {
		if o, err := vouch.Read(text); err == nil && o.Broken == "" || err != nil && !errors.Is(err, vouch.ErrNoSheet) {
			t.Errorf("%s: error %v, and nothing found broken", what, err)
		}
	}
	for at := 0; at < len(text); at += 7 {
		b := []byte(text)
		b[at] ^= 1 << (at % 7)
		broken(fmt.Sprintf("byte %d altered", at), string(b))
		broken(fmt.Sprintf("cut off at %d", at), text[:at])
	}
	const files = "CONFIRMATION BEFORE WRITE-BACK\nTo make this sheet again, in the same folder:\n  coldstart vouch\n"
	if _, err := vouch.Read(files + strings.Repeat("  a  (b)\n    sha256 0\n", 201)); !errors.Is(err, vouch.ErrNoSheet) {
		t.Errorf("a sheet that names 201 files: %v", err)
	}
	if o, err := vouch.Read(files + strings.Repeat("  a  (b)\n    sha256 0\n", 200)); err != nil || len(o.Inputs) != 200 {
		t.Errorf("a sheet that names 200 files: %v, %+v", err, o)
	}
	broken("a line added", text+"Result: GOOD\n")
	broken("twice", text+text)
}

// The sheet of Pip House, as a person reads it. COLDSTART_UPDATE=1 rewrites it.
func TestSheet(t *testing.T) {
	got := newHouse(t, "office.list", "Pip", "Pip").sheet(t, "").Text()
	if os.Getenv("COLDSTART_UPDATE") == "1" {
		if err := os.WriteFile("testdata/sheet.txt", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/sheet.txt")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}
