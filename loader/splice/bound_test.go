package splice

import (
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// refused merges as bench.merge does, and gives the error.
func (b *bench) refused(decisions string, passes ...[][]memory.Word) string {
	b.Helper()
	all := b.passes(passes...)
	d, err := ReadDecisions(b.l, "decisions.list", []byte(decisions))
	if err == nil {
		_, err = Merge(b.l, all, d, Bounds{})
	}
	if err == nil {
		b.Fatalf("%s: not refused", decisions)
	}
	return list.Report(err)
}

// A decision means words and not a name: with another pass the names change places, and what is decided does not.
func TestDecisionsAreBound(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1, 0o123, 0o456776, 0o333, 0o444, 0o555574), b.block(2)
	pass := func(raw []memory.Word) [][]memory.Word { return [][]memory.Word{zero, raw, two} }
	lost, won := with(one, here, one[here]&^0o2), with(one, there, one[there]|0o2)
	more := with(won, 8, won[8]^0o10000) // reads the disputed words as won does
	before := b.merge("", pass(lost), pass(won)).Blocks[1]
	kept := before.Mixtures[1]
	decide := func(what string) string {
		return "decide block 001 take " + what + " by A on 1979-11-25 because B"
	}
	for _, third := range [][]memory.Word{more, with(lost, 8, lost[8]^0o10000)} {
		m := b.merge(decide(kept.Name+" "+kept.Digest), pass(lost), pass(won), pass(third))
		if x := m.Blocks[1]; x.State != Settled || !slices.Equal(x.Raw, kept.raw) {
			t.Errorf("with a third pass the decision means %o, by %s, and meant %o; %v", x.Raw, x.Rule, kept.raw, x.Remarks)
		}
	}
	for what, says := range map[string]string{
		"001.b":                       "decisions.list:1:1: 001.b may be another reading once a pass is added; write it with its digest: take 001.b " + kept.Digest,
		"001.b 0123":                  "decisions.list:1:1: no reading of block 001 is 0123: the passes are others than when that was decided; 001.b is now " + kept.Digest,
		"001.b 3F2A":                  `"3F2A" is no digest of a reading`,
		"001.q " + "0123":             `"001.q" is no mixture of block 001`,
		"001.b " + kept.Digest[:3]:    "is no digest of a reading",
		"001.b " + kept.Digest + " 7": `"7" is no setting`,
	} {
		if got := b.refused(decide(what), pass(lost), pass(won)); !strings.Contains(got, says) {
			t.Errorf("take %s: %s, want %q", what, got, says)
		}
	}
	// The name of the other one, with the digest of this: the digest decides, and that is said.
	m := b.merge(decide("001.a "+kept.Digest), pass(lost), pass(won))
	if x := m.Blocks[1]; !slices.Equal(x.Raw, kept.raw) || x.Taken != "001.b" || !strings.Contains(strings.Join(x.Remarks, ";"), "is 001.b here") {
		t.Errorf("the digest decides: %s, %v", x.Taken, x.Remarks)
	}
}

// What is decided against what is recorded is decided, and not settled.
func TestDecidedAgainstTheSum(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	bad := with(one, here, one[here]^0o1000)
	torn := [][]memory.Word{zero, bad, two}
	plain := b.merge("", torn, torn).Blocks[1]
	m := b.merge("decide block 001 take 001.a "+plain.Mixtures[0].Digest+" by A on 1979-11-25 because B", torn, torn)
	b.want(m, Decided, "decision", 0)
	if m.Decisions[0].Against == "" {
		t.Error("nothing is said of what it goes against")
	}
}

// A blank copy that passes does not beat others that hold something; one word read in a blank block does not make it doubtful.
func TestBlankCopies(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1), b.block(2)
	blank := b.block(1, make([]memory.Word, 8)...)
	pass := func(raw []memory.Word) [][]memory.Word { return [][]memory.Word{zero, raw, two} }
	first, second := with(one, here, one[here]^1), with(one, there, one[there]^2)
	x := b.want(b.merge("", pass(blank), pass(first), pass(second)), Doubtful, "none", 11)
	if len(x.Mixtures) != 2 || !slices.Equal(x.Mixtures[0].raw, one) || !slices.Equal(x.Mixtures[1].raw, blank) || !slices.Equal(x.Raw, one) {
		t.Errorf("both readings should be kept: %+v", x.Mixtures)
	}
	x = b.want(b.merge("", pass(blank), pass(first)), Doubtful, "none", 11)
	if len(x.Mixtures) != 2 || x.Mixtures[0].Passes || !x.Mixtures[1].Passes {
		t.Errorf("both readings should be kept: %+v", x.Mixtures)
	}
	b.want(b.merge("", pass(blank), pass(with(blank, here, 7)), pass(blank)), Settled, "sum", 0)
	b.want(b.merge("", pass(blank), pass(with(blank, here, 7)), pass(with(blank, here, 7))), Doubtful, "none", 11)
}

