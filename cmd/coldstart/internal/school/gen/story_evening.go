package main

import (
	"fmt"
	"strings"

	"coldstart/cpu"
	"coldstart/debug/watch"
	"coldstart/memory"
)

// lampPlaces is how many places the moving lamp has: as many words say what its row shows.
const lampPlaces = 16

// evening is story 1: the clean recording comes up.
func evening(t *teller) (string, []file, error) {
	r, err := t.run(0)
	if err != nil {
		return "", nil, err
	}
	if r.Verdict != watch.Good || len(r.Sightings) != 1 || len(r.Lines) == 0 {
		return "", nil, fmt.Errorf("the clean recording comes out %v, with %d chases and %d lines", r.Verdict, len(r.Sightings), len(r.Lines))
	}
	whole, err := t.recorded()
	if err != nil {
		return "", nil, err
	}
	blocks, line := len(whole.Blocks), r.Lines[0].Text()
	if !strings.Contains(line, fmt.Sprintf(" %03o ", blocks)) {
		return "", nil, fmt.Errorf("%d blocks are recorded, and the first line says %q", blocks, line)
	}
	chase, first := r.Sightings[0], t.label("pictures")
	row, rest, _ := strings.Cut(chase.Text, fmt.Sprintf(", %d", lampPlaces))
	lap := chase.Dwell * lampPlaces
	var a prose
	a.say("Half A comes up from the clean recording: GOOD.")
	a.say("")
	a.say("Chase:         %s,", row)
	a.say("               %d%s", lampPlaces, rest)
	a.say("One lap:       %d places of %d ms: %d ms", lampPlaces, chase.Dwell/cpu.Millisecond, lap/cpu.Millisecond)
	a.say("Blocks:        %03o octal, as the first printed line says; %d decimal", blocks, blocks)
	a.say("First line:    %s", line)
	a.say("Idle loop:     begins at %s", t.addr(t.label("idle")))
	a.say("")
	a.say("The sixteen words stand at %s-%s. Bit n of a word is lamp n of row", t.addr(first), t.addr(first+lampPlaces-1))
	a.say("000760: one lamp, a place further left with each word, from place 15 round to 0.")
	for i := range memory.Addr(lampPlaces) {
		w, _ := t.program.Word(first + i)
		a.say("  %s  %s  place %d", t.addr(first+i), t.word(w.Word), i)
		if w.Word != 1<<i {
			return "", nil, fmt.Errorf("%05o does not light lamp %d", first+i, i)
		}
	}
	return a.String(), nil, nil
}
