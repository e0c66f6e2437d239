package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// passes are the three recordings of story 2 as committed, read.
func passes(t *testing.T, l *tape.Layout) []*tape.Recording {
	t.Helper()
	var all []*tape.Recording
	for n := 1; n <= passCount; n++ {
		name := fmt.Sprintf("pass%d.tape", n)
		src, err := os.ReadFile(filepath.Join("..", storyFolder, "2", name))
		if err != nil {
			t.Fatal(err)
		}
		rec, err := tape.Read(l, name, bytes.NewReader(src))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, rec)
	}
	return all
}

// block is the block of a number; nil where the recording has none.
func block(rec *tape.Recording, number int) *tape.Block {
	i := slices.IndexFunc(rec.Blocks, func(b *tape.Block) bool { return b.Number == number })
	if i < 0 {
		return nil
	}
	return rec.Blocks[i]
}

// TestPasses holds the damage of story 2 against what it is to teach: every block but three is whole and right in two
// passes; the slipped one is whole in pass 2 alone, the doubtful one in none, and the lost one is not there.
func TestPasses(t *testing.T) {
	whole := recording(t)
	all := passes(t, whole.Layout)
	for _, b := range whole.Blocks {
		state := ""
		for _, rec := range all {
			switch got := block(rec, b.Number); {
			case got == nil:
				state += " lost"
			case got.Whole() && !slices.Equal(got.Words, b.Words):
				t.Errorf("block %03o of %s is whole and wrong", b.Number, got.File)
			case got.Whole():
				state += " whole"
			case slices.ContainsFunc(got.Problems, func(e *tape.BlockError) bool { return errors.Is(e, tape.ErrSum) }):
				state += " sum"
			}
		}
		want := map[int]string{slippedBlock: " sum whole sum", doubtfulBlock: " sum sum sum", lostBlock: " lost lost lost"}[b.Number]
		if want != "" && state != want || want == "" && strings.Count(state, "whole") < 2 {
			t.Errorf("block %03o is%s, want%s", b.Number, state, want)
		}
	}
}

// TestSlip finds every word behind the slipped bit one bit too far left in pass 3, and every one before it right.
func TestSlip(t *testing.T) {
	whole := recording(t)
	got := block(passes(t, whole.Layout)[2], slippedBlock).Raw
	want := block(whole, slippedBlock).Raw
	first := whole.Layout.DataAt() + slippedWord
	if diff := cmp.Diff(want[:first], got[:first]); diff != "" {
		t.Errorf("before the slip (-want +got)\n%s", diff)
	}
	for i := first + 1; i < len(want)-1; i++ {
		if w := (want[i]<<1 | want[i+1]>>17) & mask; got[i] != w {
			t.Fatalf("raw word %d behind the slip is %06o, want %06o", i, got[i], w)
		}
	}
}

// TestMixtures tries every way to read the doubtful block: of four, two pass the sum.
func TestMixtures(t *testing.T) {
	whole := recording(t)
	base := block(whole, doubtfulBlock).Raw
	readings := make([][]memory.Word, len(base))
	for _, rec := range passes(t, whole.Layout) {
		for i, w := range block(rec, doubtfulBlock).Raw {
			if !slices.Contains(readings[i], w) {
				readings[i] = append(readings[i], w)
			}
		}
	}
	mixtures := [][]memory.Word{nil}
	for _, words := range readings {
		var longer [][]memory.Word
		for _, m := range mixtures {
			for _, w := range words {
				longer = append(longer, append(slices.Clone(m), w))
			}
		}
		mixtures = longer
	}
	passing := 0
	for _, m := range mixtures {
		if whole.Layout.Prove(m).Sum == tape.Right {
			passing++
		}
	}
	if len(mixtures) != 4 || passing != 2 {
		t.Errorf("%d mixtures, %d pass the sum; want 4 and 2", len(mixtures), passing)
	}
}

// TestStoryRefusals spoils what a story rests on: the generator says what does not fit, and makes none.
func TestStoryRefusals(t *testing.T) {
	for _, test := range []struct {
		name, file, was, is string
		tell                func(*teller) (string, []file, error)
		want                string
	}{
		{"another seat", officeFile, `"GP-1"`, `"GP-2"`, tired, "office.list does not seat"},
		{"an order typed otherwise", machineFile, "P + sign(d, 15)\n  does    X3", "P +  sign(d, 15)\n  does    X3", mistyped,
			`"P + sign(d, 15)" stands in 1 lines of order link d`},
		{"a tape that does not come up", tapeFile, "\x2a\x2a\x2a", "\x2a\x2a\x2b", evening, "comes out TROUBLE"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, _, err := test.tell(&teller{program: program(t), open: func(name string) ([]byte, error) {
				src, err := readOffice(name)
				if name == test.file {
					src = bytes.Replace(src, []byte(test.was), []byte(test.is), 1)
				}
				return src, err
			}})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("got %v, want one with %q", err, test.want)
			}
		})
	}
}

// TestLeaves holds the leaves of the handbook that story 3 gives against the machine file that is right: every pattern on
// them is that of its order, and every order of these pages is on them.
func TestLeaves(t *testing.T) {
	leaves, err := os.ReadFile(filepath.Join("..", storyFolder, "3", "leaves.txt"))
	if err != nil {
		t.Fatal(err)
	}
	src, err := readOffice(machineFile)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, part := range strings.Split(string(src), "\norder ")[1:] {
		head, rest, _ := strings.Cut(part, "\n")
		name, page, _ := strings.Cut(head, "page ")
		if page < "3-13" || page > "3-19" || len(page) != 4 {
			continue
		}
		_, pattern, _ := strings.Cut(rest, "pattern ")
		pattern, _, _ = strings.Cut(pattern, "\n")
		found++
		if line := fmt.Sprintf("%-17s %s\n", strings.TrimSpace(name), pattern); !strings.Contains(string(leaves), line) {
			t.Errorf("the leaves have no line %q", line)
		}
	}
	if found != 17 {
		t.Errorf("%d orders on these pages, want 17", found)
	}
}
