package duplex_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
)

var (
	alike = flag.Int64("alike", 200_000, "orders over which two halves fed alike must not disagree")
	seeds = flag.Uint64("seeds", 250, "random pairs that must keep to the gap")
)

const us = cpu.Microsecond

// A spy is a device that notes what reaches it, and when. Its time of change is a multiple of 7 us.
type spy struct{ heard []cpu.Time }

func (s *spy) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	switch a.Verb {
	case cpu.Send, cpu.Command:
		s.heard = append(s.heard, now)
	case cpu.Receive:
		return cpu.Reply{Word: memory.Word(now/us) * 5 & 0o7777}
	}
	return cpu.Reply{Word: memory.Word(now/(7*us)) & 1}
}
func (s *spy) Next(now cpu.Time) cpu.Time { return (now/(7*us) + 1) * 7 * us }
func (s *spy) Clone() channel.Device      { return &spy{slices.Clone(s.heard)} }

// tandemCode is the machine file of these tests, read once.
var tandemCode = sync.OnceValue(func() *order.Code {
	code, err := order.Read("tandem.machine", file("tandem.machine"))
	check(err)
	return code
})

// tandem builds a pair of machines that run an order text, each with devices of its own.
func tandem(t testing.TB, text string, fill uint64) *duplex.Pair {
	t.Helper()
	return running(t, tandemCode(), text, fill)
}

// running is tandem with a machine file of another kind.
func running(t testing.TB, code *order.Code, text string, fill uint64) *duplex.Pair {
	t.Helper()
	program, err := assemble.Assemble(code, assemble.Source{Name: "text", Text: []byte(text)})
	check(err)
	image, err := program.Image(code.Geometry)
	check(err)
	racks := [2]*channel.Rack{new(channel.Rack), new(channel.Rack)}
	for _, r := range racks {
		r.Put(1, new(spy))
		r.Put(2, new(spy))
	}
	if fill%3 == 2 { // one clock for both
		racks[1].Share(racks[0], 2)
	}
	p, err := duplex.NewPair(code, racks[0], racks[1], fill)
	check(err)
	for n := range 2 {
		check(p.Half(n).Store.Load(image))
	}
	return p
}

// heard is when half n reached its gated channel.
func heard(p *duplex.Pair, n int) []cpu.Time { return p.Half(n).Rack.Device(1).(*spy).heard }

// say writes events down.
func say(p *duplex.Pair) []string {
	kinds := []string{"", "both", "none", "to "}
	by := []string{"", "hand", "key", "order", "trap", "timer", "mate", "gap", "power"}
	var all []string
	for _, e := range p.Events() {
		what, until := kinds[e.Kind], "on"
		if e.Kind == duplex.Changeover {
			what += p.Half(e.To).Name
		}
		if e.Until != cpu.Never {
			until = e.Until.String()
		}
		all = append(all, fmt.Sprintf("%s %v-%s by %s", what, e.At, until, by[e.Cause.By]))
	}
	return all
}

// Each cause of a changeover, with the gap of 20 us between leaving and joining.
func TestCauses(t *testing.T) {
	loop := "at 0\nstart: kick\nsend 1\njump start\n"
	for _, tt := range []struct {
		name, text string
		prepare    func(p *duplex.Pair)
		want       []string
	}{
		{"order", "at 0\nload 2\nleave\nstop: halt\n", nil, []string{"none 1 us-21 us by order", "to B 1 us-21 us by order", "none 22 us-42 us by order", "to A 22 us-42 us by order"}},
		{"trap", "at 0\nkick\ntrip\nhalt\n", nil, []string{"none 1 us-21 us by trap", "to B 1 us-21 us by trap"}},
		{"timer", "at 0\nwait: jump wait\n", nil, []string{"none 300 us-320 us by timer", "to B 300 us-320 us by timer"}},
		{"key", loop, func(p *duplex.Pair) { p.Key(50*us + 1) }, []string{"none 50.000001 us-70.000001 us by key", "to B 50.000001 us-70.000001 us by key"}},
		{"power", loop, func(p *duplex.Pair) { p.Cut(0, 50*us); p.Key(90 * us) },
			[]string{"none 50 us-70 us by power", "to B 50 us-70 us by power", "none 90 us-110 us by key"}},
		{"standby loses power", loop, func(p *duplex.Pair) { p.Cut(1, 50*us); p.Key(90 * us) }, []string{"none 90 us-110 us by key"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := tandem(t, tt.text, 1)
			if tt.prepare != nil {
				tt.prepare(p)
			}
			p.Boot(false)
			p.Run(20_000, 321*us)
			got := say(p)
			if len(got) < len(tt.want) || !slices.Equal(got[:len(tt.want)], tt.want) {
				t.Errorf("got %q, want it to begin %q", got, tt.want)
			}
		})
	}
}

