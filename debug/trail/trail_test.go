package trail_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug/trail"
	"coldstart/memory"
)

// A reel is a tape of one block.
type reel []memory.Word

func (r reel) Len() int                { return 1 }
func (r reel) Words(int) []memory.Word { return r }
func (r reel) Origin(_, k int) memory.Origin {
	return memory.Origin{Kind: memory.Tape, File: "t", Block: 3, Word: k}
}

// loft runs a program from 700 on for so many orders, and gives its record. It panics where the program is wrong.
func loft(program string, n int64) (*trail.Record, *duplex.Half) {
	src, err := os.ReadFile("testdata/loft.machine")
	check(err)
	code, err := order.Read("loft.machine", src)
	check(err)
	made, err := assemble.Assemble(code, assemble.Source{Name: "p", Text: []byte("at 700\n" + program)})
	check(err)
	image, err := made.Image(code.Geometry)
	check(err)
	rack := new(channel.Rack)
	drive := channel.NewDrive(channel.DefaultDrive())
	drive.Seat(reel{0o10, 0o20, 0o30})
	rack.Put(1, drive)
	h := duplex.NewHalf("A", code, rack, 1)
	check(h.Store.Load(image))
	r := trail.New(code, image)
	h.Machine.Observe(r)
	h.Machine.Boot()
	h.Machine.Run(n, cpu.Never)
	return r, h
}

func check(err error) {
	if err != nil {
		panic(err)
	}
}

// where writes an origin in short: t3.1 is word 1 of block 3 of the tape, p the program.
func where(o memory.Origin) string {
	switch o.Kind {
	case memory.Tape:
		return fmt.Sprintf("t%d.%d", o.Block, o.Word)
	case memory.Nowhere:
		return "-"
	}
	return o.File
}

// next lets the tape run until a word has come, and receives it.
const next = "n%d: test ready\njump-zero n%d\nreceive\n"

// Origins follow a value through registers and store, and end where it is made into another.
func TestOrigins(t *testing.T) {
	tests := []struct{ name, program, want string }{
		{"tape word stored", "store A, 10", "t3.0"},
		{"through another register", "swap\nstore B, 10", "t3.0"},
		{"two registers exchanged and back", "swap\nload A, five\nswap\nstore A, 10", "t3.0"},
		{"the other of two exchanged", "load B, five\nswap\nstore A, 10", "p"},
		{"through store", "store A, 20\nload B, 20\nstore B, 10", "t3.0"},
		{"register and word exchanged", "store A, 10\nload A, five\ntrade 10\nstore A, 11\n", "p"},
		{"word and register exchanged", "store A, 11\nload A, five\ntrade 11\nstore A, 10\n", "t3.0"},
		{"made into another", "add-one\nstore A, 10", "-"},
		{"a value of an order", "long 12\nstore A, 10", "-"},
		{"the second word of the tape", fmt.Sprintf(next, 2, 2) + "store A, 10", "t3.1"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			program := "run\n" + fmt.Sprintf(next, 1, 1) + test.program + "\nstop\nfive: words 5\n"
			r, _ := loft(program, 100_000)
			got := r.Whence(0o10)
			if where(got.Origin) != test.want || got.Number == 0 {
				t.Errorf("%q: 010 written by order %d, from %s; want from %s", test.program, got.Number, where(got.Origin), test.want)
			}
		})
	}
}

// A word that stood in store before the run was written by no order, and keeps the origin it had.
func TestWhenceBefore(t *testing.T) {
	r, _ := loft("load A, five\nstop\nfive: words 5\n", 10)
	if got := r.Whence(0o702); got.Number != 0 || got.Word != 5 || got.Origin.File != "p" {
		t.Errorf("702, wired: %+v; want word 5 from p, by no order", got)
	}
	if got := r.Whence(0o20); got != (trail.Write{}) {
		t.Errorf("020, never written: %+v", got)
	}
}

func TestUse(t *testing.T) {
	r, _ := loft("load A, five\nstore A, 10\nlong 12\nstop\nfive: words 5\nsix: words 6\n", 10)
	for _, test := range []struct {
		name string
		addr memory.Addr
		want trail.Use
	}{
		{"run", 0o700, trail.Run},
		{"second word of an order", 0o703, trail.Run},
		{"read", 0o705, trail.Read},
		{"written", 0o10, trail.Written},
		{"nothing", 0o706, 0},
		{"a page never met", 0o300, 0},
	} {
		if got := r.Use(test.addr); got != test.want {
			t.Errorf("%s: use of %03o is %b, want %b", test.name, test.addr, got, test.want)
		}
	}
}

