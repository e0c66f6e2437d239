package debug

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	linecode "coldstart/cpu/channel/code"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
)

// both is a program for two halves: each counts in a mirrored place and in one of its own, sends, and asks the clock.
const both = "at 0\nstart: kick\nload 200\nadd one\nstore 200\nload 600\nadd one\nstore 600\nsend 1\nreceive 2\nadd 600\nstore 601\njump start\n" +
	"one: words 1\nat 200\nwords 0\nat 600\nwords 0, 0\nat 640\nleave\njump start\nat 650\ntrip\nat 660\nhalt\n"

// newPairBench starts a pair of test machines, both with their program in store, A on-line.
func newPairBench(t testing.TB) *bench {
	t.Helper()
	src, err := os.ReadFile("../cpu/duplex/testdata/tandem.machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read("tandem.machine", src)
	if err != nil {
		t.Fatal(err)
	}
	program, err := assemble.Assemble(code, assemble.Source{Name: "both.order", Text: []byte(both)})
	if err != nil {
		t.Fatal(err)
	}
	image, err := program.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	racks := [2]*channel.Rack{new(channel.Rack), new(channel.Rack)}
	for _, r := range racks {
		r.Put(1, channel.NewTeletypewriter(channel.LineSpec{Code: linecode.ASCII, Baud: big.NewRat(110_000, 1), Units: big.NewRat(11, 1)}))
		r.Put(2, channel.NewClock(7_000_000))
	}
	racks[1].Share(racks[0], 1)
	p, err := duplex.NewPair(code, racks[0], racks[1], 1)
	if err != nil {
		t.Fatal(err)
	}
	for n := range 2 {
		if err := p.Half(n).Store.Load(image); err != nil {
			t.Fatal(err)
		}
	}
	b := new(bench)
	b.Session = New(Setup{Half: p.Half(0), Pair: p, Image: image, Out: &b.said})
	b.Start(nil)
	return b
}

// pairWord is a word that somebody at a pair might say next.
func pairWord(r *rand.Rand, kept map[string]bool) string {
	name := string(rune('a' + r.IntN(3)))
	switch r.IntN(14) {
	case 0, 1:
		return fmt.Sprintf("take %d", 1+r.IntN(40))
	case 2, 3, 4:
		return fmt.Sprintf("roll within %d orders", 1+r.IntN(2000))
	case 5:
		return fmt.Sprintf("roll within %d us", 1+r.IntN(2000))
	case 6, 7:
		return fmt.Sprintf("back %d", 1+r.IntN(300))
	case 8:
		return "mate"
	case 9:
		return "changeover"
	case 10:
		return fmt.Sprintf("key P %o", []int{0, 0o640, 0o650, 0o660}[r.IntN(4)])
	case 11:
		return []string{"jam store 601 bit 0 = 1", "jam register A bit 2 = 0", "unjam 1", "key 600 0"}[r.IntN(4)]
	case 12:
		kept[name] = true
		return "keep " + name
	}
	if kept[name] {
		return "recall " + name
	}
	return []string{"pair", "whence 200", "trail 5", "panel", "back until store 600 changes"}[r.IntN(5)]
}

// comeTo goes on to a point, whatever pauses on the way.
func (b *bench) comeTo(p point) {
	for n := p.at - b.position(); n > 0 && b.goOn(n) > 0; n = p.at - b.position() {
	}
	b.pass(p)
}

// An evening at a pair ends as one in which only what counts was done, and a desk that looks away while it can says the same.
func TestPairEvenings(t *testing.T) {
	looked := 0
	for seed := range uint64(*evenings) {
		r := rand.New(rand.NewPCG(seed, 21))
		eager, quick := newPairBench(t), newPairBench(t)
		eager.watchTo, quick.stretch = 1<<62, 1+r.Int64N(300)
		kept, typed := map[string]bool{}, []string{}
		for range 25 {
			word := pairWord(r, kept)
			typed = append(typed, word)
			want, got := turning.ReplaceAllString(eager.do(word), ""), turning.ReplaceAllString(quick.do(word), "")
			if got != want {
				t.Fatalf("seed %d: after\n%s\nit says\n%s\nand seen order by order\n%s", seed, strings.Join(typed, "\n"), got, want)
			}
			if quick.lastSeen != nil {
				looked++
			}
		}
		plain := newPairBench(t)
		for _, a := range eager.acts {
			plain.comeTo(a.point)
			if err := plain.again(a); err != nil {
				t.Fatalf("seed %d: %s: %v", seed, a.line, err)
			}
		}
		plain.comeTo(eager.here().point)
		plain.goTo(eager.half.Name)
		if got, want := eager.whole(), plain.whole(); got != want {
			t.Fatalf("seed %d: after\n%s\nthe state is\n%s\nand played again it is\n%s", seed, strings.Join(typed, "\n"), got, want)
		}
		if got, want := quick.whole(), eager.whole(); got != want {
			t.Fatalf("seed %d: after\n%s\nit knows\n%s\nand seen order by order\n%s", seed, strings.Join(typed, "\n"), got, want)
		}
	}
	if looked < *evenings/2 {
		t.Errorf("it looked away %d times: too few to show anything", looked)
	}
}
