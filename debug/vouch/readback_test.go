package vouch_test

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
	"coldstart/loader/list"
	"coldstart/loader/tape"
)

// What a drive would serve is held word by word against what was vouched for.
func TestCompare(t *testing.T) {
	h := newHouse(t, "office.list", "Pip", "Pip")
	o, err := bringup.Open(func(name string) ([]byte, error) {
		if src, ok := h[name]; ok {
			return src, nil
		}
		return nil, os.ErrNotExist
	}, "office.list")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	block := func(n int) []byte { return h["pip.tape"][n*blockSize : (n+1)*blockSize] }
	with := func(at int, to byte) []byte {
		b := bytes.Clone(h["pip.tape"])
		b[at] = to
		return b
	}
	bit := bytes.Clone(h["pip.tape"])
	for i := 1; i < len(bit); i += 2 {
		bit[i] |= 1 << 4 // bit 4 of every word, as a line held at one would
	}
	tests := []struct {
		name   string
		served []byte
		want   []string
	}{
		{"alike", h["pip.tape"], nil},
		// Word 1 of block 1 is 6, in bytes 24 and 25, for address 024. Its sum is 1 + 23 + 5 + 6 + 7 + 0 = 46.
		{"a word", with(blockSize+9, 0o7), []string{"1: 1 of its 8 words is another; by itself: sum wrong: 0046 is recorded, and the words read give 0047 [1 024 0006 0007]"}},
		{"the number", with(blockSize+3, 0o3), []string{"1: missing: it is not served", "3: served, and not vouched for"}},
		{"the address", with(blockSize+5, 0o24), []string{"1: 1 of its 8 words is another; by itself: sum wrong: 0046 is recorded, and the words read give 0047 [load address  0023 0024]"}},
		{"the sum", with(blockSize+15, 0o45), []string{"1: 1 of its 8 words is another; by itself: sum wrong: 0045 is recorded, and the words read give 0046 [sum  0046 0045]"}},
		{"a word and the sum", append(with(blockSize+9, 0o7)[:2*blockSize-1], append([]byte{0o47}, block(2)...)...),
			[]string{"1: 2 of its 8 words are others; by itself it reads well [1 024 0006 0007] [sum  0046 0047]"}},
		{"last one missing", slices.Concat(block(0), block(1)), []string{"2: missing: it is not served"}},
		{"first one missing", slices.Concat(block(1), block(2)), []string{"0: missing: it is not served"}},
		{"one twice", slices.Concat(block(0), block(1), block(1), block(2)), []string{"1: served twice, and vouched for once"}},
		{"three times", slices.Concat(block(0), block(1), block(1), block(1), block(2)), []string{"1: served 3 times, and vouched for once"}},
		{"first one last", slices.Concat(block(1), block(2), block(0)), []string{"0: out of order: it comes behind block 2"}},
		{"last one first", slices.Concat(block(2), block(0), block(1)), []string{"2: out of order: it comes first"}},
		{"backwards", slices.Concat(block(2), block(1), block(0)), []string{"0: out of order: it comes behind block 1", "1: out of order: it comes behind block 2"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rec, err := tape.Read(o.Tapes[0].Recording.Layout, "served", bytes.NewReader(test.served))
			if err != nil {
				t.Fatal(err)
			}
			r, err := vouch.Compare(o, o.Tapes[0], rec)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, d := range r.Differ {
				said := d.Block + ": " + d.Text
				for _, a := range d.Words {
					said += fmt.Sprintf(" [%s %s %s %s]", a.Word, a.Address, a.Vouched, a.Served)
				}
				got = append(got, said)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
	rec, _ := tape.Read(o.Tapes[0].Recording.Layout, "served", bytes.NewReader(h["pip.tape"]))
	r, err := vouch.Compare(o, o.Tapes[0], rec)
	if err != nil {
		t.Fatal(err)
	}
	// By hand, from the default drive: start 5 ms, 24 words 125 us apart, two gaps of 15,375 us to the head reaching the block
	// and 125 us to its first word.
	want := &vouch.Readback{Blocks: 3, Words: 24, First: 5_125_000_000, Last: 38_750_000_000, Gaps: []vouch.Gap{{Length: 15_500_000_000, Count: 2}}, Differ: []vouch.Difference{}}
	if diff := cmp.Diff(want, r); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	rec, _ = tape.Read(o.Tapes[0].Recording.Layout, "served", bytes.NewReader(bit))
	if r, err = vouch.Compare(o, o.Tapes[0], rec); err != nil || !strings.Contains(r.Hint, "differ in bit 4 alone") {
		t.Errorf("bit 4 of every word up: %v, hint %q", err, r.Hint)
	}
}
