package splice

import (
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A bench is a layout and what is recorded in it, for cases that a person can follow.
type bench struct {
	*testing.T
	l *tape.Layout
}

// newBench makes a layout of blocks of eight words, proved as the records say.
func newBench(t *testing.T, proved string) *bench {
	t.Helper()
	l, err := tape.ReadLayout("bench.layout", []byte("layout bench\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\n"+
		"mark 525252\nfield number\nfield address\ndata 8 words\n"+proved+"\nblocks 000 to 002"))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	return &bench{t, l}
}

// block gives all words of a block, whose data begins with some words and goes on with others that its number gives.
func (b *bench) block(n int, first ...memory.Word) []memory.Word {
	b.Helper()
	words := slices.Clone(first)
	for i := len(words); i < 8; i++ {
		words = append(words, memory.Word(0o1234*(n+1)*(i+3))&0o777777)
	}
	made, err := b.l.Append(nil, n, memory.Addr(0o1000+8*n), words)
	if err != nil {
		b.Fatal(err)
	}
	return b.l.FromBytes(made)
}

// with gives the words of a block with word i of all otherwise.
func with(raw []memory.Word, i int, w memory.Word) []memory.Word {
	raw = slices.Clone(raw)
	raw[i] = w
	return raw
}

// passes makes passes of blocks of words. They keep their order, and may be alike.
func (b *bench) passes(given ...[][]memory.Word) []Pass {
	b.Helper()
	var all []Pass
	for i, blocks := range given {
		var src []byte
		for _, raw := range blocks {
			src = b.l.AppendRaw(src, raw)
		}
		p := pass(b, b.l, "p"+string('1'+rune(i)), src)
		p.SHA256 = p.Name
		all = append(all, p)
	}
	return all
}

// merge merges passes given as blocks of words.
func (b *bench) merge(decisions string, passes ...[][]memory.Word) *Merged {
	b.Helper()
	all := b.passes(passes...)
	d, err := ReadDecisions(b.l, "decisions.list", []byte(decisions))
	if err != nil {
		b.Fatal(list.Report(err))
	}
	m, err := Merge(b.l, all, d, Bounds{})
	if err != nil {
		b.Fatal(err)
	}
	return m
}

// want checks state and rule of block 1, and how many of its words are in doubt.
func (b *bench) want(m *Merged, state State, rule string, doubts int) *Block {
	b.Helper()
	x := m.Blocks[1]
	if x.State != state || x.Rule != rule || len(x.Doubts) != doubts {
		b.Errorf("block 001 is %d by %s with %d doubts, want %d by %s with %d; %v", x.State, x.Rule, len(x.Doubts), state, rule, doubts, x.Remarks)
	}
	return x
}

const sums = "sum add over number address data"

// The words of a block that the cases damage: two of its data.
const here, there = 4, 7

func TestRules(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1, 0o123, 0o456776, 0o333, 0o444, 0o555574), b.block(2)
	pass := func(blocks ...[]memory.Word) [][]memory.Word {
		return slices.Concat([][]memory.Word{zero}, blocks, [][]memory.Word{two})
	}
	bad := func(i int) []memory.Word { return with(one, i, one[i]^1<<i) }

	t.Run("three whole", func(t *testing.T) {
		m := b.merge("", pass(one), pass(one), pass(one))
		x := b.want(m, Settled, "sum", 0)
		if w, _ := m.Whence(1, 0); w.Witnesses != 3 || len(x.Passed) != 3 {
			t.Errorf("witnesses %d, passed %v", w.Witnesses, x.Passed)
		}
	})
	t.Run("one whole against two that agree", func(t *testing.T) {
		m := b.merge("", pass(bad(here)), pass(one), pass(bad(here)))
		b.want(m, Settled, "sum", 0)
		if w, _ := m.Whence(1, here-3); w.Witnesses != 1 || w.Pass != "p2" {
			t.Errorf("the disputed word: %+v", w)
		}
	})
	t.Run("three agree and do not pass", func(t *testing.T) {
		x := b.want(b.merge("", pass(bad(here)), pass(bad(here)), pass(bad(here))), Doubtful, "none", 11)
		if len(x.Mixtures) != 1 || x.Mixtures[0].Passes {
			t.Errorf("mixtures %+v", x.Mixtures)
		}
	})
	t.Run("the only mixture", func(t *testing.T) {
		m := b.merge("", pass(bad(here)), pass(bad(there)))
		x := b.want(m, Settled, "mixture", 0)
		if !slices.Equal(x.Raw, one) {
			t.Errorf("got %o", x.Raw)
		}
		if w, _ := m.Whence(1, here-3); w.Pass != "p2" || w.Witnesses != 1 {
			t.Errorf("the first disputed word: %+v", w)
		}
	})
	t.Run("two mixtures", func(t *testing.T) {
		lost, won := with(one, here, one[here]&^0o2), with(one, there, one[there]|0o2)
		if lost[here] == one[here] || won[there] == one[there] {
			t.Fatal("the words do not have the bits for this")
		}
		x := b.want(b.merge("", pass(lost), pass(won)), Doubtful, "none", 2)
		if len(x.Mixtures) != 2 || x.Mixtures[0].Name != "001.a" || x.Mixtures[1].Name != "001.b" || !x.Mixtures[0].Passes || !x.Mixtures[1].Passes {
			t.Errorf("mixtures %+v", x.Mixtures)
		}
		for _, decision := range []string{"take 001.b " + x.Mixtures[1].Digest, "word 1 is " + b.l.WordName(x.Mixtures[1].raw[here])} {
			m := b.merge("decide block 001 "+decision+" by A on 1979-11-25 because B", pass(lost), pass(won))
			y := b.want(m, Settled, "decision", 0)
			if !slices.Equal(y.Raw, x.Mixtures[1].raw) || m.Decisions[0].Against != "" {
				t.Errorf("%s: got %o, want %o; %+v", decision, y.Raw, x.Mixtures[1].raw, m.Decisions)
			}
			if w, _ := m.Whence(1, 1); w.Decision == "" || w.Doubtful {
				t.Errorf("%s: the word says %+v", decision, w)
			}
		}
	})
	t.Run("two whole that differ", func(t *testing.T) {
		x := b.want(b.merge("", pass(one), pass(b.block(1, 7, 7, 0o333, 0o444, 0o555574)), pass(one)), Doubtful, "none", 3)
		if len(x.Mixtures) != 2 || !slices.Equal(x.Mixtures[0].raw, one) || x.Mixtures[0].Witnesses != 2 {
			t.Errorf("mixtures %+v", x.Mixtures)
		}
	})
	t.Run("errors that make up for each other", func(t *testing.T) {
		both := with(with(one, here, one[here]^0o2), there, one[there]^0o2)
		p := b.l.Prove(both)
		if p.Sum != tape.Right {
			t.Fatal("the words do not have the bits for this")
		}
		b.want(b.merge("", pass(both), pass(bad(8))), Doubtful, "none", 2)
	})
	t.Run("written anew", func(t *testing.T) {
		m := b.merge("", pass(bad(here), one), pass(bad(there)))
		x := b.want(m, Settled, "sum", 0)
		if !x.Copies[0].Twice || x.Copies[0].State != "good" || x.Copies[0].At != 2 {
			t.Errorf("copies %+v", x.Copies)
		}
	})
	t.Run("the last good one wins", func(t *testing.T) {
		newer := b.block(1, 7, 7, 0o333, 0o444, 0o555574)
		x := b.want(b.merge("", pass(one, newer), pass(bad(here))), Settled, "sum", 0)
		if !slices.Equal(x.Raw, newer) {
			t.Errorf("got %o", x.Raw)
		}
	})
	t.Run("another one out of its row", func(t *testing.T) {
		stray := b.block(1, 7, 7, 0o333, 0o444, 0o555574)
		b.want(b.merge("", slices.Concat(pass(one), [][]memory.Word{stray}), pass(bad(here))), Doubtful, "none", 3)
	})
	t.Run("in no pass", func(t *testing.T) {
		x := b.want(b.merge("", pass(), pass()), Lost, "none", 0)
		if !x.Addressed || x.Addr != 0o1010 || x.Count != 8 {
			t.Errorf("it should be missed at 1010: %+v", x)
		}
	})
	t.Run("slipped", func(t *testing.T) {
		bits := b.l.Bits(one)
		bits = append(slices.Delete(bits, 100, 101), 0)
		m := b.merge("", pass(b.l.FromBits(bits)), pass(bad(here)), pass(one))
		x := b.want(m, Settled, "sum", 0)
		if c := x.Copies[0]; c.State != "slip" || len(c.Slips) != 1 || c.Slips[0].Bits != -1 || c.Differ != 0 {
			t.Errorf("the copy that slipped: %+v", c)
		}
		// It counts for what lies behind the slip, moved back.
		if w, _ := m.Whence(1, 6); w.Witnesses != 3 {
			t.Errorf("behind the slip: %+v", w)
		}
	})
	t.Run("only copies that slipped", func(t *testing.T) {
		first, second := b.l.Bits(one), b.l.Bits(one)
		first = append(slices.Delete(first, 80, 81), 0)
		second = append(slices.Delete(second, 160, 161), 0)
		x := b.want(b.merge("", pass(b.l.FromBits(first)), pass(b.l.FromBits(second))), Settled, "mixture", 0)
		if !slices.Equal(x.Raw, one) {
			t.Errorf("got  %o\nwant %o", x.Raw, one)
		}
	})
	t.Run("all of one value", func(t *testing.T) {
		blank := with(with(make([]memory.Word, 12), 0, one[0]), 2, 0)
		m := b.merge("", pass(blank), pass(blank))
		if m.Blocks[1].State == Settled {
			t.Errorf("zeros are settled: %+v", m.Blocks[1])
		}
	})
}

