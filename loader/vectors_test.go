package loader_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// Those vectors of recordings that read well and cannot be loaded: the rest are held by loader/tape.
func TestPlacementVectors(t *testing.T) {
	const folder = "tape/testdata"
	files, err := filepath.Glob(folder + "/vectors/*.vector")
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(src, []byte("\nexpect placement\n")) {
			continue
		}
		held++
		t.Run(filepath.Base(file), func(t *testing.T) {
			rec, g, says := placement(t, folder, file, src)
			_, m := loader.Place(slices.Concat(rec.Blocks, rec.Missing), g)
			var got []string
			for _, l := range m.Loads {
				if l.Err != nil {
					got = append(got, l.Err.Error())
				}
			}
			if diff := cmp.Diff(says, got); diff != "" {
				t.Errorf("what is not loaded (-want +got):\n%s", diff)
			}
		})
	}
	if held < 5 {
		t.Errorf("%d vectors of placement; want 5 or more", held)
	}
}

// placement reads a vector: its recording, the store it is for, and what must be said.
func placement(t *testing.T, folder, file string, src []byte) (rec *tape.Recording, g memory.Geometry, says []string) {
	t.Helper()
	records, err := list.Read(file, src)
	if err != nil {
		t.Fatal(err)
	}
	number := func(w list.Word) uint64 {
		v, err := strconv.ParseUint(w.Text, 8, 64)
		if err != nil {
			t.Fatalf("%s: %v", w.Pos, err)
		}
		return v
	}
	var l *tape.Layout
	var raw []byte
	g = memory.Geometry{Style: memory.Style{Radix: 8}, AddrBits: 18}
	for _, r := range records {
		args := r.Args()
		switch r.Name() {
		case "layout":
			src, err := os.ReadFile(filepath.Join(folder, args[0].Text))
			if err != nil {
				t.Fatal(err)
			}
			if l, err = tape.ReadLayout(args[0].Text, src); err != nil {
				t.Fatal(err)
			}
			g.Width = l.Width()
		case "store":
			width, err := strconv.Atoi(args[3].Text)
			if err != nil {
				t.Fatal(err)
			}
			g.Areas = append(g.Areas, memory.Area{Name: args[0].Text, First: memory.Addr(number(args[1])), Last: memory.Addr(number(args[2])),
				Width: width, Wired: len(args) > 4})
		case "says":
			says = append(says, args[0].Text)
		case "words":
			var words []memory.Word
			for _, w := range args {
				words = append(words, memory.Word(number(w)))
			}
			raw = l.AppendRaw(raw, words)
		}
	}
	if rec, err = tape.Read(l, "x.tape", bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
	return rec, g, says
}
