package duplex_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
)

// callingCode is the machine file of these tests with requests that are held, and an interrupt that answers them while it may. No
// half reaches the other: it could clear the flip-flop there, which no log here would see.
var callingCode = sync.OnceValue(func() *order.Code {
	src := strings.NewReplacer(
		", mate MC1 after 30 us", "",
		"flip-flop zero, active", "flip-flop zero, active, called, heeds",
		"channel   CK1: code 2, 12 bits", "channel   CK1: code 2, 12 bits, sets called by sign 0",
		"\nboot\n", "\ninterrupt call \"the clock calls\"\n  level   1\n  when    called = 1 and heeds = 1\n  does    called, heeds <- 0, 0\n          restart rest\n\nboot\n",
	).Replace(string(file("tandem.machine")))
	src += "order     heed\n  pattern 101 011 000101\n  does    heeds <- 1\n" +
		"order     deafen\n  pattern 101 011 000110\n  does    heeds <- 0\n"
	code, err := order.Read("calling.machine", []byte(src))
	check(err)
	return code
})

// A caller is a device whose sign comes up at random times, and falls by itself or when a half receives, whichever is first.
type caller struct {
	rings []cpu.Time
	lasts cpu.Time
	down  cpu.Time
	rises []cpu.Time // of the rings, those that found the sign down
	next  int
}

func (c *caller) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	up := c.up(now)
	if a.Verb == cpu.Receive {
		c.down = now
	}
	if up {
		return cpu.Reply{Word: 1}
	}
	return cpu.Reply{}
}

// up is whether the sign is up; it writes down when it rose.
func (c *caller) up(now cpu.Time) bool {
	for ; c.next < len(c.rings) && c.rings[c.next] <= now; c.next++ {
		if c.rings[c.next] >= c.down {
			c.rises = append(c.rises, c.rings[c.next])
		}
	}
	return len(c.rises) > 0 && c.rises[len(c.rises)-1] >= c.down && now < c.rises[len(c.rises)-1]+c.lasts
}

func (c *caller) Next(now cpu.Time) cpu.Time {
	c.up(now)
	next := cpu.Never
	if c.next < len(c.rings) {
		next = c.rings[c.next]
	}
	if n := len(c.rises); n > 0 && c.rises[n-1]+c.lasts > now {
		next = min(next, c.rises[n-1]+c.lasts)
	}
	return next
}

func (c *caller) Clone() channel.Device {
	d := *c
	d.rises = slices.Clone(c.rises)
	return &d
}

// A log is when a flip-flop of a half was set and cleared.
type log struct {
	pair         *duplex.Pair
	half         int
	flipFlop     *order.Register
	sets, clears []cpu.Time
}

func (l *log) Observe(s *cpu.Step) {
	for _, c := range s.Changes {
		switch {
		case c.Register != l.flipFlop || c.Old == c.New:
		case c.New == 1:
			l.sets = append(l.sets, l.pair.Time(l.half))
		default:
			l.clears = append(l.clears, l.pair.Time(l.half)) // when the order that cleared it was done
		}
	}
}

// Whatever traps, keys, timers and programs do, every time that the clock calls, the flip-flop that holds its call is found set
// later than that in each half, be it on-line, standby, deaf or standing still; and it is never set when nothing called.
func TestRequestsAreHeld(t *testing.T) {
	code := callingCode()
	called := code.Register("called")
	var heard, waiting, still int
	for seed := range *seeds {
		rng := rand.New(rand.NewPCG(seed, 11))
		text := strings.NewReplacer(
			"receive 2", "heed", "await 2, 1", []string{"deafen", "receive 2", "heed"}[rng.IntN(3)],
		).Replace(random(rng))
		p := running(t, code, text, seed)
		clock := &caller{lasts: us / 4 * cpu.Time(1+rng.IntN(40)), down: -1}
		for at := 10*us + 1; at < 1400*us; at += clock.lasts + us/8*cpu.Time(1+rng.IntN(400)) { // both clocks go by then
			clock.rings = append(clock.rings, at)
		}
		p.Half(0).Rack.Put(3, new(spy))
		p.Half(1).Rack.Put(3, new(spy))
		p.Half(0).Rack.Put(2, clock)
		p.Half(1).Rack.Share(p.Half(0).Rack, 2)
		logs := [2]*log{}
		for n := range logs {
			p.Half(n).Machine.Set(called, 0)
			logs[n] = &log{pair: p, half: n, flipFlop: called}
			p.Half(n).Machine.Observe(logs[n])
		}
		let(p, rng).Run(cpu.Forever, 1500*us)
		for n, l := range logs {
			if p.Dead(n) {
				continue
			}
			held := p.Half(n).Machine.Value(called) == 1
			for _, rose := range clock.rises {
				if !held && !slices.ContainsFunc(l.clears, func(at cpu.Time) bool { return at > rose }) {
					t.Fatalf("seed %d: half %d never found the call of %v; cleared at %v", seed, n, rose, l.clears)
				}
			}
			if len(l.sets) > len(clock.rises) {
				t.Fatalf("seed %d: half %d was called %d times, and the clock called %d times", seed, n, len(l.sets), len(clock.rises))
			}
			heard += len(l.clears)
			waiting += int(p.Half(n).Machine.Value(called))
			if p.Half(n).Machine.Halted() {
				still++
			}
		}
	}
	if s := int(*seeds); heard < 5*s || waiting < s/10 || still < s/10 {
		t.Errorf("%d calls answered, %d held to the end, %d halves stood still: too few to show anything", heard, waiting, still)
	}
}
