package loader_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// geometry is a small invented store: two plug-ins with nothing between them, one of them narrow, and a wired one.
var geometry = memory.Geometry{
	Style: memory.Style{Radix: 8}, Width: 12, AddrBits: 12,
	Areas: []memory.Area{
		{Name: "ST0", First: 0o0000, Last: 0o0077, Width: 12},
		{Name: "ST1", First: 0o0200, Last: 0o0277, Width: 9},
		{Name: "WS1", First: 0o7700, Last: 0o7777, Width: 12, Wired: true},
	},
}

// layoutText is the layout of the tapes in these tests: words of 12 bits in two bytes, four to a block.
const layoutText = `
layout  test
numbers octal
word    12 bits
bytes   2 of 6 bits make 1 word high first
mark    5252
field   number
field   address
data    4 words
sum     add over number address data
blocks  00 to 03
`

// load is one block to be recorded.
type load struct {
	number int
	addr   memory.Addr
	words  []memory.Word
}

// record makes a recording and reads it again; spoil, if not nil, may alter its bytes in between.
func record(t testing.TB, loads []load, spoil func([]byte)) (*tape.Layout, []*tape.Block) {
	t.Helper()
	l, err := tape.ReadLayout("test.layout", []byte(layoutText))
	if err != nil {
		t.Fatal(err)
	}
	var src []byte
	for _, b := range loads {
		if src, err = l.Append(src, b.number, b.addr, b.words); err != nil {
			t.Fatal(err)
		}
	}
	if spoil != nil {
		spoil(src)
	}
	rec, err := tape.Read(l, "x.tape", bytes.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	return l, append(rec.Blocks, rec.Missing...)
}

// four is a block of four words that count up from n.
func four(n memory.Word) []memory.Word { return []memory.Word{n, n + 1, n + 2, n + 3} }

func TestPlace(t *testing.T) {
	clean := []load{{0, 0o000, four(1)}, {1, 0o004, four(5)}, {2, 0o010, four(9)}, {3, 0o200, four(13)}}
	with := func(n int, b load) []load {
		loads := append([]load{}, clean...)
		loads[n] = b
		return loads
	}
	tests := []struct {
		name  string
		loads []load
		spoil func([]byte)
		words int
		says  []string // of blocks not loaded
	}{
		{"clean", clean, nil, 16, nil},
		{"bit wrong in block 01", clean, func(b []byte) { b[16+15] ^= 1 }, 12,
			[]string{"x.tape: block 01: sum wrong: 0036 is recorded, and the words read give 0037"}},
		{"one block lost", clean[:3], nil, 12,
			[]string{"x.tape: block 03: block missing: none on the recording has this number"}},
		{"into wired store", with(3, load{3, 0o7700, four(0)}), nil, 12,
			[]string{"x.tape: block 03 word 0: block not loaded: 7700 is in WS1, which is wired and cannot be loaded"}},
		{"runs out of a plug-in", with(3, load{3, 0o0076, four(0)}), nil, 12,
			[]string{"x.tape: block 03 word 2: block not loaded: nothing answers at 0100"}},
		{"word too wide for its plug-in", with(3, load{3, 0o200, four(0o776)}), nil, 12,
			[]string{"x.tape: block 03 word 2: block not loaded: 1000 is too wide for the 9 bits of ST1"}},
		{"out of order is loaded", []load{clean[0], clean[2], clean[1], clean[3]}, nil, 16, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, blocks := record(t, tt.loads, tt.spoil)
			image, m := loader.Place(blocks, geometry)
			var says []string
			for _, l := range m.Loads {
				if l.Err != nil {
					says = append(says, l.Err.Error())
					if !strings.Contains(l.Err.Error(), "block not loaded") == errors.Is(l.Err, loader.ErrPlace) {
						t.Errorf("%v: is it an ErrPlace? %v", l.Err, errors.Is(l.Err, loader.ErrPlace))
					}
				}
			}
			if diff := cmp.Diff(tt.says, says); diff != "" {
				t.Errorf("blocks not loaded (-want +got):\n%s", diff)
			}
			if image.Len() != tt.words {
				t.Errorf("%d words in the image, want %d", image.Len(), tt.words)
			}
		})
	}
}

// Layouts that carry no address, no words, or an address at the very end of all.
func TestPlaceOddLayouts(t *testing.T) {
	const head = "layout odd\nnumbers octal\nword 64 bits\nbytes 8 of 8 bits make 1 word high first\n"
	tests := []struct {
		name, records string
		addr          memory.Addr
		words         []memory.Word
		says          string
	}{
		{"no address", "data 1 words", 0, []memory.Word{1}, "x: block 000: block not loaded: the layout records no load address"},
		{"no words", "field count\nfield address\ndata count words up to 4", 0, nil, ""},
		{"beyond all addresses", "field address\ndata 2 words", ^memory.Addr(0), []memory.Word{1, 2},
			"x: block 000: block not loaded: from 1777777777777777777777 its words run beyond all addresses"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := tape.ReadLayout("odd.layout", []byte(head+tt.records))
			if err != nil {
				t.Fatal(err)
			}
			src, err := l.Append(nil, 0, tt.addr, tt.words)
			if err != nil {
				t.Fatal(err)
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil {
				t.Fatal(err)
			}
			image, m := loader.Place(rec.Blocks, geometry)
			says := ""
			if m.Loads[0].Err != nil {
				says = m.Loads[0].Err.Error()
			}
			if says != tt.says || image.Len() != 0 {
				t.Errorf("%d words loaded, %q; want none, %q", image.Len(), says, tt.says)
			}
			var b bytes.Buffer
			if err := loader.NewSurvey(m, l, nil).WriteText(&b); err != nil || !bytes.Contains(b.Bytes(), []byte("Words loaded 0.")) {
				t.Errorf("survey %v:\n%s", err, b.String())
			}
		})
	}
}

