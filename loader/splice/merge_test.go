package splice

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// The same passes in any order give the same bytes, of the image and of its lineage.
func TestOrderOfPassesIsNothing(t *testing.T) {
	m := newMaker(t)
	for seed := range 40 {
		s := m.make(uint64(seed))
		passes := s.read(t)
		if len(passes) < 3 {
			continue
		}
		var image, lineage []byte
		for i, order := range [][]int{{0, 1, 2}, {2, 0, 1}, {1, 2, 0}, {2, 1, 0}} {
			var turned []Pass
			for _, k := range order {
				turned = append(turned, passes[k])
			}
			merged, err := Merge(s.layout, turned, nil, Bounds{})
			if err != nil {
				t.Fatal(err)
			}
			a, b := merged.Image(), merged.Lineage(Head{})
			if i > 0 && (!bytes.Equal(a, image) || !bytes.Equal(b, lineage)) {
				t.Fatalf("seed %d: passes in the order %v give another result", seed, order)
			}
			image, lineage = a, b
		}
	}
}

// What a lineage says of a word is what the merge says of it, and each word of the image has an origin.
func TestLineageSaysWhatTheMergeSays(t *testing.T) {
	m := newMaker(t)
	for seed := range 40 {
		s := m.make(uint64(seed))
		merged, err := Merge(s.layout, s.read(t), nil, Bounds{})
		if err != nil {
			continue
		}
		lin, err := ReadLineage("x.lineage", merged.Lineage(Head{}))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		doubts, lost := 0, 0
		for _, b := range merged.Blocks {
			doubts += len(b.Doubts)
			if b.Raw == nil {
				lost++
			}
			for i := range b.Raw {
				w, ok := merged.Whence(b.Number, i-b.DataAt)
				if !ok {
					t.Fatalf("seed %d: block %s word %d has no origin", seed, b.Name, i-b.DataAt)
				}
				got, ok := lin.Whence(b.Number, i-b.DataAt)
				if !ok || got.String() != w.String() || got.Doubtful != w.Doubtful || got.Witnesses != w.Witnesses {
					t.Fatalf("seed %d: block %s word %d: the lineage says %v, the merge %v", seed, b.Name, i-b.DataAt, got, w)
				}
			}
			if _, ok := lin.Whence(b.Number, len(b.Raw)); ok {
				t.Fatalf("seed %d: block %s has an origin beyond its end", seed, b.Name)
			}
		}
		if len(lin.Doubtful()) != doubts || len(lin.Lost()) != lost {
			t.Fatalf("seed %d: %d doubts and %d lost, want %d and %d", seed, len(lin.Doubtful()), len(lin.Lost()), doubts, lost)
		}
	}
}

// A lineage that is damaged is refused with its line, and never a crash.
func TestReadLineageRefuses(t *testing.T) {
	good := "{\"lineage\":1,\"image\":{\"name\":\"\",\"path\":\"\",\"sha256\":\"\"},\"layout\":{\"name\":\"\",\"path\":\"\",\"sha256\":\"\"},\"passes\":null,\"mixtures\":1,\"slip_bits\":1,\"blocks\":0}\n"
	for _, tt := range []struct{ name, src, says string }{
		{"empty", "", "x: a lineage has a first line"},
		{"text", "hello\n", "x:1: this is no line of a lineage: byte 1 is not JSON"},
		{"another version", strings.Replace(good, "1", "2", 1), "version 2; this program reads version 1"},
		{"unknown key", "{\"lineage\":1,\"image\":3}\n", "x:1: "},
		{"kind", good + "{\"kind\":\"wrods\",\"block\":1,\"name\":\"1\"}\n", "x:2: this is no line of a lineage: there is no kind \"wrods\""},
		{"no first", good + "{\"kind\":\"words\",\"block\":1,\"name\":\"1\",\"count\":1}\n", "x:2: "},
		{"no count", good + "{\"kind\":\"words\",\"block\":1,\"name\":\"1\",\"first\":1}\n", "x:2: "},
		{"more behind", good + "{\"kind\":\"lost\",\"block\":1,\"name\":\"1\"} 3\n", "something follows"},
		{"doubt of nothing", good + "{\"kind\":\"doubt\",\"block\":1,\"name\":\"1\"}\n", "x:2: "},
	} {
		if _, err := ReadLineage("x", []byte(tt.src)); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v; want %q in it", tt.name, err, tt.says)
		}
	}
	// Any byte of a real one changed gives an error or a lineage, and ends.
	s := newMaker(t).make(3)
	merged, err := Merge(s.layout, s.read(t), nil, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	src := merged.Lineage(Head{})
	r := rand.New(rand.NewPCG(7, 7))
	for range 2000 {
		bad := slices.Clone(src)
		bad[r.IntN(len(bad))] ^= byte(1 << r.IntN(8))
		if lin, err := ReadLineage("x", bad[:r.IntN(len(bad))]); err == nil {
			lin.Whence(1, 1)
			lin.Doubtful()
		}
	}
	for line := range bytes.Lines(src) {
		if !json.Valid(line) {
			t.Errorf("no JSON: %s", line)
		}
	}
}
