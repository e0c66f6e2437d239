package plant

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// small is an exchange of 64 terminals: 40 lines, 4 trunks from 48 on, 2 receivers from 56 on.
var small = Spec{Frames: 1, Concentrators: 4, Pulse: 3 * cpu.Millisecond, Lines: 40, Trunks: 4, TrunksAt: 48, Receivers: 2, ReceiverAt: 56}

// The channel codes of the ports, in the order of their kinds.
const firstCode = 5

// A board plays the program by hand, over ports in a rack.
type board struct {
	rack *channel.Rack
	now  cpu.Time
}

// newBoard is a board before an exchange with a traffic list.
func newBoard(t *testing.T, spec Spec, traffic string) *board {
	t.Helper()
	list, err := ReadTraffic("evening.list", []byte(traffic), spec, memory.Style{Radix: 8})
	if err != nil {
		t.Fatal(err)
	}
	p, b := New(spec, list), &board{rack: new(channel.Rack)}
	for k := range Kinds {
		b.rack.Put(firstCode+k, NewPort(p, Kind(k), 0))
	}
	return b
}

func (b *board) plant() *Plant { return Of(b.rack) }

func (b *board) send(k Kind, w int) {
	b.rack.Do(cpu.Action{Verb: cpu.Send, Code: firstCode + int(k), Word: memory.Word(w)}, b.now)
}

func (b *board) receive(k Kind) int {
	return int(b.rack.Do(cpu.Action{Verb: cpu.Receive, Code: firstCode + int(k)}, b.now).Word)
}

// to goes on to a time.
func (b *board) to(t cpu.Time) { b.now = t }

// pulse sets or releases crosspoints, one after the other.
func (b *board) pulse(release bool, all ...int) {
	for _, x := range all {
		if release {
			x |= releaseBit
		}
		b.send(Pulser, x)
		b.now += small.Pulse
	}
}

// way is the crosspoints from one terminal to another over link k and junctor j.
func way(from, to, k, j int) []int {
	return []int{Terminal(from, k), Middle(from/16, k, j), Middle(to/16, k, j), Terminal(to, k)}
}

// digitsOf takes digits out of receiver r until the time, looking each 5 ms.
func (b *board) digitsOf(r int, until cpu.Time) (all []int) {
	for ; b.now < until; b.now += 5 * cpu.Millisecond {
		b.send(Receivers, r)
		if d := b.receive(Receivers); d != 0 {
			all = append(all, d)
		}
	}
	return all
}

// TestCall plays one call from off-hook to hang-up.
func TestCall(t *testing.T) {
	b := newBoard(t, small, "call at 1 s from line 05 dials 18*0 answers 2 s talks 3 s")
	b.to(cpu.Second - 1)
	if b.send(Scanner, 0); b.receive(Scanner) != 0 {
		t.Error("a loop is closed before its time")
	}
	b.to(cpu.Second)
	if got := b.receive(Scanner); got != 1<<5 {
		t.Fatalf("row 0 is %06o, want the loop of line 5 alone", got)
	}
	b.pulse(false, way(5, 56, 3, 1)...)
	b.send(Tones, 5|int(DialTone)<<13)
	if got := b.digitsOf(0, b.now+1200*cpu.Millisecond); !slices.Equal(got, []int{1, 8, 11, 10}) {
		t.Fatalf("the receiver took %v, want 1, 8, 11 for a star and 10 for a 0", got)
	}
	b.send(Tones, 5)
	b.pulse(true, way(5, 56, 3, 1)...)
	b.pulse(false, way(5, 20, 2, 0)...)
	b.send(Tones, 20|int(Ringing)<<13)
	rung := b.now
	b.send(Scanner, 1)
	if b.to(rung + 2*cpu.Second - 1); b.receive(Scanner) != 0 {
		t.Error("line 20 answers too early")
	}
	if b.to(rung + 2*cpu.Second); b.receive(Scanner) != 1<<4 {
		t.Error("line 20 does not answer 2 s after it rings")
	}
	b.send(Tones, 20)
	if b.to(rung + 5*cpu.Second); b.receive(Scanner) != 1<<4 {
		t.Error("the called party hangs up before the caller")
	}
	if b.send(Scanner, 0); b.receive(Scanner) != 0 {
		t.Error("the caller does not hang up after talking for 3 s")
	}
	b.pulse(true, way(5, 20, 2, 0)...)
	b.to(rung + 8*cpu.Second)
	p := b.plant()
	lived, network := p.Counts(b.now)
	if want := (Counts{1, 1, 1, 1}); lived != want || network != want {
		t.Errorf("people count %+v, the network %+v; want one of each", lived, network)
	}
	if !p.Over(b.now) || p.Outcomes(b.now)[0] != Talked {
		t.Errorf("over is %v, and the caller %v", p.Over(b.now), p.Outcomes(b.now)[0])
	}
	for x, want := range map[int]Reed{Terminal(5, 3): Released, Middle(0, 2, 0): Released, Terminal(5, 4): Unknown} {
		if got, _, _ := p.Reed(x, b.now); got != want {
			t.Errorf("crosspoint %06o is %v, want %v", x, got, want)
		}
	}
}

