package splice

import (
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// Blocks go into the image in the order of their numbers where the layout states them, else as most passes have them, and
// what stands otherwise on a pass is said.
func TestOrderOfBlocks(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	straight, swapped := [][]memory.Word{zero, one, two}, [][]memory.Word{zero, two, one}
	image := func(blocks [][]memory.Word) (src []byte) {
		for _, raw := range blocks {
			src = b.l.AppendRaw(src, raw)
		}
		return src
	}
	check := func(name string, m *Merged, want [][]memory.Word, notes ...string) {
		t.Helper()
		if !slices.Equal(m.Image(), image(want)) {
			t.Errorf("%s: the image is not in the order it should be", name)
		}
		if !slices.Equal(m.Notes, notes) {
			t.Errorf("%s: notes %q, want %q", name, m.Notes, notes)
		}
	}
	stated := " has block 002 ahead of 001: the merged recording has the blocks in the order of their numbers"
	check("all swapped", b.merge("", swapped, swapped), straight, "p1"+stated, "p2"+stated)
	check("one swapped", b.merge("", swapped, straight, straight), straight, "p1"+stated)
	check("a gap", b.merge("", [][]memory.Word{two, zero}, [][]memory.Word{two, zero}), [][]memory.Word{zero, two},
		"p1 has block 002 ahead of 000: the merged recording has the blocks in the order of their numbers",
		"p2 has block 002 ahead of 000: the merged recording has the blocks in the order of their numbers")
	open := newBench(t, sums)
	l, err := tape.ReadLayout("open.layout", []byte("layout open\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\n"+
		"mark 525252\nfield number\nfield address\ndata 8 words\n"+sums))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	open.l = l
	if m := open.merge("", swapped, swapped, straight); !slices.Equal(m.Image(), image(swapped)) || len(m.Notes) != 1 ||
		!strings.Contains(m.Notes[0], "p3 has block 001 ahead of 002: the merged recording has the blocks as most passes have them") {
		t.Errorf("most passes have them swapped: %q", m.Notes)
	}
	if m := open.merge("", swapped, straight, straight); !slices.Equal(m.Image(), image(straight)) || len(m.Notes) != 1 {
		t.Errorf("most passes have them straight: %q", m.Notes)
	}
}

// A whole block that the layout has no number for is left out, and that is said.
func TestLeftOut(t *testing.T) {
	b := newBench(t, sums)
	blocks := [][]memory.Word{b.block(0), b.block(1), b.block(2)}
	more := slices.Concat(blocks, [][]memory.Word{b.block(0o77)})
	m := b.merge("", more, more)
	if len(m.Blocks) != 3 || !slices.Equal(m.LeftOut, []int{0o77}) || len(m.Notes) != 1 ||
		!strings.Contains(m.Notes[0], "left out, though whole on p1, p2: block 077; layout bench states blocks 000 to 002") {
		t.Errorf("left out %v; %q", m.LeftOut, m.Notes)
	}
	lin, err := ReadLineage("x", m.Lineage(Head{}))
	if err != nil || lin.LeftOut() != 1 {
		t.Errorf("the lineage should say so: %v", err)
	}
	if m := b.merge("", blocks, blocks); len(m.LeftOut)+len(m.Notes) != 0 {
		t.Errorf("left out %v; %q", m.LeftOut, m.Notes)
	}
}

// Of a great many copies of one block the last ones count, and the last that passes however early it came.
func TestManyCopies(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	long := [][]memory.Word{zero, one}
	for i := range 40 {
		long = append(long, with(one, here, memory.Word(i)))
	}
	m := b.merge("", append(long, two), [][]memory.Word{zero, with(one, there, 1), two})
	if x := b.want(m, Settled, "sum", 0); !slices.Equal(x.Raw, one) || !x.Copies[0].Twice {
		t.Errorf("got %o; copies %+v", x.Raw, x.Copies)
	}
}

// What a person decides is in the lineage with name, date and reason, and so is what speaks against it; a mixture that is
// only tried stands in the image and settles nothing.
func TestDecisions(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	a := [][]memory.Word{zero, with(one, here, 5), two}
	m := b.merge("decide block 001 take 001.a a6c5 by \"A. B\" on 1979-11-25 because \"a listing\"", a, a)
	b.want(m, Decided, "decision", 0)
	lin, err := ReadLineage("x", m.Lineage(Head{}))
	if err != nil {
		t.Fatal(err)
	}
	want := "block 001: take 001.a a6c5, decided by A. B on 1979-11-25: a listing (against evidence: its sum is wrong with it)"
	if got := lin.Decisions(); len(got) != 1 || got[0] != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if w, _ := lin.Whence(1, 3); w.Decision != "A. B on 1979-11-25: a listing" || w.Doubtful || w.Rule != "decision" {
		t.Errorf("a word of it: %+v", w)
	}
	// Word by word: what is left stays in doubt.
	m = b.merge("decide block 001 word 1 is 7 by A on 1979-11-25 because B\ndecide block 001 word 2 is 3 by A on 1979-11-25 because B", a, a)
	x := b.want(m, Doubtful, "none", 9)
	if x.Raw[here] != 7 || x.Raw[here+1] != 3 || m.Decisions[0].Against == "" {
		t.Errorf("got %o, %+v", x.Raw, m.Decisions)
	}

	for _, tt := range []struct{ list, says string }{
		{"decide block 001 take 001.z by A on 1979-11-25 because B", `"001.z" is no mixture of block 001 here`},
		{"decide block 000 take 000.a by A on 1979-11-25 because B", "block 000 is not doubtful: it is settled by its sum"},
		{"decide block 007 take 007.a by A on 1979-11-25 because B", "there is no block 007"},
	} {
		d, err := ReadDecisions(b.l, "d.list", []byte(tt.list))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Merge(b.l, m.Passes, d, Bounds{}); err == nil || !strings.Contains(err.Error(), tt.says) || !strings.Contains(err.Error(), "d.list:1:1") {
			t.Errorf("%s: %v", tt.list, err)
		}
	}
	for _, tt := range []struct{ list, says string }{
		{"decide block 001 take 001.a by A on 1979-11-25", "it must look like"},
		{"decide block 9 take 001.a by A on 1979-11-25 because B", "9"},
		{"decide block 001 word 1 is 7777777 by A on 1979-11-25 because B", "too large for a word"},
		{"decide block 001 take 001.a by \"\" on 1979-11-25 because B", "nothing stands between the quotes"},
		{"decide block 001 take 001.a by A on tomorrow because B", `"tomorrow" is no date`},
		{"decide block 001 take 001.a by A on 1979-11-25 because a listing", `"listing" is one word too many`},
	} {
		if _, err := ReadDecisions(b.l, "d.list", []byte(tt.list)); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v, want %q in it", tt.list, err, tt.says)
		}
	}
}

