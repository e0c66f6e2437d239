package tape_test

import (
	"errors"
	"go/scanner"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// FuzzReadLayout holds, for any text at all: it is refused with errors that have a place, or it makes a layout in which any
// words whatever are recorded and read back the same, as bits and as bytes.
func FuzzReadLayout(f *testing.F) {
	files, err := filepath.Glob("testdata/*.layout")
	if err != nil || len(files) == 0 {
		f.Fatal("no layouts to begin with", err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Add([]byte(examples()[0]))
	f.Fuzz(func(t *testing.T, src []byte) {
		l, err := tape.ReadLayout("x.layout", src)
		if err != nil {
			var all scanner.ErrorList
			if l != nil || !errors.As(err, &all) || len(all) == 0 || all[0].Pos.Filename != "x.layout" {
				t.Fatalf("%v, %v: refused without a place, or not whole", l, err)
			}
			return
		}
		rng := rand.New(rand.NewPCG(uint64(len(src)), 7))
		raw := make([]memory.Word, rng.IntN(9))
		for i := range raw {
			raw[i] = memory.Word(rng.Uint64()) & memory.Mask(l.Width())
		}
		if got := l.FromBits(l.Bits(raw)); !slices.Equal(got, raw) {
			t.Fatalf("%o come back from bits as %o", raw, got)
		}
		l.Prove(raw)
		l.Fields(raw)
		if _, _, found := l.OneWrong(raw); found && l.Prove(raw).Check != tape.Wrong {
			t.Error("a bit is named where the code is not wrong")
		}
	})
}