// A check code that is right does not settle a block whose sum is wrong, nor does a parity that is wrong let it pass; the
// one bit that a check code names is offered and not taken.
func TestOrderOfProof(t *testing.T) {
	b := newBench(t, sums+"\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over number address data sum")
	zero, one, two := b.block(0), b.block(1), b.block(2)
	flipped := with(one, here, one[here]^0o1000)
	m := b.merge("", [][]memory.Word{zero, flipped, two}, [][]memory.Word{zero, flipped, two})
	x := b.want(m, Doubtful, "none", 12)
	if len(x.Guesses) != 2 || x.Guesses[0].Word != here-3 || x.Guesses[0].Bit != 9 || !x.Guesses[0].Passes || slices.Equal(x.Raw, one) {
		t.Errorf("the one bit that the code names: %+v", x.Guesses)
	}
	m = b.merge("", [][]memory.Word{zero, one, two}, [][]memory.Word{zero, flipped, two})
	b.want(m, Settled, "check", 0)
	// Recorded with a wrong sum: the check is made of that, and right.
	plain := newBench(t, "field spare\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over number address data spare")
	made, err := plain.l.Append(nil, 1, 0o1010, one[3:11])
	if err != nil {
		t.Fatal(err)
	}
	wrong := plain.l.FromBytes(made) // a spare word of 0 stands where the sum should
	x = b.want(b.merge("", [][]memory.Word{zero, wrong, two}, [][]memory.Word{zero, wrong, two}), Doubtful, "none", 12)
	if len(x.Remarks) != 1 || !strings.Contains(x.Remarks[0], "the block check is right and the sum is not") {
		t.Errorf("remarks %q", x.Remarks)
	}
	if m.Blocks[1].Chance != "" {
		t.Errorf("a whole copy was a matter of chance: %s", m.Blocks[1].Chance)
	}
}

