package duplex_test

import (
	"fmt"
	"math/big"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	linecode "coldstart/cpu/channel/code"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// round makes a half that prints and moves lamps round and round, with power up and nothing done. It panics where the files
// in testdata are wrong, so that examples can use it too.
func round(fill uint64) *duplex.Half {
	code, err := order.Read("loom.machine", file("loom.machine"))
	check(err)
	program, err := assemble.Assemble(code, assemble.Source{Name: "round.order", Text: file("round.order")})
	check(err)
	image, err := program.Image(code.Geometry)
	check(err)
	rack := new(channel.Rack)
	rack.Put(1, channel.NewTeletypewriter(channel.LineSpec{Code: linecode.ASCII, Baud: big.NewRat(11_000_000, 7), Units: big.NewRat(11, 1)}))
	h := duplex.NewHalf("A", code, rack, fill)
	check(h.Store.Load(image))
	h.Machine.Boot()
	return h
}

// file reads a file of testdata.
func file(name string) []byte {
	src, err := os.ReadFile("testdata/" + name)
	check(err)
	return src
}

func check(err error) {
	if err != nil {
		panic(err)
	}
}

// A diary writes down every order and what it did, and tells the half of lamp rows.
type diary struct {
	half  *duplex.Half
	lines []string
}

func (d *diary) Observe(s *cpu.Step) {
	lamps := ""
	if d.half.Asked(s) {
		lamps = d.half.Lamps()
	}
	d.lines = append(d.lines, fmt.Sprintln(s.Number, s.At, s.Done, s.Place, s.Words, s.Reads, s.Writes, s.Exchanges, s.Waiting, s.Halted, lamps))
}

// run takes n orders and gives what a person could see of them: each order, the lamps, the paper, the registers.
func run(h *duplex.Half, n int64) []string {
	d := &diary{half: h}
	h.Machine.Observe(d)
	h.Machine.Run(n, cpu.Never)
	paper := h.Rack.Device(1).(*channel.Teletypewriter)
	for i := range paper.Len() {
		d.lines = append(d.lines, fmt.Sprint(paper.Line(i)))
	}
	for _, r := range h.Machine.Code().Registers {
		d.lines = append(d.lines, fmt.Sprint(r.Name, h.Value(r), h.Machine.Known(r)))
	}
	return append(d.lines, h.Picture().String())
}

// From a state kept, a run is the same again, order for order, with all its devices and lamps; and again after that.
func TestRecallRepeatsExactly(t *testing.T) {
	for _, before := range []int64{0, 1, 2, 5, 17, 60, 333} { // in a wait, in the middle of a character, between two rows
		t.Run(fmt.Sprint("after ", before), func(t *testing.T) {
			h := round(1)
			run(h, before)
			kept := h.Keep()
			want := run(h, 500)
			run(h, 123) // away from there
			for range 2 {
				if err := h.Recall(kept); err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(want, run(h, 500)); diff != "" {
					t.Fatalf("(-first run +repeated)\n%s", diff)
				}
			}
		})
	}
}

// An order that waits is woken also by what happens in the very time it takes to look: the letter sent at 1 us is printed at
// 8 us, just when the order that found the teletypewriter busy at 7 us is done.
func TestWaitMissesNothing(t *testing.T) {
	h := round(1)
	h.Machine.Run(9, cpu.Never)
	if h.Machine.Halted() || h.Machine.Waiting() || h.Machine.Now() != 9*cpu.Microsecond {
		t.Errorf("halted %v, waiting %v, at %v; want it running at 9 us", h.Machine.Halted(), h.Machine.Waiting(), h.Machine.Now())
	}
}

// A jam is hardware: it stays where it is while the state goes back.
func TestRecallLeavesJams(t *testing.T) {
	h := round(1)
	kept := h.Keep()
	h.Driver("LD1").Dark(3)
	if err := h.Store.Jam(0o101, 0, 1); err != nil {
		t.Fatal(err)
	}
	if err := h.Recall(kept); err != nil {
		t.Fatal(err)
	}
	if err := h.Store.Poke(0o100, 0o7777); err != nil {
		t.Fatal(err)
	}
	if got, want := h.Lit(0o100), memory.Word(0o7767); got != want {
		t.Errorf("lamps of row 100: %04o, want %04o", got, want)
	}
	if got := h.Seen(0o101) & 1; got != 1 {
		t.Error("the jam of the cell is gone")
	}
}

// What jams remember is state: chance and fading repeat themselves from where the state was kept.
func TestRecallRepeatsChance(t *testing.T) {
	h := round(1)
	line := memory.Jam{Fault: memory.ReadLine, Column: 0, Value: 1, OneIn: 3, Seed: 7}
	row := memory.Jam{Fault: memory.Fades, Addr: 0o100, Rows: 0o77, After: int64(3 * cpu.Microsecond), Value: 1}
	for _, j := range []memory.Jam{line, row} {
		if err := h.Store.Put(j); err != nil {
			t.Fatal(err)
		}
	}
	h.Machine.Run(7, cpu.Never)
	kept := h.Keep()
	run := func() string {
		h.Machine.Run(9, cpu.Never)
		met, altered := h.Store.Effect(line)
		w, st := h.Store.Read(0o100)
		return fmt.Sprint(h.Machine.Now(), h.Machine.Place(), met, altered, w, st)
	}
	first := run()
	if met, _ := h.Store.Effect(line); met < 10 {
		t.Fatalf("the line was met only %d times", met)
	}
	if w, _ := h.Store.Read(0o100); w != 0o7777 {
		t.Errorf("row 100 reads %04o when it has been left alone for longer than it keeps", w)
	}
	if err := h.Recall(kept); err != nil {
		t.Fatal(err)
	}
	if again := run(); again != first {
		t.Errorf("run again: %s; was %s", again, first)
	}
}

func TestRecallRefusesAnotherFill(t *testing.T) {
	if err := round(1).Recall(round(2).Keep()); err == nil {
		t.Error("a state with another fill was taken")
	}
}

// A row is shown as asked, as stored and as lit; of a row that no order wrote, what is asked is what stands there.
func TestLine(t *testing.T) {
	h := round(1)
	row, ok := h.Panel.Row(0o101)
	if !ok {
		t.Fatal("no row 101")
	}
	if l := h.Line(row); l.Asked != l.Seen || l.Lit != l.Seen {
		t.Errorf("before any order: asked %04o, seen %04o, lit %04o", l.Asked, l.Seen, l.Lit)
	}
	if err := h.Store.Jam(0o101, 2, 1); err != nil {
		t.Fatal(err)
	}
	h.Driver("LD1").Dark(0)
	write := cpu.Step{Writes: []cpu.Access{{Addr: 0o101, Word: 0o3}, {Addr: 0o600, Word: 1, Status: memory.NoReply}}}
	if !h.Asked(&write) {
		t.Error("a write into a lamp row went unseen")
	}
	h.Store.Write(0o101, 0o3)
	if l := h.Line(row); l.Asked != 0o3 || l.Seen != 0o7 || l.Lit != 0o6 {
		t.Errorf("asked %04o, seen %04o, lit %04o; want 0003, 0007, 0006", l.Asked, l.Seen, l.Lit)
	}
	if h.Asked(&cpu.Step{Writes: []cpu.Access{{Addr: 0o050, Word: 1}}}) {
		t.Error("a write elsewhere passed for one into a lamp row")
	}
	if h.Driver("LD9") != nil {
		t.Error("a driver that the machine file has not")
	}
}

func ExampleHalf_Recall() {
	h := round(1)
	kept := h.Keep()
	h.Machine.Run(40, cpu.Never)
	fmt.Println(h.Machine.Orders(), h.Machine.Now())
	if err := h.Recall(kept); err != nil {
		fmt.Println(err)
	}
	fmt.Println(h.Machine.Orders(), h.Machine.Now())
	h.Machine.Run(40, cpu.Never)
	fmt.Println(h.Machine.Orders(), h.Machine.Now())
	// Output:
	// 40 40 us
	// 0 0 s
	// 40 40 us
}
