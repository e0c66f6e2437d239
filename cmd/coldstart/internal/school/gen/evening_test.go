package main

import (
	"maps"
	"slices"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/channel/plant"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
	"coldstart/memory"
)

// pegs are what the program counts.
func pegs(t testing.TB, h *duplex.Half) plant.Counts {
	t.Helper()
	peg := func(a memory.Addr) int { return int(h.Seen(a)) }
	return plant.Counts{Offered: peg(0o225), SetUp: peg(0o351), Answered: peg(0o226), Released: peg(0o352)}
}

// play lets the evening begin around a half with its power off.
func play(t testing.TB, h *duplex.Half) *plant.Plant {
	t.Helper()
	x := plant.Of(h.Rack)
	src, err := readOffice(eveningFile)
	if err != nil {
		t.Fatal(err)
	}
	traffic, err := plant.ReadTraffic(eveningFile, src, x.Spec(), h.Machine.Code().Geometry.Style)
	if err != nil {
		t.Fatal(err)
	}
	x.Play(traffic)
	for _, line := range traffic.Typed {
		h.Rack.Device(2).(*channel.Teletypewriter).Type(line.Text, line.At)
	}
	return x
}

// playing is a pair of the office with the evening around it.
func playing(t testing.TB) (*duplex.Pair, *plant.Plant) {
	t.Helper()
	return playingIn(t, readOffice)
}

// playingIn is playing with the files of the office read by read.
func playingIn(t testing.TB, read func(string) ([]byte, error)) (*duplex.Pair, *plant.Plant) {
	t.Helper()
	office, err := bringup.Open(read, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	pair, err := office.Pair(1)
	if err != nil {
		t.Fatal(err)
	}
	x := play(t, pair.Half(0))
	pair.Boot(false)
	return pair, x
}

// agree wants program, network and people to have counted the same calls.
func agree(t testing.TB, h *duplex.Half, x *plant.Plant, now cpu.Time) plant.Counts {
	t.Helper()
	lived, network := x.Counts(now)
	if program := pegs(t, h); lived != network || network != program {
		t.Errorf("people count %+v, the network %+v, the program of half %s %+v", lived, network, h.Name, program)
	}
	return lived
}

// came is how many calls of the evening came to an outcome by now.
func came(x *plant.Plant, now cpu.Time) map[plant.Outcome]int {
	all := map[plant.Outcome]int{}
	for _, o := range x.Outcomes(now) {
		all[o]++
	}
	return all
}

// TestEvening plays the evening: program, network and people count the same calls, and all of them come out as the list has it.
func TestEvening(t *testing.T) {
	pair, x := playing(t)
	pair.Run(1<<40, 70*cpu.Second)
	now := pair.Now()
	got := agree(t, pair.Half(0), x, now)
	// Of each seven calls one is to a number that nobody has, and one is never answered.
	if want := (plant.Counts{Offered: 28, SetUp: 24, Answered: 20, Released: 24}); got != want {
		t.Errorf("calls counted: %+v, want %+v", got, want)
	}
	if got, want := came(x, now), map[plant.Outcome]int{plant.Talked: 20, plant.NoAnswer: 4, plant.Refused: 4}; !maps.Equal(got, want) {
		t.Errorf("calls came to %v, want %v", got, want)
	}
	if !x.Over(now) || len(x.Paths(now)) != 0 {
		t.Errorf("over is %v, and paths left are %+v", x.Over(now), x.Paths(now))
	}
	if got := paper(pair.Half(0)); !slices.Contains(got, "LINE 017 CLASS 3 DONE") {
		t.Errorf("printed is %q, want the change of line 017 among it", got)
	}
}

// TestChangeoverKeepsCalls presses the key while people talk. The other half comes up without its tape, goes on with the map
// that was mirrored, and no call that was talked on is lost.
func TestChangeoverKeepsCalls(t *testing.T) {
	pair, x := playing(t)
	const key = 40 * cpu.Second
	pair.Key(key)
	pair.Run(1<<40, key)
	talking := 0
	for _, path := range x.Paths(key) {
		if x.Hook(path.From, key) && x.Hook(path.To, key) {
			talking++
		}
	}
	pair.Run(1<<40, 70*cpu.Second)
	now := pair.Now()
	b := pair.Half(1)
	if talking == 0 || !pair.OnLine(1) || pair.OnLine(0) {
		t.Fatalf("%d talked at the changeover, B on-line %v, A %v", talking, pair.OnLine(1), pair.OnLine(0))
	}
	agree(t, b, x, now)
	if got := came(x, now); got[plant.CutOff] != 0 || got[plant.Talked] < 19 {
		t.Errorf("calls came to %v, want none cut off", got)
	}
	if b.Rack.Device(1).(*channel.Drive).Position(now).Moving || b.Machine.Orders() > 12_000_000 {
		t.Error("B has read the tape")
	}
	if got := paper(b); !slices.Contains(got, "WENDLE FERRY CHANGEOVER") || !slices.Contains(got, "RESTARTED 1") {
		t.Errorf("printed is %q, want the changeover among it", got)
	}
	for _, p := range x.Pulses() {
		if at := p.At < key; at != (p.Half == 0) {
			t.Fatalf("half %d pulsed at %v; the key was pressed at %v", p.Half, p.At, key)
		}
	}
}

// TestSeverestRestart types RESTART 2 while people talk: every path goes, released crosspoint by crosspoint, and the calls
// with it.
func TestSeverestRestart(t *testing.T) {
	pair, x := playing(t)
	const at = 37 * cpu.Second
	pair.Half(0).Rack.Device(2).(*channel.Teletypewriter).Type("RESTART 2", at)
	pair.Run(1<<40, at+cpu.Second)
	up, asked := x.Paths(at+cpu.Second), len(x.Pulses())
	if len(up) == 0 {
		t.Fatal("nobody talks at the restart")
	}
	pair.Run(1<<40, at+4*cpu.Second)
	released := map[int]bool{}
	for _, p := range x.Pulses()[asked:] {
		if p.Release {
			released[p.Crosspoint] = true
		}
	}
	for _, path := range up {
		for _, end := range []int{path.From, path.To} {
			if !released[plant.Terminal(end, path.Link)] {
				t.Errorf("the path from %d to %d was up, and at terminal %d was never commanded released", path.From, path.To, end)
			}
		}
	}
	pair.Run(1<<40, 70*cpu.Second)
	now := pair.Now()
	agree(t, pair.Half(0), x, now)
	if got := came(x, now); got[plant.CutOff] == 0 {
		t.Errorf("calls came to %v, want some cut off", got)
	}
	if got := paper(pair.Half(0)); !slices.Contains(got, "RESTARTED 2") {
		t.Errorf("printed is %q, want the restart among it", got)
	}
}