// Where nothing is recorded to prove a block, nothing is settled.
func TestNothingToGoBy(t *testing.T) {
	b := newBench(t, "")
	all := [][]memory.Word{b.block(0), b.block(1), b.block(2)}
	b.want(b.merge("", all, all, all), Doubtful, "none", 10)
}

// A number and an address that no sum covers are settled by their place in the row, and not by agreement.
func TestHeaders(t *testing.T) {
	b := newBench(t, "sum add over data")
	zero, one, two := b.block(0), b.block(1), b.block(2)
	all := [][]memory.Word{zero, one, two}
	m := b.merge("", all, all)
	b.want(m, Settled, "sum", 0)
	if w, _ := m.Whence(1, -1); w.Rule != "place" || w.Doubtful {
		t.Errorf("the address: %+v", w)
	}
	astray := [][]memory.Word{zero, with(one, 2, 0o7000), two}
	b.want(b.merge("", astray, astray), Doubtful, "none", 1)
}

// Two decodes of a pass are one witness; passes that share all their damage are named.
func TestWitnesses(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	good := [][]memory.Word{zero, one, two}
	file := func(blocks [][]memory.Word) (src []byte) {
		for _, raw := range blocks {
			src = b.l.AppendRaw(src, raw)
		}
		return src
	}
	torn := [][]memory.Word{zero, with(with(with(one, 4, 1), 6, 2), 8, 3), two}
	p, q := pass(t, b.l, "p", file(good)), pass(t, b.l, "q", file(torn))
	p.Decodes = append(p.Decodes, pass(t, b.l, "p again", file([][]memory.Word{zero, one})).Decodes...)
	p.Files = []string{"p", "p again"}
	m, err := Merge(b.l, []Pass{p, q}, nil, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	if w, _ := m.Whence(1, 1); w.Witnesses != 1 {
		t.Errorf("two decodes of one pass are %d witnesses", w.Witnesses)
	}
	// What only the second decode has whole is credited to that.
	p, q = pass(t, b.l, "p", file(torn)), pass(t, b.l, "q", file([][]memory.Word{zero, with(one, 5, 3), two}))
	p.Decodes, p.Files = append(p.Decodes, pass(t, b.l, "p again", file([][]memory.Word{zero, one})).Decodes...), []string{"p", "p again"}
	if m, err = Merge(b.l, []Pass{p, q}, nil, Bounds{}); err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(m.Passes, func(x Pass) bool { return x.Name == "p" })
	if w, _ := m.Whence(1, 1); w.Pass != "p" || w.Decode != "p again" || m.Blocks[1].Copies[at].Decode != "p again" || !strings.Contains(w.String(), "p, as decoded in p again, at position 1") {
		t.Errorf("a word of the second decode: %+v; %s", w, w)
	}
	if w, _ := m.Whence(0, 1); w.Decode != "" {
		t.Errorf("a word of the first decode: %+v", w)
	}
	m = b.merge("", good, torn, torn)
	if len(m.Notes) != 1 || !strings.Contains(m.Notes[0], "p2 and p3 are damaged in the same 3 places") {
		t.Errorf("notes %q", m.Notes)
	}
	if m = b.merge("", good, torn, [][]memory.Word{zero, with(one, 4, 1), two}); len(m.Notes) != 0 {
		t.Errorf("notes %q", m.Notes)
	}
}

// Passes of two tapes are not spliced without a word.
func TestTwoTapes(t *testing.T) {
	b := newBench(t, sums)
	m := b.merge("", [][]memory.Word{b.block(0), b.block(1), b.block(2)}, [][]memory.Word{b.block(0, 1), b.block(1, 1), b.block(2, 1)})
	b.want(m, Doubtful, "none", 2)
	if len(m.Notes) != 1 || !strings.Contains(m.Notes[0], "3 differ and 0 are alike: look whether they are passes of one tape") {
		t.Errorf("notes %q", m.Notes)
	}
}

// A copy that has lost its mark and its number is known by what it holds, or by its place.
func TestFoundWithoutName(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	nameless := with(with(one, 0, 0o777777), 1, 0o707)
	m := b.merge("", [][]memory.Word{zero, one, two}, [][]memory.Word{zero, nameless, two})
	b.want(m, Settled, "sum", 0)
	if w, _ := m.Whence(1, 3); w.Witnesses != 2 {
		t.Errorf("known by what it holds: %+v", w)
	}
	// Nowhere whole: the number that its place asks for, and the mark that the layout states, make it pass.
	m = b.merge("", [][]memory.Word{zero, with(nameless, here, 5), two}, [][]memory.Word{zero, with(nameless, there, 5), two})
	if x := b.want(m, Settled, "mixture", 0); !slices.Equal(x.Raw, one) {
		t.Errorf("known by its place: got %o, want %o", x.Raw, one)
	}
}

// Where no numbers are recorded, blocks are matched by their place, if all passes have as many.
func TestWithoutNumbers(t *testing.T) {
	l, err := tape.ReadLayout("bench.layout", []byte("layout plain\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\n"+
		"mark 525252\nfield address\ndata 8 words\nsum add over address data"))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	b := &bench{t, l}
	zero, one := b.block(0), b.block(1)
	m := b.merge("", [][]memory.Word{zero, with(one, here, 5)}, [][]memory.Word{with(zero, there, 5), one})
	if x := b.want(m, Settled, "sum", 0); !slices.Equal(x.Raw, one) || m.Blocks[0].State != Settled {
		t.Errorf("got %o", x.Raw)
	}
	var all []Pass
	for i, blocks := range [][][]memory.Word{{zero, one}, {zero}} {
		var src []byte
		for _, raw := range blocks {
			src = l.AppendRaw(src, raw)
		}
		all = append(all, pass(t, l, "p"+string('1'+rune(i)), src))
	}
	if _, err := Merge(l, all, nil, Bounds{}); err == nil || !strings.Contains(err.Error(), "layout plain records no block numbers") {
		t.Errorf("passes of unlike length: %v", err)
	}
}

func TestMergeRefuses(t *testing.T) {
	b := newBench(t, sums)
	p := pass(t, b.l, "p", b.l.AppendRaw(nil, b.block(0)))
	q := p
	q.Name = "q"
	for _, tt := range []struct {
		passes []Pass
		says   string
	}{
		{nil, "a splice is of 2 to 9 passes, and 0 are given"},
		{[]Pass{p}, "and 1 are given"},
		{make([]Pass, 10), "and 10 are given"},
		{[]Pass{p, q}, "p and q are the same reading: they hold the same bytes"},
	} {
		if _, err := Merge(b.l, tt.passes, nil, Bounds{}); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%d passes: %v, want %q", len(tt.passes), err, tt.says)
		}
	}
}
