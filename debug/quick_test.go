package debug

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
)

// turning is what is said of the loop that a roll ended in: who looks away finds it from the last orders alone.
var turning = regexp.MustCompile(`; it (turns in \d+ orders from \d+ to|stays in the order at) \d+`)

// A desk that looks away while nobody waits for anything says the same, word for word, as one that sees every order, and knows the
// same when it is asked; whatever prints, traps, halts and waits on the way, and however often somebody goes back.
func TestQuickSaysTheSame(t *testing.T) {
	looked := 0
	for seed := range uint64(*evenings) * 2 {
		r := rand.New(rand.NewPCG(seed, 9))
		eager, quick := newBenchFor(t, nil, false), newBenchFor(t, nil, false)
		eager.watchTo, quick.stretch = 1<<62, 1+r.Int64N(300)
		kept, typed := map[string]bool{}, []string{}
		for range 30 {
			word := randomWord(r, eager, kept)
			switch r.IntN(12) {
			case 0:
				word = fmt.Sprintf("key P %o", []int{0o700, 0o740, 0o741, 0o742, 0o750}[r.IntN(5)])
			case 1, 2, 3:
				word = fmt.Sprintf("roll within %d orders", 100+r.IntN(3000))
			case 4:
				word = fmt.Sprintf("roll within %d us", 100+r.IntN(3000))
			case 5:
				word = []string{"whence 100", "trail", "panel", "lamps", "why last", "back until store 100 changes", "back until A = 3", "resume", "chan", "seat TC1 a.tape"}[r.IntN(10)]
			}
			typed = append(typed, word)
			want, got := turning.ReplaceAllString(eager.do(word), ""), turning.ReplaceAllString(quick.do(word), "")
			if got != want {
				t.Fatalf("seed %d: after\n%s\nit says\n%s\nand seen order by order\n%s", seed, strings.Join(typed, "\n"), got, want)
			}
			if quick.lastSeen != nil {
				looked++
			}
		}
		if got, want := quick.whole(), eager.whole(); got != want {
			t.Fatalf("seed %d: after\n%s\nit knows\n%s\nand seen order by order\n%s", seed, strings.Join(typed, "\n"), got, want)
		}
	}
	if looked < *evenings {
		t.Errorf("it looked away %d times: too few to show anything", looked)
	}
}