// A word that comes back otherwise than it was written is listed once, with who wrote it; the store is jammed to make one.
func TestMisread(t *testing.T) {
	const program = "long 12\nstore A, 10\nload B, 10\nload B, 10\njump 11\n"
	r, h := loft(program, 2)
	check(h.Store.Jam(0o10, 0, 1))
	h.Machine.Run(3, cpu.Never)
	want := []trail.Misread{{
		Addr: 0o10, Read: 0o13, Place: 0o703, Number: 3, At: 2 * cpu.Microsecond,
		Written: trail.Write{Number: 2, At: cpu.Microsecond, Place: 0o702, Word: 0o12},
	}}
	if diff := cmp.Diff(want, r.Misread()); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestMisreadAtFetch(t *testing.T) {
	r, h := loft("stop\n", 0)
	check(h.Store.Jam(0o700, 2, 0)) // `stop` 7004 becomes `swap` 7000
	h.Machine.Run(1, cpu.Never)
	got := r.Misread()
	if len(got) != 1 || got[0].Addr != 0o700 || got[0].Written.Word != 0o7004 || got[0].Read != 0o7000 || got[0].Place != 0o700 {
		t.Errorf("got %+v, want 700 written 7004 and read 7000", got)
	}
}

// The first read of what nothing wrote is listed, once each: words of store, words fetched, registers.
func TestUnknown(t *testing.T) {
	tests := []struct {
		name, program string
		want          []string
	}{
		{"none", "load A, 700\nstore A, 10\nload A, 10\nstop", nil},
		{"store", "load A, 10\nload A, 10\nstop", []string{"010 by 700"}},
		{"register", "store B, 10\nstore B, 11\nstop", []string{"B by 700"}},
		{"fetched", "jump 10", []string{"010 by 010"}},
		{"set before", "load B, 700\nstore B, 10\nstop", nil},
		{"written before", "load A, 700\nstore A, 10\nload A, 10\nload A, 11\nstop", []string{"011 by 703"}},
		{"no store there", "jump 500", nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, _ := loft(test.program+"\n", 5)
			var got []string
			for _, u := range r.Unknown() {
				what := fmt.Sprintf("%03o", u.Addr)
				if u.Register != nil {
					what = u.Register.Name
				}
				if u.Place < 0o700 && u.Place != 0o10 {
					continue // where the word fetched by chance leads is not of interest
				}
				got = append(got, fmt.Sprintf("%s by %03o", what, u.Place))
			}
			if test.name == "fetched" { // what the word itself then does depends on the fill
				got = got[:min(1, len(got))]
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("%q (-want +got)\n%s", test.program, diff)
			}
		})
	}
}

func TestLast(t *testing.T) {
	r, _ := loft("long 12\nsend: run\ntest gap\nstore A, 700\n", 10)
	var got []string
	for _, e := range r.Last(10) {
		asked, trap := "", ""
		if e.Asked {
			asked = fmt.Sprint(" asks ", e.Exchange.Action.Verb)
		}
		if e.Trap != nil {
			trap = " trap " + e.Trap.Kind.Name
		}
		got = append(got, fmt.Sprintf("%d %03o %04o/%d%s%s", e.Number, e.Place, e.Words[0], e.Length, asked, trap))
	}
	want := []string{"1 700 7005/2", "2 702 7003/1 asks command", "3 703 7021/1 asks sign", "4 704 2700/1 trap protected"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if got := r.Last(2); len(got) != 2 || got[1].Number != 4 {
		t.Errorf("Last(2) gives %d orders, the last %v", len(got), got)
	}
	if r.Orders() != 4 {
		t.Errorf("Orders() = %d, want 4", r.Orders())
	}
}

func TestTurn(t *testing.T) {
	round := strings.Repeat("add-one\n", 12)
	tests := []struct {
		name, program string
		orders        int64
		want          int // orders of the turn; 0: none
	}{
		{"one order", "a: jump a\n", 50, 1},
		{"a few", "a: add-one\nadd-one\njump a\n", 50, 3},
		{"twice is not enough", "a: add-one\nadd-one\njump a\n", 8, 0},
		{"three times is", "a: add-one\nadd-one\njump a\n", 9, 3},
		{"a long one", "a:" + round + "jump a\n", 600, 13},
		{"still on its way", round + "stop\n", 12, 0},
		{"nothing run", "stop\n", 0, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, _ := loft(test.program, test.orders)
			if got := r.Turn(); len(got) != test.want {
				t.Errorf("%q for %d orders: a turn of %d orders, want %d", test.program, test.orders, len(got), test.want)
			}
		})
	}
}

