package watch

import (
	"math/rand/v2"
	"testing"

	"coldstart/cpu"
)

// seenAt looks for a chase the slow way, with the whole record before it: when its laps were full, or -1.
func seenAt(c *Chase, record []beat, end cpu.Time) cpu.Time {
	var kept []beat
	for i, b := range record {
		until := end
		if i+1 < len(record) {
			until = record[i+1].at
		}
		b.window = c.window(b.shown)
		if b.window < 0 && until-b.at <= c.Tolerance {
			continue
		}
		if n := len(kept); n > 0 && b.window >= 0 && kept[n-1].window == b.window {
			continue
		}
		kept = append(kept, b)
	}
	steps := c.Laps * len(c.path)
	for first := 0; first+steps < len(kept); first++ {
		for pos := range c.path {
			if follows(c, kept[first:first+steps+1], pos) {
				return kept[first+steps].at
			}
		}
	}
	return -1
}

// follows is whether all the beats follow the path from a position on it, in time.
func follows(c *Chase, beats []beat, pos int) bool {
	for i, b := range beats {
		if b.window != c.path[(pos+i)%len(c.path)] {
			return false
		}
		if i > 0 {
			if off := b.at - beats[i-1].at - c.Dwell; off > c.Tolerance || -off > c.Tolerance {
				return false
			}
		}
	}
	return true
}

// A track sees a chase as it happens exactly when the slow way finds it afterwards.
func TestTrackAgainstRecord(t *testing.T) {
	lists := []string{
		"chase a row 760 places 0-3 dwell 10 ms tolerance 1 ms laps 2",
		"chase a row 760 places 0-3 dwell 10 ms tolerance 1 ms laps 2 way right width 2",
		"chase a row 760 places 0-3 dwell 10 ms tolerance 1 ms laps 2 way there-and-back",
		"chase a row 760 places 0-4 dwell 10 ms tolerance 1 ms laps 1 width 2 ring",
	}
	random := rand.New(rand.NewPCG(760, 0))
	good := 0
	const runs = 4000
	for run := range runs {
		c := read(t, lists[run%len(lists)]).Chases[0]
		record, end := wander(c, random)
		track := track{chase: c}
		for _, b := range record {
			track.show(b.at, b.shown)
		}
		got, want := cpu.Time(-1), seenAt(c, record, end)
		if track.good.steps > 0 {
			got = track.seen
			good++
		}
		if got != want {
			t.Fatalf("run %d of %v: seen at %v, the record says %v\n%v", run, c, got, want, record)
		}
	}
	// The comparison says little unless both outcomes are common.
	if good < runs/5 || good > runs*4/5 {
		t.Errorf("%d of %d runs had a chase; they should be mixed", good, runs)
	}
}

// wander is a record of a chase with slips: wrong steps, wrong times, flickers and gaps.
func wander(c *Chase, random *rand.Rand) (record []beat, now cpu.Time) {
	pos := random.IntN(len(c.path))
	show := func(s set, hold cpu.Time) {
		if n := len(record); n == 0 || record[n-1].shown != s {
			record = append(record, beat{at: now, shown: s})
		}
		now += hold
	}
	for range 5 * len(c.path) {
		hold := c.Dwell + cpu.Time(random.Int64N(int64(2*c.Tolerance+1))) - c.Tolerance
		switch random.IntN(20) {
		case 0:
			pos += random.IntN(len(c.path))
		case 1:
			hold += cpu.Time(random.Int64N(int64(c.Dwell))) - c.Dwell/2
		case 2, 3:
			flicker := cpu.Time(random.Int64N(int64(2 * c.Tolerance)))
			show(c.windows[c.path[pos%len(c.path)]], hold-flicker)
			show(set(random.IntN(32)), flicker)
			pos++
			continue
		}
		show(c.windows[c.path[pos%len(c.path)]], hold)
		pos++
	}
	return record, now
}