// A half that joins while the other is on-line is told at once, and lasts no longer than the gap; then the other leaves.
func TestBoth(t *testing.T) {
	p := tandem(t, "at 0\nkick\nstart: send 1\njump start\nat 100\njoin\non: send 1\njump on\n", 1)
	p.Boot(false)
	b := p.Half(1).Machine
	b.Set(b.Code().Counter, 0o100)
	p.Run(100, 60*us)
	want := []string{"both 0 s-20 us by order", "to B 0 s-20 us by order"}
	if diff := cmp.Diff(want, say(p)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if last := heard(p, 0)[len(heard(p, 0))-1]; last >= 20*us {
		t.Errorf("A still drove at %v", last)
	}
}

// What the on-line half writes into a mirrored range stands in the other store too, wrong parity only where it is copied; what
// the standby half writes does not.
func TestMirror(t *testing.T) {
	p := tandem(t, "at 0\nload 77\nspoil 200\nstore 237\nspoil 277\nstore 300\nleave\nhalt\nat 77\nwords 1234\n", 1)
	b := p.Half(1).Store
	var entered []string
	p.HeedWrites(func(n int, a memory.Addr, w memory.Word) { entered = append(entered, fmt.Sprintf("%d %o %o", n, a, w)) })
	p.Boot(false)
	p.Run(5, cpu.Never)
	if diff := cmp.Diff([]string{"1 200 1234", "1 237 1234", "1 277 1234"}, entered); diff != "" {
		t.Errorf("writes told (-want +got)\n%s", diff)
	}
	for at, want := range map[memory.Addr]memory.Status{0o200: memory.ParityWrong, 0o237: 0, 0o277: 0, 0o300: memory.NeverWritten} {
		_, w, st := b.Peek(at)
		if st != want || w != 0o1234 && st != memory.NeverWritten {
			t.Errorf("B has %04o (%v) at %o, want status %v", w, st, at, want)
		}
	}
	p.Run(2, 18*us)
	m := p.Half(0).Machine
	m.Set(m.Code().Counter, 1)
	m.Set(m.Code().Register("A"), 0o4321)
	m.Step()
	if _, w, _ := b.Peek(0o200); w != 0o1234 {
		t.Errorf("a write of the standby half was mirrored: %04o", w)
	}
}

// Over the maintenance channel a half reads and writes store and registers of the other, starts it, stops it, and steps it.
func TestMaintenance(t *testing.T) {
	do := func(word, command string) string {
		return "load " + word + "\nsend 3\ncommand 3, " + command + "\nawait 3, 0\n"
	}
	p := tandem(t, "at 0\nkick\nload spot\nsend 3\ncommand 3, 0\n"+do("value", "2")+
		"command 3, 1\nawait 3, 0\nreceive 3\nstore 600\n"+
		"load number\nsend 3\ncommand 3, 0\n"+do("value", "4")+"command 3, 3\nawait 3, 0\nreceive 3\nstore 601\n"+
		"load begin\nsend 3\ncommand 3, 0\ncommand 3, 6\nawait 3, 0\nawait 3, 2\n"+
		"command 3, 7\nawait 3, 0\nhalt\n"+
		"spot: words 500\nvalue: words 2525\nnumber: words 1\nbegin: words 300\nat 300\nload 310\nhalt\nstore 311\nhalt\nat 310\nwords 33\n", 1)
	p.Boot(false)
	p.Run(1000, cpu.Millisecond)
	a, b := p.Half(0), p.Half(1)
	if len(p.Events()) != 0 || !a.Machine.Halted() {
		t.Fatalf("events %q, halted %t at %o", say(p), a.Machine.Halted(), a.Machine.Place())
	}
	for at, want := range map[memory.Addr]memory.Word{0o600: 0o2525, 0o601: 0o2525} {
		if got := a.Seen(at); got != want {
			t.Errorf("A has %04o at %o, want %04o", got, at, want)
		}
	}
	if got := b.Seen(0o500); got != 0o2525 {
		t.Errorf("B has %04o at 500", got)
	}
	if got := b.Value(b.Machine.Code().Register("A")); got != 0o33 {
		t.Errorf("register A of B is %04o", got)
	}
	if !b.Machine.Halted() || b.Machine.Place() != 0o303 || b.Seen(0o311) != 0o33 {
		t.Errorf("B halted %t at %o, want one order past its halt", b.Machine.Halted(), b.Machine.Place())
	}
}

// A half without power gives no reply: who waits for one waits until a timer ends it, and who takes it springs no-reply.
func TestDeadMate(t *testing.T) {
	p := tandem(t, "at 0\nkick\ncommand 3, 1\nawait 3, 0\nhalt\n", 1)
	p.Cut(1, 0)
	p.Boot(false)
	p.Run(1000, 290*us)
	a := p.Half(0).Machine
	if !a.Waiting() {
		t.Errorf("not waiting at %v", a.Now())
	}
	if p.Run(1000, 302*us); a.LastTrap() == nil || a.LastTrap().Kind.Name != "late" {
		t.Errorf("trap %v, want late", a.LastTrap())
	}
	p = tandem(t, "at 0\nkick\ncommand 3, 1\nreceive 3\nhalt\n", 1)
	p.Cut(1, 0)
	p.Boot(false)
	p.Run(1000, 290*us)
	if trap := p.Half(0).Machine.LastTrap(); trap == nil || trap.Kind.Name != "no-reply" {
		t.Errorf("trap %v, want no-reply", trap)
	}
}

// picture is all of a pair that a person could see.
func picture(p *duplex.Pair) string {
	var s strings.Builder
	fmt.Fprint(&s, p.Now(), say(p))
	for n := range 2 {
		h := p.Half(n)
		driven, lost := p.Outputs(n)
		fmt.Fprint(&s, p.Time(n), h.Machine.Orders(), h.Machine.Place(), h.Machine.Halted(), h.Machine.Deadline(), driven, lost, heard(p, n), p.Half(n).Rack.Device(2).(*spy).heard)
		for _, r := range h.Machine.Code().Registers {
			fmt.Fprint(&s, " ", h.Value(r))
		}
		for a := range memory.Addr(0o700) {
			_, w, st := h.Store.Peek(a)
			fmt.Fprint(&s, " ", w, st)
		}
	}
	return s.String()
}

// From a state kept, a pair runs on exactly as it did, in whatever portions it is run.
func TestPairRecall(t *testing.T) {
	for seed := range uint64(40) {
		p := wild(t, seed)
		p.Run(int64(seed*7), cpu.Never)
		kept, was := p.Keep(), picture(p)
		p.Run(400, cpu.Never)
		want := picture(p)
		p.Run(300, cpu.Never)
		for range 2 {
			if err := p.Recall(kept); err != nil {
				t.Fatal(err)
			}
			if one := p.Half(0).Rack.Device(2) == p.Half(1).Rack.Device(2); one != (seed%3 == 2) {
				t.Fatalf("seed %d: both reach one device: %t", seed, one)
			}
			if got := picture(p); got != was {
				t.Fatalf("seed %d: recalled %.400s\nwas %.400s", seed, got, was)
			}
			for range 400 {
				p.Run(1, cpu.Never)
			}
			if got := picture(p); got != want {
				t.Fatalf("seed %d: again %.400s\nwas %.400s", seed, got, want)
			}
		}
	}
}

// An idle observer looks on.
type idle struct{}

func (idle) Observe(*cpu.Step) {}

// A pair that nobody watches, in which many orders are done at once, comes to the same as one that is watched order by order:
// with mirrored writes, some of them over orders, and with jammed cells on both sides.
func TestWatchedAlike(t *testing.T) {
	mirrored := 0
	for seed := range uint64(120) {
		p, q := wild(t, seed), wild(t, seed)
		rng := rand.New(rand.NewPCG(seed, 12))
		for range rng.IntN(8) {
			n, a, column, value := rng.IntN(2), memory.Addr(rng.IntN(0o600)), rng.IntN(13), rng.IntN(2)
			for _, pair := range []*duplex.Pair{p, q} {
				_ = pair.Half(n).Store.Jam(a, column, value) // twice the same cell, at two values, is refused by both
			}
		}
		q.Half(0).Machine.Observe(idle{})
		q.Half(1).Machine.Observe(idle{})
		p.HeedWrites(func(int, memory.Addr, memory.Word) { mirrored++ })
		for until := cpu.Time(0); until < 1500*us; until += cpu.Time(rng.Int64N(int64(900 * us))) {
			p.Run(cpu.Forever, until)
			q.Run(cpu.Forever, until)
			if got, want := picture(p), picture(q); got != want {
				t.Fatalf("seed %d: at %v %.400s\nwatched %.400s", seed, until, got, want)
			}
		}
	}
	if mirrored < 200 {
		t.Errorf("%d writes were mirrored: too few to show anything", mirrored)
	}
}

// Halves fed alike do alike, order for order: what differs is the line alone, so the program here never asks for it.
func TestFedAlike(t *testing.T) {
	p := tandem(t, "at 0\nstart: kick\nload 600\nadd one\nstore 600\nstore 300\nreceive 2\nadd 600\nstore 601\nawait 2, 1\njump start\none: words 1\n", 1)
	p.Boot(true)
	for done := int64(0); done < *alike; {
		done += p.Run(2, cpu.Never)
		a, b := p.Half(0), p.Half(1)
		if a.Machine.Orders() != b.Machine.Orders() {
			continue
		}
		for _, r := range a.Machine.Code().Registers {
			if r.Name != "active" && a.Value(r) != b.Value(r) {
				t.Fatalf("after %d orders %s is %o in A, %o in B", done, r.Name, a.Value(r), b.Value(r))
			}
		}
		if a.Machine.Now() != b.Machine.Now() || a.Seen(0o600) != b.Seen(0o600) || a.Seen(0o601) != b.Seen(0o601) {
			t.Fatalf("after %d orders the halves disagree", done)
		}
	}
}

// A jam in one half is seen the first time it makes a difference.
func TestJamSeen(t *testing.T) {
	p := tandem(t, "at 0\nstart: kick\nload 600\nadd one\nstore 600\njump start\none: words 1\nat 600\nwords 0\n", 1)
	check(p.Half(1).Store.Jam(0o600, 2, 0))
	p.Boot(true)
	a := p.Half(0).Machine
	for p.Half(0).Value(a.Code().Register("A")) == p.Half(1).Value(a.Code().Register("A")) || p.Time(0) != p.Time(1) {
		p.Run(1, cpu.Never)
		if a.Orders() > 100 {
			t.Fatal("the jam was never seen")
		}
	}
	if got, want := a.Orders(), int64(22); got != want { // the load after 4 was stored for the first time
		t.Errorf("seen after %d orders, want %d", got, want)
	}
}

// A clock that runs slow by an exact fraction is behind by just that, with nothing added up.
func TestSkew(t *testing.T) {
	p := tandem(t, "at 0\nstart: kick\njump start\n", 1)
	p.SetClock(1, duplex.Clock{Start: 500, Lasts: 1_000_003, Per: 1_000_000})
	p.Boot(true)
	p.Run(cpu.Forever, cpu.Second)
	for n, want := range []int64{1_000_000, 999_997} { // (1e12 - 500) / 1_000_003, rounded up
		if got := p.Half(n).Machine.Orders(); got != want {
			t.Errorf("half %d did %d orders in a second, want %d", n, got, want)
		}
	}
}

func TestNoDuplexLine(t *testing.T) {
	code, err := order.Read("loom.machine", file("loom.machine"))
	check(err)
	if _, err := duplex.NewPair(code, new(channel.Rack), new(channel.Rack), 1); err == nil {
		t.Error("a pair of machines that nothing couples was built")
	}
}

// A half that stood still and is set going by hand goes on now: never in the past, where the other half has been.
func TestSetGoingNow(t *testing.T) {
	p := tandem(t, "at 0\nstart: kick\nsend 1\njump start\nat 100\non: send 2\njump on\n", 2)
	p.Boot(false)
	p.Run(100, cpu.Never)
	b := p.Half(1)
	b.Machine.Set(b.Machine.Code().Counter, 0o100)
	began := p.Now()
	p.Run(100, cpu.Never)
	if got := b.Rack.Device(2).(*spy).heard[0]; got != began {
		t.Errorf("B begins at %v, was set going at %v", got, began)
	}
}

// A flip-flop that is stuck at one lets both halves drive, and that is told from the first instant; the gap does not end it.
func TestStuckOnLine(t *testing.T) {
	p := tandem(t, "at 0\nstart: kick\nsend 1\njump start\n", 1)
	b := p.Half(1).Machine
	check(b.Jam(cpu.Fault{Part: cpu.RegisterBit, Number: b.Code().Duplex.OnLine.Number, Value: 1}))
	var told []duplex.Kind
	p.Heed(func(e duplex.Event) { told = append(told, e.Kind) })
	p.Boot(false)
	p.Run(1000, 100*us)
	if got := say(p); len(got) == 0 || !strings.HasPrefix(got[0], "both 0 s-") || !slices.Contains(told, duplex.Both) {
		t.Errorf("told %q", got)
	}
}

// What a half does by itself is the same whatever clock the other has; what it reads of the other is not.
func TestSkewSweep(t *testing.T) {
	count := "at 0\nstart: kick\nload 600\nadd one\nstore 600\njump start\none: words 1\nat 600\nwords 0\n"
	ask := "at 0\nkick\nload where\nsend 3\ncommand 3, 0\nagain: command 3, 1\nawait 3, 0\nreceive 3\nadd 600\nstore 600\nkick\njump again\n" +
		"where: words 601\nat 100\nup: kick\nload 601\nadd one\nstore 601\njump up\none: words 1\nat 600\nwords 0, 0\n"
	for text, depends := range map[string]bool{count: false, ask: true} {
		seen := map[string]bool{}
		for seed := range uint64(50) {
			rng := rand.New(rand.NewPCG(seed, 11))
			p := tandem(t, text, 1)
			p.SetClock(1, duplex.Clock{Start: cpu.Time(rng.Int64N(int64(9 * us))), Lasts: 900 + rng.Int64N(200), Per: 1000})
			p.Boot(true)
			if b := p.Half(1).Machine; depends {
				b.Set(b.Code().Counter, 0o100)
			}
			for p.Half(0).Machine.Orders() < 400 {
				p.Run(1, cpu.Never)
			}
			seen[fmt.Sprint(p.Half(0).Seen(0o600), p.Half(0).Machine.Place())] = true
		}
		if got := len(seen) > 1; got != depends {
			t.Errorf("depends on the other's clock: %t, want %t: %v", got, depends, seen)
		}
	}
}