func TestLoop(t *testing.T) {
	const before = "load A, 700\nstore A, 10\nload B, 10\n"
	tests := []struct {
		name, program string
		orders        int64
		want          string // its places; "": no loop
		asks          string
	}{
		{"waits for a word", before + "a: test ready\njump-zero b\nb: jump a\n", 400, "703 704 705", "test ready"},
		{"one order", before + "a: jump a\n", 400, "703", ""},
		{"two questions", before + "a: test gap\ntest ready\njump a\n", 400, "703 704 705", "test gap, test ready"},
		{"asked before it only", before + "test gap\na: jump a\n", 400, "704", ""},
		{"not there long", before + "a: jump a\n", 5, "", ""},
		{"never elsewhere", "a: test ready\njump a\n", 400, "700 701", "test ready"},
		{"no loop", before + "stop\n", 400, "", ""},
		{"nothing run", "stop\n", 0, "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r, h := loft(test.program, test.orders)
			l, ok := r.Loop()
			var places, asks []string
			for _, a := range l.Places {
				places = append(places, fmt.Sprintf("%03o", a))
			}
			for _, e := range l.Asks {
				text, _ := h.Machine.Code().Recite(e.Place, e.Words[:e.Length])
				asks = append(asks, text)
			}
			if got := strings.Join(places, " "); got != test.want || ok != (test.want != "") {
				t.Errorf("%q: loop %q, %v; want %q", test.program, got, ok, test.want)
			}
			if got := strings.Join(asks, ", "); got != test.asks {
				t.Errorf("%q: asks %q, want %q", test.program, got, test.asks)
			}
			if ok && l.Orders != test.orders-int64(strings.Count(test.program[:strings.Index(test.program, "a:")], "\n")) {
				t.Errorf("%q: %d orders since it was entered", test.program, l.Orders)
			}
		})
	}
}

func ExampleRecord_Whence() {
	r, _ := loft("run\n"+fmt.Sprintf(next, 1, 1)+"store A, 10\nstop\n", 100_000)
	w := r.Whence(0o10)
	fmt.Printf("%03o written %04o by the order at %03o: block %d word %d\n", 0o10, w.Word, w.Place, w.Origin.Block, w.Origin.Word)
	// Output:
	// 010 written 0010 by the order at 704: block 3 word 0
}

// A wrong word that is not the first of its order is found too, though the parity trap keeps the order from being read.
func TestMisreadInLongOrder(t *testing.T) {
	for _, again := range []bool{false, true} { // met for the first time, or bound before
		t.Run(fmt.Sprint("met before ", again), func(t *testing.T) {
			r, h := loft("jump 300\n", 1)
			for a, w := range map[memory.Addr]memory.Word{0o300: 0o7005, 0o301: 0o12, 0o302: 0o4300} {
				check(h.Store.Load(one(h, a, w)))
			}
			if again {
				h.Machine.Run(2, cpu.Never)
			}
			check(h.Store.Jam(0o301, 0, 1))
			h.Machine.Run(1, cpu.Never)
			last := r.Last(1)[0]
			if last.Trap == nil || last.Trap.Kind.Name != "parity" || last.Length != 2 || last.Words[1] != 0o13 {
				t.Errorf("the last order: %+v, want a parity trap at its second word, 0013", last)
			}
		})
	}
}

// one is an image of one word.
func one(h *duplex.Half, a memory.Addr, w memory.Word) *memory.Image {
	im := memory.NewImage(*h.Store.Geometry())
	check(im.Set(a, w, memory.Origin{}))
	return im
}
