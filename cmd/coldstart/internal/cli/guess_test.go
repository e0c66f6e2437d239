package cli

import (
	"bytes"
	"math/rand/v2"
	"os"
	"runtime"
	"strings"
	"testing"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// guessFiles writes a recording with a check code, and a layout that frames its blocks and does not know the code.
func guessFiles(t testing.TB, blocks int) {
	t.Helper()
	t.Chdir(t.TempDir())
	const frame = "layout frame\nnumbers octal\nword 12 bits\nbytes 3 of 8 bits make 2 words high first\nmark 5252\nfield number\nfield count\ndata count words up to 512\n"
	l, err := tape.ReadLayout("known.layout", []byte(frame+"check 16 bits 8005 start FFFF in reflected out reflected final 0000 2 words low first over number count data"))
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	var src []byte
	for n := range blocks {
		words := make([]memory.Word, 200+n%3*100)
		for i := range words {
			words[i] = memory.Word(rng.Uint32()) & memory.Mask(12)
		}
		if src, err = l.Append(src, n, 0, words); err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range map[string]string{"x.tape": string(src), "x.layout": frame + "field spare 2 words high first\n"} {
		if err := os.WriteFile(name, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// guessed runs survey --guess on so many processors.
func guessed(t testing.TB, processors int) string {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
	var out, errs bytes.Buffer
	if status := Run([]string{"survey", "--guess", "--layout", "x.layout", "--tape", "x.tape", "--json"}, strings.NewReader(""), &out, &errs); status != exitGood {
		t.Fatalf("status %d: %s%s", status, errs.String(), out.String())
	}
	return out.String()
}

// What is guessed is the same bytes whatever the number of processors.
func TestGuessOnAnyProcessors(t *testing.T) {
	guessFiles(t, 12)
	one := guessed(t, 1)
	for _, processors := range []int{2, 8} {
		if many := guessed(t, processors); many != one {
			t.Errorf("on %d processors:\n%s\non one:\n%s", processors, many, one)
		}
	}
}

// Guessing from 256 blocks of 300 to 600 bytes, on one processor and on all.
func BenchmarkGuess(b *testing.B) {
	guessFiles(b, 256)
	for name, processors := range map[string]int{"one": 1, "all": runtime.NumCPU()} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				guessed(b, processors)
			}
		})
	}
}