// TestBroken breaks the path of a call while it is talked on: the counts of those who lived it and of the network agree, and
// the call is cut off.
func TestBroken(t *testing.T) {
	b := newBoard(t, small, "call at 1 s from line 05 dials 1 answers 1 s talks 60 s")
	b.to(cpu.Second)
	b.pulse(false, way(5, 56, 0, 0)...)
	b.send(Tones, 5|int(DialTone)<<13)
	b.digitsOf(0, b.now+cpu.Second)
	b.pulse(true, way(5, 56, 0, 0)...)
	b.pulse(false, way(5, 20, 0, 0)...)
	b.send(Tones, 20|int(Ringing)<<13)
	b.to(b.now + 5*cpu.Second)
	b.pulse(true, Middle(0, 0, 0))
	b.to(b.now + 5*cpu.Second)
	if got := b.plant().Outcomes(b.now)[0]; got != CutOff {
		t.Errorf("the call is %v, want cut off", got)
	}
	if lived, network := b.plant().Counts(b.now); lived != network || lived.Released != 1 {
		t.Errorf("people count %+v, the network %+v; want them alike", lived, network)
	}
}

// TestKeys sounds every key of ITU-T Q.23 (1988): two of eight frequencies, and a receiver that takes the two for that key.
func TestKeys(t *testing.T) {
	rows := map[int64]string{697: "123A", 770: "456B", 852: "789C", 941: "*0#D"}
	columns := []int64{1209, 1336, 1477, 1633}
	for low, keys := range rows {
		for i, high := range columns {
			gotLow, gotHigh, ok := Pair(keys[i])
			if gotLow != low || gotHigh != high || !ok {
				t.Errorf("key %c sounds %d and %d Hz, want %d and %d", keys[i], gotLow, gotHigh, low, high)
			}
			if code := decode(low*1000, high*1000); code == 0 || codes[code-1] != keys[i] {
				t.Errorf("%d and %d Hz are taken for code %d, want %c", low, high, code, keys[i])
			}
		}
	}
}

// TestLimits holds receivers to the limits of ITU-T Q.24, North American column, second-hand (lecture notes, the manual of a
// voice coder): what must be accepted and what must be refused. Between the two ours refuses, which the second column does
// not bind.
func TestLimits(t *testing.T) {
	for _, test := range []struct {
		options string
		want    int
	}{
		{"off 1.5 %", 3}, {"off -1.5 %", 3}, {"off 3.5 %", 0}, {"off -3.5 %", 0},
		{"tone 40 ms", 3}, {"tone 22 ms", 0}, {"tone 22.9 ms", 0},
		{"pause 40 ms tone 53 ms", 3}, {"pause 10 ms tone 60 ms", 1}, // a break of 10 ms is ridden over: one digit that goes on
		{"level -25 dBm", 3}, {"level -56 dBm", 0}, {"level -20 dBm twist -5 dB", 3}, // the weaker one counts
		{"twist -8 dB", 3}, {"twist 4 dB", 3}, {"twist -9 dB", 0}, {"twist 5 dB", 0}, // which way twist is meant: from memory
		{"level -40 dBm", 0}, {"level -20 dBm twist -6 dB", 0}, // ours
		{"off 2.5 %", 0}, {"tone 30 ms", 0}, // ours
	} {
		b := newBoard(t, small, "call at 1 s from line 05 dials 555 "+test.options)
		b.to(cpu.Second)
		b.pulse(false, way(5, 57, 0, 0)...)
		b.send(Tones, 5|int(DialTone)<<13)
		if got := b.digitsOf(1, b.now+2*cpu.Second); len(got) != test.want {
			t.Errorf("%s: the receiver took %v, want %d digits", test.options, got, test.want)
		}
	}
}

// TestOverrun takes digits too late: one is held, those that come meanwhile are lost, and that is said.
func TestOverrun(t *testing.T) {
	b := newBoard(t, small, "call at 1 s from line 05 dials 123")
	b.to(cpu.Second)
	b.pulse(false, way(5, 56, 0, 0)...)
	b.send(Tones, 5|int(DialTone)<<13)
	b.to(3 * cpu.Second)
	b.send(Receivers, 0)
	if got := b.receive(Receivers); got != 1|lostBit {
		t.Errorf("received %o, want 1 with the sign of lost digits", got)
	}
	if got := b.receive(Receivers); got != 0 {
		t.Errorf("received %o once more, want nothing", got)
	}
}

// TestNoPath lets a caller dial with no receiver at the end of a whole path.
func TestNoPath(t *testing.T) {
	b := newBoard(t, small, "call at 1 s from line 05 dials 123")
	b.to(cpu.Second)
	b.pulse(false, way(5, 56, 0, 0)[:3]...)
	b.send(Tones, 5|int(DialTone)<<13)
	if got := b.digitsOf(0, 3*cpu.Second); got != nil {
		t.Errorf("digits %v come over three crosspoints of four", got)
	}
}

