package order

import (
	"fmt"
	"go/scanner"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"coldstart/memory"
)

// brindlecote reads the machine file of the training office, the largest there is.
func brindlecote(t testing.TB) *Code {
	t.Helper()
	src, err := os.ReadFile("../../cmd/coldstart/internal/school/office/brindlecote.machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := Read("brindlecote.machine", src)
	if err != nil {
		t.Fatal(sentences(err))
	}
	return code
}

// sentences is every error of a list, a line each; the Error of a list gives but the first.
func sentences(err error) string {
	var text strings.Builder
	scanner.PrintError(&text, err)
	return text.String()
}

// base is a machine file that wants nothing; tests put lines of their own below it.
const base = `machine   "Base"
numbers   octal, bit 0 at right
word      18 bits, twos complement
address   15 bits
clock     2.5 us
counter   P: 15 bits, holds next order
register  A, B: 18 bits
register  N: 5 bits
flip-flop z
store     ST0 000000-007777
  parity  right odd over 3-0, left odd over 7-4
channel   TC1: code 1, 18 bits
timer     tick: 10 ms, trap late
trap      late "late"
  does    halt
order     stop
  pattern 000000000000000000
  does    halt
`

func TestBrindlecote(t *testing.T) {
	code := brindlecote(t)
	if got, want := len(code.Orders), 74; got != want {
		t.Errorf("%d orders, want %d", got, want)
	}
}

// naive finds an order by trying one pattern after the other.
func naive(code *Code, w memory.Word) *Order {
next:
	for _, o := range code.Orders {
		if p := o.Patterns[0]; w&p.Mask != p.Value {
			continue
		}
		for _, f := range o.Fields {
			if f.Group != nil && f.Pieces[0].Word == 0 && f.Group[f.Of([]memory.Word{w, 0})] == nil {
				continue next
			}
		}
		return o
	}
	return nil
}

func TestFindNarrow(t *testing.T) {
	code := brindlecote(t)
	read := 0
	for w := range memory.Word(1 << code.Geometry.Width) {
		got, want := code.Find(w), naive(code, w)
		if got != want {
			t.Fatalf("Find(%06o) = %v, want %v", w, got, want)
		}
		if got != nil {
			read++
		}
	}
	if read == 0 || read == 1<<code.Geometry.Width {
		t.Errorf("%d words are read: no order code is so full or so empty", read)
	}
	if o := code.Find(1 << code.Geometry.Width); o != nil {
		t.Errorf("a word wider than the store is read as %s", o.Name)
	}
}

func TestFindWide(t *testing.T) {
	var src strings.Builder
	src.WriteString(strings.NewReplacer("word      18", "word      32", "pattern 0000", "pattern 000000000000000000").Replace(base))
	fmt.Fprintln(&src, "group g: 00 A, 10 B")
	for i := range 40 {
		// The bits that tell the orders apart stand at both ends, with a field that leaves values out among them.
		fmt.Fprintf(&src, "order o%d g, a\n  pattern 1 aaaaaaaaaaaa %06b gg aaaaa 0%05b\n", i, i, 31-i%32)
	}
	code := mustRead(t, src.String())
	random := rand.New(rand.NewPCG(1, 2))
	found := 0
	for range 200_000 {
		w := memory.Word(random.Uint32() | 1<<31)
		i := random.IntN(40)
		w = w&^(0x3f<<13|0x3f) | memory.Word(i)<<13 | memory.Word(31-i%32)
		got, want := code.Find(w), naive(code, w)
		if got != want {
			t.Fatalf("Find(%#x) = %v, want %v", w, got, want)
		}
		if got != nil {
			found++
		}
	}
	if found < 50_000 {
		t.Errorf("only %d of 200,000 words were read: the test tries too little", found)
	}
}

// mustRead reads a machine file that should be whole.
func mustRead(t testing.TB, src string) *Code {
	t.Helper()
	code, err := Read("test.machine", []byte(src))
	if err != nil {
		t.Fatalf("Read: %s\nof\n%s", sentences(err), src)
	}
	return code
}
