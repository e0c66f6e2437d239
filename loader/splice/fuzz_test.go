package splice

import (
	"bytes"
	"testing"

	"coldstart/loader/tape"
)

// FuzzMerge takes any bytes for passes: a merge ends, each word of its image has an origin, its lineage reads back, and
// what it says is settled passes by what is recorded with it.
func FuzzMerge(f *testing.F) {
	m := newMaker(f)
	for seed := range 6 {
		s := m.make(uint64(seed))
		f.Add(uint8(seed), s.passes[0], s.passes[1])
	}
	f.Add(uint8(0), bytes.Repeat([]byte{0x2A}, 900), bytes.Repeat([]byte{0x2A, 0x15}, 500))
	f.Fuzz(func(t *testing.T, which uint8, a, b []byte) {
		l := m.layouts[int(which)%len(m.layouts)]
		if len(a) > 4000 || len(b) > 4000 || bytes.Equal(a, b) {
			return
		}
		var passes []Pass
		for i, src := range [][]byte{a, b} {
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil {
				return
			}
			passes = append(passes, Pass{Name: string('a' + rune(i)), SHA256: string('a' + rune(i)), Decodes: []*tape.Recording{rec}})
		}
		merged, err := Merge(l, passes, nil, Bounds{Mixtures: 64})
		if err != nil {
			return
		}
		for _, x := range merged.Blocks {
			n := 0
			for _, r := range x.runs {
				if r.first != n {
					t.Fatalf("block %s: words from %d on have no origin", x.Name, n)
				}
				n += r.count
			}
			if n != len(x.Raw) {
				t.Fatalf("block %s: words from %d on have no origin", x.Name, n)
			}
			p := l.Prove(x.Raw)
			if x.State == Settled && (wrongKind(&p) != "" || p.Sum != tape.Right && p.Check != tape.Right) {
				t.Fatalf("block %s is settled and does not pass: %+v", x.Name, p)
			}
		}
		if _, err := ReadLineage("x", merged.Lineage(Head{})); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzReadDecisions takes any bytes for a decisions list: what is read can be printed, and nothing falls over.
func FuzzReadDecisions(f *testing.F) {
	l := newMaker(f).layouts[0]
	f.Add([]byte("decide block 031 take 031.b by \"A\" on 1979-11-25 because \"B\"\n"))
	f.Add([]byte("decide block 31 word 112 is 123456 by A on 1979-11-25 because B\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		all, err := ReadDecisions(l, "x", src)
		if err != nil {
			return
		}
		for _, d := range all {
			if d.By == "" || d.On == "" || d.Because == "" || d.Block < 0 || d.Word < 0 {
				t.Errorf("%+v lacks something", d)
			}
		}
	})
}