// Two passes agree and their sum is right; what the third has otherwise passes too, but for a word it has damaged.
func TestRivalOfTwo(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1, 0o123, 0o456776, 0o333, 0o444, 0o555574), b.block(2)
	pass := func(raw []memory.Word) [][]memory.Word { return [][]memory.Word{zero, raw, two} }
	both := with(with(with(one, here, one[here]^0o2), there, one[there]^0o2), 9, one[9]^0o100)
	x := b.want(b.merge("", pass(one), pass(one), pass(both)), Doubtful, "none", 2)
	if len(x.Mixtures) != 2 || !slices.Equal(x.Raw, one) {
		t.Errorf("mixtures %+v", x.Mixtures)
	}
	b.want(b.merge("", pass(one), pass(one), pass(with(one, 9, 1))), Settled, "sum", 0)
}

// In a block that no copy proves, a word that the copies differ in stays doubtful though all mixtures that pass agree on it.
func TestDoubtWhereCopiesDiffer(t *testing.T) {
	b := newBench(t, sums)
	zero, one, two := b.block(0), b.block(1, 0o123, 0o456776, 0o333, 0o444, 0o555574), b.block(2)
	pass := func(raw []memory.Word) [][]memory.Word { return [][]memory.Word{zero, raw, two} }
	lost, won := with(one, here, one[here]&^0o2), with(one, there, one[there]|0o2)
	x := b.want(b.merge("", pass(lost), pass(with(won, 9, won[9]^0o100))), Doubtful, "none", 3)
	if len(x.Mixtures) != 2 || x.Doubts[2].Word != 9-3 || len(x.Doubts[2].Readings) != 2 {
		t.Errorf("doubts %+v", x.Doubts)
	}
}

// Between copies with nothing in common no slips are invented; a mark that is put right is told, and no pass is said to
// read it so.
func TestOtherContentAndMendedMark(t *testing.T) {
	l, err := tape.ReadLayout("long.layout", []byte("layout long\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\n"+
		"mark 525252\nfield number\nfield address\ndata 256 words\n"+sums+"\nblocks 000 to 002"))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	b := &bench{t, l}
	block := func(n, seed int) []memory.Word {
		var words []memory.Word
		for i := range 256 {
			words = append(words, memory.Word(1<<((i*i*seed+i)%17)))
		}
		return b.l.FromBytes(must(b.l.Append(nil, n, memory.Addr(0o1000+256*n), words)))
	}
	zero, one, two := block(0, 1), block(1, 2), block(2, 3)
	pass := func(raw []memory.Word) [][]memory.Word { return [][]memory.Word{zero, raw, two} }
	foreign := block(1, 77)
	for _, other := range [][]memory.Word{foreign, with(foreign, 9, foreign[9]^1)} {
		x := b.merge("", pass(one), pass(one), pass(other)).Blocks[1]
		if c := x.Copies[2]; !c.Other || len(c.Slips) > 0 {
			t.Errorf("a copy of something else: %+v", c)
		}
	}
	torn := with(one, 0, 0o525253)
	m := b.merge("", pass(torn), pass(torn), pass(torn))
	if w, _ := m.Whence(1, -3); m.Blocks[1].State != Settled || !m.Blocks[1].Copies[0].Mended || w.Rule != "layout" || w.Witnesses != 0 {
		t.Errorf("a mark put right: %+v, %+v", w, m.Blocks[1].Copies)
	}
	if m = b.merge("", pass(torn), pass(one)); m.Blocks[1].Copies[1].Mended {
		t.Error("a mark that is right is said to be put right")
	}
	if w, _ := m.Whence(1, -3); w.Witnesses != 1 || w.Pass != "p2" {
		t.Errorf("one pass reads the mark: %+v", w)
	}
}

func must(src []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return src
}
