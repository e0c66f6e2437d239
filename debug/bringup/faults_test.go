package bringup_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/memory"
)

// A crossed is channels that fail between a whole rack and the machine, where nothing above the machine can find it.
type crossed struct {
	cpu.Ports
	verb  cpu.Verb // what passes wrong, at channel 1
	bit   int
	value memory.Word
	dead  bool
}

func (c crossed) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	if a.Code != 1 {
		return c.Ports.Do(a, now)
	}
	force := func(w memory.Word, bit int) memory.Word { return w&^(1<<bit) | c.value<<bit }
	switch {
	case c.dead:
		return cpu.Reply{None: true}
	case c.verb == cpu.Send && (a.Verb == cpu.Send || a.Verb == cpu.Command):
		a.Word = force(a.Word, c.bit)
	}
	r := c.Ports.Do(a, now)
	switch {
	case c.verb == cpu.Receive && a.Verb == cpu.Receive:
		r.Word = force(r.Word, c.bit)
	case c.verb == cpu.Sign && a.Verb == cpu.Sign && a.Sign == c.bit:
		r.Word = force(r.Word, 0)
	}
	return r
}

// someFault is a fault of the tape channel, by the name of a jam and hidden from all but the machine.
func someFault(rng *rand.Rand) (string, crossed) {
	bit, value := rng.IntN(18), rng.IntN(2)
	c := crossed{bit: bit, value: memory.Word(value)}
	switch rng.IntN(10) {
	case 0:
		c.dead = true
		return "TC1 dead", c
	case 1, 2:
		c.verb, c.bit = cpu.Sign, bit%5
		return fmt.Sprintf("TC1 sign %d = %d", c.bit, value), c
	case 3, 4:
		c.verb, c.bit = cpu.Send, bit%4
		return fmt.Sprintf("TC1 transmit bit %d = %d", c.bit, value), c
	}
	c.verb = cpu.Receive
	return fmt.Sprintf("TC1 receive bit %d = %d", bit, value), c
}

// A report never sees a fault of a channel either: it says the same when the machine meets the fault and no jam is anywhere.
func TestReportsNeverSeeFaultsOfChannels(t *testing.T) {
	o := training(t)
	limits := bringup.Limits{Orders: 135_000} // the starter gives up by then
	rng := rand.New(rand.NewPCG(50, 1))
	endings := map[bringup.Ending]int{}
	for range 30 {
		text, hidden := someFault(rng)
		j, err := jam.Parse(o.Code, text, o.Plan.Names()...)
		if err != nil {
			t.Fatal(err)
		}
		known := run(t, o, bringup.Start{Fill: 1, Limits: limits, Prepare: j.Put})
		withheld := run(t, o, bringup.Start{Fill: 1, Limits: limits, Prepare: func(h *duplex.Half) error {
			hidden.Ports = h.Rack
			h.Machine = cpu.New(o.Code, h.Store, hidden, 1)
			return nil
		}})
		if diff := cmp.Diff(sheet(o.Code, known), sheet(o.Code, withheld)); diff != "" {
			t.Errorf("%s (-jammed +withheld)\n%s", text, diff)
		}
		endings[known.Ending]++
	}
	if len(endings) < 3 {
		t.Errorf("the runs end in %d ways: that shows little", len(endings))
	}
}

// Same tape, one line of the channel: an even bit of the mark 525252 held at 0 passes it and fails the sum, an odd one is no
// mark. The starter itself says so, by the halt it ends in; store parity is right, and stays so, since it is made after.
func TestOneLineOfTheTapeChannel(t *testing.T) {
	o := training(t)
	for bit := range 18 {
		j, err := jam.Parse(o.Code, fmt.Sprintf("TC1 receive bit %d = 0", bit))
		if err != nil {
			t.Fatal(err)
		}
		var half *duplex.Half
		r := run(t, o, bringup.Start{Fill: 1, Limits: bringup.Limits{Orders: 150_000}, Prepare: func(h *duplex.Half) error {
			half = h
			return j.Put(h)
		}})
		last := r.Record.Last(1)
		want := memory.Word(0o762104) // sum wrong, by the starter's order text
		switch {
		case bit%2 == 1:
			want = 0o762100 // no block mark
		case bit == 8:
			want = 0o762103 // the count of a block, 400, has this bit alone
		}
		if r.Ending != bringup.Halted || len(last) != 1 || last[0].Words[0] != want {
			t.Errorf("%s: %v at %o, want the halt %o", j, r.Ending, r.Place, want)
		}
		for a := range memory.Addr(0o10000) {
			if _, _, st := half.Store.Peek(a); st&memory.ParityWrong != 0 {
				t.Errorf("%s: parity wrong at %o", j, a)
			}
		}
	}
}
