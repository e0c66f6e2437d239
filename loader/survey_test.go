package loader_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

func TestSurvey(t *testing.T) {
	l, blocks := record(t, []load{
		{0, 0o000, four(1)},
		{2, 0o010, four(9)},    // out of order
		{1, 0o020, four(5)},    // recorded again, twice, with other words
		{1, 0o002, four(0o40)}, // over half of block 00
		{1, 0o002, four(0o40)}, // and again
		{3, 0o7700, four(13)},  // into wired store
	}, func(src []byte) { src[2] |= 0o100 })
	_, m := loader.Place(blocks, geometry)
	s := loader.NewSurvey(m, l, nil)
	var got []string
	for _, r := range s.Rows {
		got = append(got, r.Load.Block.Name+" "+r.State+": "+strings.Join(r.Remarks, "; "))
	}
	want := []string{
		"00 damaged: stray bits: byte 2 of the file is 100, with bits set that the layout does not use; bytes like it in the block: 1",
		"02 out of order: block out of order: it stands where 01 was expected",
		"01 replaced: block out of order: it stands where 03 was expected; replaced by the one at position 4",
		`01 replaced: block recorded twice: it is not alike with the one at position 2, though both read whole; the last that does stands; replaced by the one at position 4; " !\"#"`,
		`01 good: block recorded twice: it is alike with the one at position 3; " !\"#"`,
		"03 not loaded: block out of order: it stands where 02 was expected; block not loaded: 7700 is in WS1, which is wired and cannot be loaded",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("rows (-want +got):\n%s", diff)
	}
	if s.Words() != 8 || s.Count("damaged") != 1 || s.Count("out of order") != 1 {
		t.Errorf("words %d, damaged %d, out of order %d; want 8, 1, 1", s.Words(), s.Count("damaged"), s.Count("out of order"))
	}
}

// Every word is counted under one use, and a word loaded over is counted for the block that stands.
func TestSurveyUses(t *testing.T) {
	l, blocks := record(t, []load{{0, 0o000, four(1)}, {1, 0o002, four(5)}, {2, 0o010, four(9)}, {3, 0o200, four(13)}}, nil)
	_, m := loader.Place(blocks, geometry)
	areas, err := loader.ReadAreas("test.areas", []byte("program 0000-0007\ntable 0010-0013\n"), geometry)
	if err != nil {
		t.Fatal(err)
	}
	reached := map[memory.Addr]bool{0: true, 1: true, 2: true}
	read := map[memory.Addr]bool{2: true, 5: true, 0o010: true}
	s := loader.NewSurvey(m, l, func(a memory.Addr) loader.Use { return areas.Use(a, reached[a], read[a]) })
	want := [][4]int{{2, 0, 0, 0}, {1, 2, 1, 0}, {0, 0, 1, 3}, {0, 0, 0, 4}}
	for i, r := range s.Rows {
		if r.Uses != want[i] {
			t.Errorf("block %s: uses %v, want %v", r.Load.Block.Name, r.Uses, want[i])
		}
	}
	if want := [4]int{3, 2, 2, 7}; s.Uses != want {
		t.Errorf("all uses %v, want %v", s.Uses, want)
	}
	var b strings.Builder
	if err := s.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"block  loads      words  sum   state  run  not run  read  idle  first words",
		" 01    0002-0005  4      0035  good   1    2        1     0     0005 0006 0007",
		"overlap  0002-0003  block 01 over block 00: 2 words, 2 of them not alike; the",
		"gap      0006-0007  2 words that no block loads",
		"Blocks 4: good 4. Words loaded 14. (These counts are decimal.)",
		"Words by use in the run (decimal): program run 3, program not run 2, tables read",
		"2, idle, which is data never read, 7.",
	} {
		if !strings.Contains(b.String(), line+"\n") {
			t.Errorf("no line\n%s\nin\n%s", line, b.String())
		}
	}
}

// A block full of strings does not run off the paper, and none of them reaches the terminal raw.
func TestSurveyRemarks(t *testing.T) {
	src := layoutText[:len(layoutText)-1]
	l, err := tape.ReadLayout("x.layout", []byte(strings.Replace(src, "data    4 words", "data    30 words", 1)))
	if err != nil {
		t.Fatal(err)
	}
	var words []memory.Word
	for _, c := range "\x1b]0;say\aBASE\x00IDLE\x00ONCE\x00MOREXX!" {
		words = append(words, memory.Word(c))
	}
	block, err := l.Append(nil, 0, 0, append(words, make([]memory.Word, 30-len(words))...))
	if err != nil {
		t.Fatal(err)
	}
	rec, err := tape.Read(l, "x", bytes.NewReader(block))
	if err != nil {
		t.Fatal(err)
	}
	_, m := loader.Place(rec.Blocks, geometry)
	var b strings.Builder
	if err := loader.NewSurvey(m, l, nil).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	if want := `"]0;say"; "BASE"; "IDLE"; "ONCE"; and 1 more`; !strings.Contains(b.String(), want+"\n") || strings.ContainsAny(b.String(), "\x1b\a") {
		t.Errorf("got %q\nwant remarks %s", b.String(), want)
	}
}

func TestSurveyNotWritten(t *testing.T) {
	l, blocks := record(t, []load{{0, 0, four(1)}}, nil)
	_, m := loader.Place(blocks, geometry)
	full := errors.New("no room")
	if err := loader.NewSurvey(m, l, nil).WriteText(refusing{full}); !errors.Is(err, full) {
		t.Errorf("got %v, want %v", err, full)
	}
}

// refusing is a writer that takes nothing.
type refusing struct{ err error }

func (r refusing) Write([]byte) (int, error) { return 0, r.err }