// TestBusyPulser asks for a second pulse before the first is over, and for a crosspoint that is not there.
func TestBusyPulser(t *testing.T) {
	b := newBoard(t, small, "")
	b.send(Pulser, Terminal(1, 1))
	b.now += small.Pulse - 1
	b.send(Pulser, Terminal(2, 1))
	b.now++
	b.send(Pulser, Terminal(64, 0))
	b.now += small.Pulse
	p := b.plant()
	for _, x := range []int{Terminal(1, 1), Terminal(2, 1)} {
		r, _, _ := p.Reed(x, b.now)
		if want := map[bool]Reed{true: Set}[x == Terminal(1, 1)]; r != want {
			t.Errorf("crosspoint %06o is %v, want %v", x, r, want)
		}
	}
	if got := p.Pulses(); len(got) != 3 || !got[1].Lost || !got[2].Foreign || got[0].Lost || got[0].Foreign {
		t.Errorf("recorded is %+v, want the second lost and the third foreign", got)
	}
}

// TestReedsFollowPulses asks for pulses by chance, and works the reeds and the paths out again from the record alone, by
// looking at every pair of terminals.
func TestReedsFollowPulses(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 1))
		b := newBoard(t, small, "")
		kept := b.rack
		for i := range 400 {
			x := Terminal(r.IntN(64), r.IntN(2))
			if r.IntN(3) == 0 {
				x = Middle(r.IntN(4), r.IntN(2), r.IntN(2))
			}
			if r.IntN(3) == 0 {
				x |= releaseBit
			}
			b.send(Pulser, x)
			b.now += cpu.Time(r.Int64N(int64(2 * small.Pulse)))
			if i == 200 {
				kept = b.rack.Clone()
			}
		}
		b.now += small.Pulse
		checkReeds(t, fmt.Sprintf("seed %d", seed), b.plant(), b.now)
		if asked := Of(kept).Pulses(); len(asked) != 201 || !slices.Equal(asked, b.plant().Pulses()[:201]) {
			t.Errorf("seed %d: a copy made after 201 pulses has %d", seed, len(asked))
		}
		checkReeds(t, fmt.Sprintf("copy of seed %d", seed), Of(kept), b.now)
	}
}

// checkReeds holds what a plant says against the record of pulses.
func checkReeds(t *testing.T, what string, p *Plant, now cpu.Time) {
	t.Helper()
	set := map[int]bool{}
	known := map[int]bool{}
	for _, pulse := range p.Pulses() {
		if !pulse.Lost && !pulse.Foreign && pulse.Until <= now {
			set[pulse.Crosspoint], known[pulse.Crosspoint] = !pulse.Release, true
		}
	}
	var want, got []string
	for a := range 64 {
		for b := a + 1; b < 64; b++ {
			for k := range 8 {
				if !set[Terminal(a, k)] || !set[Terminal(b, k)] {
					continue
				}
				whole := a/16 == b/16
				for j := range 8 {
					whole = whole || set[Middle(a/16, k, j)] && set[Middle(b/16, k, j)]
				}
				if whole {
					want = append(want, fmt.Sprintf("%d-%d by %d", a, b, k))
				}
			}
		}
	}
	for _, path := range p.Paths(now) {
		got = append(got, fmt.Sprintf("%d-%d by %d", path.From, path.To, path.Link))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatalf("%s: paths (-by the record +told):\n%s", what, diff)
	}
	for i := range p.net.last {
		x := p.net.number(i)
		r, _, ok := p.Reed(x, now)
		if !ok || (r == Unknown) == known[x] || (r == Set) != set[x] {
			t.Fatalf("%s: crosspoint %06o is %v; by the record known %v, set %v", what, x, r, known[x], set[x])
		}
	}
}

// TestTrafficRefused reads traffic lists with something wrong.
func TestTrafficRefused(t *testing.T) {
	for _, test := range []struct{ list, want string }{
		{"call at 2 s from line 05 dials 1\ncall at 1 s from line 06 dials 1", ":2:1: 1 s is before 2 s in a line above"},
		{"call at 2 s from line 50 dials 1", "there is no line 50: this office has 40, and the last is 47"},
		{"call at 2 s from line 8 dials 1", `"8"`},
		{"call at 2 s from trunk 4 dials 1", "there is no trunk 4: this office has 4, and the last is 3"},
		{"call at 2 s from line 5 dials 12x", `'x' is on no push button`},
		{"call at 2 s from line 5 dials 1 off 30 %", `"30" is none of -20 to 20 percent`},
		{"call at 2 s from line 5 dials 1 answers", "a length of time"},
		{"cal at 2 s from line 5 dials 1", `"call"`},
		{"type at 2 s on TT1 HELLO more", ""},
	} {
		_, err := ReadTraffic("evening.list", []byte(test.list), small, memory.Style{Radix: 8})
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.list, err, test.want)
		}
	}
}
