package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/memory"
)

// The lines of story 5, held at 0: an even bit of the block mark is 0 anyway, an odd one is not.
const (
	evenLine = "TC1 receive bit 4 = 0"
	oddLine  = "TC1 receive bit 5 = 0"
)

// triesRow is the lamp row, counted from 0, in which the starter shows how often it tried.
const triesRow = 2

// starterOrders is more orders than the wired starter takes to give up its first block after all its tries.
const starterOrders = 250_000

// An atTheBay is what half B stopped with, as far as a person sees it.
type atTheBay struct {
	line      string
	stop      memory.Addr // of the order that halted
	said      string      // that order
	registers string
	lamps     string
	clock     string
	tries     int
}

// alike tells whether two evenings look the same.
func (e atTheBay) alike(o atTheBay) bool {
	return e.stop == o.stop && e.registers == o.registers && e.lamps == o.lamps
}

// line is story 5: one line of the tape channel fails.
func line(t *teller) (string, []file, error) {
	office, err := bringup.Open(t.open, officeFile)
	if err != nil {
		return "", nil, err
	}
	var evenings []atTheBay // of every line held at either value
	for n := range 36 {
		e, err := t.evening(office, fmt.Sprintf("TC1 receive bit %d = %d", n/2, n%2))
		if err != nil {
			return "", nil, err
		}
		evenings = append(evenings, e)
	}
	find := func(line string) atTheBay {
		return evenings[slices.IndexFunc(evenings, func(e atTheBay) bool { return e.line == line })]
	}
	even, odd := find(evenLine), find(oddLine)
	var alike, same []string
	for _, e := range evenings {
		if e.alike(even) {
			same = append(same, e.line)
		}
		if e.alike(odd) {
			alike = append(alike, e.line)
		}
	}
	switch {
	case len(same) != 1 || !strings.HasSuffix(even.said, "halt 104"):
		return "", nil, fmt.Errorf("%s ends at %s, as do %q; want it alone, at the halt for a sum", evenLine, even.said, same)
	case len(alike) != 18 || !strings.HasSuffix(odd.said, "halt 100"):
		return "", nil, fmt.Errorf("%s ends at %s, as do %q; want eighteen, at the halt for no mark", oddLine, odd.said, alike)
	}
	var bay prose
	bay.say("# What was written down at the bay of half B, on two evenings.")
	bay.evening("First evening", even)
	bay.evening("Second evening, with the spare plug-in", odd)
	return lineAnswer(even, odd, len(evenings)), []file{{"bay.txt", []byte(bay.String())}}, nil
}

// evening runs a half with a jam until the starter gives up.
func (t *teller) evening(office *bringup.Office, line string) (e atTheBay, err error) {
	j, err := jam.Parse(office.Code, line)
	if err != nil {
		return e, err
	}
	r, err := office.Run(context.Background(), bringup.Start{
		Fill: 1, Limits: bringup.Limits{Orders: starterOrders}, Prepare: func(h *duplex.Half) error { return j.Put(h) },
	})
	if err != nil {
		return e, err
	}
	last := r.Record.Last(1)
	if r.Ending != bringup.Halted || len(last) != 1 {
		return e, fmt.Errorf("%s does not end at a halt: %v", line, r.Stop)
	}
	var s strings.Builder
	for _, reg := range office.Code.Registers {
		if reg.Width == office.Code.Geometry.Width {
			fmt.Fprintf(&s, "  %s %s", reg.Name, t.word(r.Half.Machine.Value(reg)))
		}
	}
	e = atTheBay{line: line, stop: last[0].Place, registers: s.String(), lamps: r.Half.Lamps(), clock: r.At.String()}
	_, e.said, _ = strings.Cut(r.Last[len(r.Last)-1], t.word(last[0].Words[0])+"  ")
	e.tries = int(r.Half.Seen(r.Half.Panel.Rows()[triesRow].Addr))
	for a := range office.Code.Geometry.Areas[0].Last { // what the store people say
		if _, _, st := r.Half.Store.Peek(a); st&memory.ParityWrong != 0 {
			return e, fmt.Errorf("%s: parity is wrong at %s", line, t.addr(a))
		}
	}
	return e, nil
}

// evening writes down what a person at the bay sees.
func (p *prose) evening(title string, e atTheBay) {
	p.say("")
	p.say("%s: reel GP-1 in TC1, power up.", title)
	p.say("  Half B halts %s after power-up, at the order at %06o.", e.clock, uint64(e.stop))
	p.say("  Keys and registers:")
	p.say("  %s", e.registers)
	p.say("  Lamps:")
	for l := range strings.Lines(e.lamps) {
		p.say("    %s", strings.TrimRight(l, "\n "))
	}
	p.say("  Store parity: right in every word.")
}

// lineAnswer says what there is to find.
func lineAnswer(even, odd atTheBay, lines int) string {
	var s prose
	s.say("Not the tape: `bringup` on paper reads every block of it, and half A did.")
	s.say("Parity is made when a word is written into store. What came in wrong is stored")
	s.say("wrong, with parity that fits: wrong data with right parity went bad before.")
	s.say("")
	s.say("First evening: %s, the halt for a wrong sum, on block 000, after %d tries.", even.said, even.tries)
	s.say("The mark 525252 was seen, so the line leaves the mark as it is: it is an even")
	s.say("bit held at 0, or an odd one at 1. Of all %d ways to hold a line just one leaves", lines)
	s.say("the sum that B shows:")
	s.say("  %s", even.line)
	s.say("")
	s.say("Second evening: %s, the halt for no block mark, after %d tries. The line", odd.said, odd.tries)
	s.say("makes the mark another word: an odd bit at 0, or an even one at 1. The starter")
	s.say("waits for a mark and looks at nothing else, so that all 18 leave the same")
	s.say("registers and lamps, and nothing seen at the bay can tell them apart. (It was")
	s.say("%s.) The spare is bad as well, at another place.", odd.line)
	return s.String()
}