func TestPlaceOverlap(t *testing.T) {
	_, blocks := record(t, []load{
		{0, 0o000, four(1)},
		{1, 0o002, []memory.Word{3, 0, 7, 7}}, // words 002 and 003 again, the second of them changed
		{1, 0o002, []memory.Word{3, 0, 7, 7}}, // recorded again
		{2, 0o020, four(1)},
		{3, 0o210, four(1)},
	}, nil)
	image, m := loader.Place(blocks, geometry)
	want := []loader.Overlap{
		{Span: loader.Span{First: 0o002, Last: 0o003}, Early: blocks[0], Late: blocks[2], Differ: 1},
	}
	if diff := cmp.Diff(want, m.Overlaps, cmp.Comparer(func(a, b *tape.Block) bool { return a == b })); diff != "" {
		t.Errorf("overlaps (-want +got):\n%s", diff)
	}
	gaps := []loader.Span{{First: 0o006, Last: 0o017}, {First: 0o024, Last: 0o077}, {First: 0o200, Last: 0o207}}
	if diff := cmp.Diff(gaps, m.Gaps); diff != "" {
		t.Errorf("gaps (-want +got):\n%s", diff)
	}
	if out := []bool{m.Loads[1].Out, m.Loads[2].Out}; !out[0] || out[1] {
		t.Errorf("left out: %v, want the first of the two only", out)
	}
	w, from, _ := image.At(0o003)
	if origin := (memory.Origin{Kind: memory.Tape, File: "x.tape", Block: 1, Word: 1}); w != 0 || from != origin {
		t.Errorf("word at 003 is %o from %+v; the later block gives 0 from %+v", w, from, origin)
	}
}

func ExamplePlace() {
	l, err := tape.ReadLayout("test.layout", []byte(layoutText))
	if err != nil {
		fmt.Println(err)
		return
	}
	src, _ := l.Append(nil, 0, 0o020, []memory.Word{0o1111, 0o2222, 0o3333, 0o4444})
	rec, _ := tape.Read(l, "x.tape", bytes.NewReader(src))
	image, _ := loader.Place(rec.Blocks, geometry)
	w, from, _ := image.At(0o022)
	fmt.Printf("%04o from %s, block %d, word %d\n", w, from.File, from.Block, from.Word)
	// Output:
	// 3333 from x.tape, block 0, word 2
}

func ExampleSurvey() {
	l, _ := tape.ReadLayout("test.layout", []byte(layoutText))
	var src []byte
	for n, words := range [][]memory.Word{{'I', 'D', 'L', 'E'}, {0, 0, 0, 0}, {1, 2, 3, 4}} {
		src, _ = l.Append(src, n, memory.Addr(n*4), words)
	}
	src[40] ^= 1
	rec, _ := tape.Read(l, "x.tape", bytes.NewReader(src))
	_, m := loader.Place(append(rec.Blocks, rec.Missing...), geometry)
	if err := loader.NewSurvey(m, l, nil).WriteText(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Numbers in this table are octal.
	// block  loads      words  sum   state    first words
	//  00    0000-0003  4      0436  good     0111 0104 0114
	//        "IDLE"
	//  01    0004-0007  4      0005  blank    0000 0000 0000
	//        blank: all its words are 0
	//  02    -          4      0024  damaged  0001 0102 0003
	//        sum wrong: 0024 is recorded, and the words read give 0124
	//  03    -          -      -     missing
	//        block missing: none on the recording has this number
	// Blocks 4: good 1, blank 1, damaged 1, missing 1. Words loaded 8. (These counts
	// are decimal.)
}

// Where an address counts a part of a word, a word takes up as many addresses as it has parts.
func TestPlaceUnits(t *testing.T) {
	g := memory.Geometry{
		Style: memory.Style{Radix: 8}, Width: 12, AddrBits: 12, Unit: 6,
		Areas: []memory.Area{{Name: "ST0", First: 0o0000, Last: 0o0077, Width: 12}},
	}
	layout, blocks := record(t, []load{{0, 0o000, four(1)}, {1, 0o004, four(0o40)}, {2, 0o020, four(9)}, {3, 0o074, four(1)}}, nil)
	image, m := loader.Place(blocks, g)
	for a, want := range map[memory.Addr]memory.Word{0: 1, 2: 2, 4: 0o40, 6: 0o41, 8: 0o42, 10: 0o43, 0o026: 12} {
		if w, _, ok := image.At(a); !ok || w != want {
			t.Errorf("at %04o: %o, %v; want %o", a, w, ok, want)
		}
	}
	overlaps := []loader.Overlap{{Span: loader.Span{First: 4, Last: 7}, Early: blocks[0], Late: blocks[1], Differ: 2}}
	if diff := cmp.Diff(overlaps, m.Overlaps, cmp.Comparer(func(a, b *tape.Block) bool { return a == b })); diff != "" {
		t.Errorf("overlaps (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]loader.Span{{First: 0o014, Last: 0o017}}, m.Gaps); diff != "" {
		t.Errorf("gaps (-want +got):\n%s", diff)
	}
	if err := m.Loads[3].Err; err == nil || !strings.Contains(err.Error(), "word 2: block not loaded: nothing answers at 0100") {
		t.Errorf("a block over the end of store: %v", err)
	}
	var b strings.Builder
	if err := loader.NewSurvey(m, layout, nil).WriteText(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\noverlap  0004-0007  block 01 over block 00: 2 words, 2 of them not alike; ", "\ngap      0014-0017  2 words that no block loads\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
}
