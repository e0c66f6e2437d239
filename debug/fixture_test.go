package debug

import (
	"bytes"
	"errors"
	"math/big"
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	linecode "coldstart/cpu/channel/code"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// file reads a file of testdata.
func file(t testing.TB, name string) []byte {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// A bench is a session on the test machine, and what it said.
type bench struct {
	*Session
	said bytes.Buffer
}

// newBench starts the test machine with its program wired in. Stop, if it is not nil, ends runs.
func newBench(t testing.TB, stop func() bool) *bench {
	t.Helper()
	return newBenchFor(t, stop, true)
}

// newBenchFor is newBench with the chases and milestones of the test machine to wait for, or without any.
func newBenchFor(t testing.TB, stop func() bool, expects bool) *bench {
	t.Helper()
	code, err := order.Read("tallow.machine", file(t, "tallow.machine"))
	if err != nil {
		t.Fatal(err)
	}
	program, err := assemble.Assemble(code, assemble.Source{Name: "round.order", Text: file(t, "round.order")})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := watch.Read("tallow.chase", file(t, "tallow.chase"), code)
	if err != nil {
		t.Fatal(err)
	}
	if !expects {
		plan = nil
	}
	image, err := program.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	rack := new(channel.Rack)
	rack.Put(1, channel.NewTeletypewriter(channel.LineSpec{Code: linecode.ASCII, Baud: big.NewRat(110_000, 1), Units: big.NewRat(11, 1)}))
	rack.Put(2, channel.NewDrive(channel.DefaultDrive()))
	h := duplex.NewHalf("A", code, rack, 1)
	if err := h.Store.Load(image); err != nil {
		t.Fatal(err)
	}
	b := new(bench)
	b.Session = New(Setup{Half: h, Image: image, Plan: plan, Out: &b.said, Stop: stop, Open: func(string) ([]byte, error) { return []byte("panel\n"), nil }, Tape: reels})
	b.Start(nil)
	return b
}

// A reel is a recording of a few blocks, each of one word.
type reel []memory.Word

func (r reel) Len() int                  { return len(r) }
func (r reel) Words(i int) []memory.Word { return r[i : i+1] }
func (r reel) Origin(i, k int) memory.Origin {
	return memory.Origin{Kind: memory.Tape, File: "reel", Block: i, Word: k}
}

// reels reads recordings: as many blocks as the name of the file has letters.
func reels(file string) (channel.Blocks, string, error) {
	if !strings.HasSuffix(file, ".tape") {
		return nil, "", errors.New(file + " is no recording")
	}
	return make(reel, len(file)), "digest-of-" + file, nil
}

// do carries out one line and gives what was said, the sentence of an error included.
func (b *bench) do(line string) string {
	b.said.Reset()
	if err := b.Do(line); err != nil {
		b.said.WriteString("! " + err.Error() + "\n")
	}
	return b.said.String()
}

// all carries out lines that must be right.
func (b *bench) all(t testing.TB, lines string) {
	t.Helper()
	for line := range strings.Lines(lines) {
		if err := b.Do(strings.TrimSpace(line)); err != nil {
			t.Fatalf("%s%v", line, err)
		}
	}
}