// Where there is room for few shifts only, those that move the least are kept.
func TestNearest(t *testing.T) {
	al := &aligner{shifts: []int{-40, -3, -1, 0, 2, 50}}
	al.nearest(4)
	if !slices.Equal(al.shifts, []int{-3, -1, 0, 2}) {
		t.Errorf("kept %v", al.shifts)
	}
}

// A decode that is inverted, or backwards, is turned as a whole, damaged blocks too; blocks come in the order of the tape.
func TestTurnedPasses(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	damaged := with(one, there, 1)
	turns := map[string]func(raw []memory.Word) []memory.Word{
		"inverted": func(raw []memory.Word) []memory.Word {
			bits := b.l.Bits(raw)
			for i := range bits {
				bits[i] ^= 1
			}
			return b.l.FromBits(bits)
		},
		"backwards": func(raw []memory.Word) []memory.Word {
			bits := b.l.Bits(raw)
			slices.Reverse(bits)
			return b.l.FromBits(bits)
		},
	}
	for name, turn := range turns {
		all := [][]memory.Word{turn(zero), turn(damaged), turn(two)}
		if name == "backwards" {
			slices.Reverse(all)
		}
		m := b.merge("", [][]memory.Word{zero, with(one, here, 5), two}, all)
		x := b.want(m, Settled, "mixture", 0)
		if !slices.Equal(x.Raw, one) || m.Blocks[0].Number != 0 {
			t.Errorf("%s: got %o, want %o; the first block is %d", name, x.Raw, one, m.Blocks[0].Number)
		}
	}
}

// Words whose parity is wrong in all passes are doubtful, and no others, where the sum is right.
func TestParity(t *testing.T) {
	l, err := tape.ReadLayout("bench.layout", []byte("layout odd\nnumbers octal\nword 20 bits\nbytes 3 of 8 bits make 1 word high first\n"+
		"store bits 18-10 8-0\nparity odd over 19-10\nparity odd over 9-0\nmark 525252\nfield number\nfield address\ndata 8 words\n"+
		"sum add over number address data\nblocks 000 to 002"))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	b := &bench{t, l}
	zero, one, two := b.block(0), b.block(1), b.block(2)
	odd := with(one, here, one[here]^1<<19)
	all := [][]memory.Word{zero, odd, two}
	x := b.want(b.merge("", all, all, all), Doubtful, "none", 1)
	if x.Doubts[0].Word != here-3 || len(x.Remarks) != 1 {
		t.Errorf("%+v", x)
	}
	// In one pass alone it is that pass that is wrong.
	b.want(b.merge("", all, [][]memory.Word{zero, with(one, there, 1), two}), Settled, "mixture", 0)
}
