package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// The blocks of story 2: one that a bit slipped in, one that is doubtful, and one that is lost.
const (
	slippedBlock  = 0o17
	doubtfulBlock = 0o31
	lostBlock     = 0o44
)

// lineWords is how many words the record of a line has.
const lineWords = 2

// passCount is how many times the worn tape was read.
const passCount = 3

// A doubt is a word of the doubtful block that the passes read in two ways: one bit of it is lost or won.
type doubt struct {
	addr  memory.Addr
	right memory.Word
	wrong memory.Word
}

// dubious are the two doubtful words. Each loses or wins the same bit, so that both right and both wrong have one sum. The
// first is an order of the order check, which is run; without the bit no order reads it. The second is run only where the
// order check fails.
func (t *teller) dubious() (run, idle doubt) {
	const bit = 0o40000
	read := func(a memory.Addr) memory.Word {
		w, _ := t.program.Word(a)
		return w.Word
	}
	run.addr, idle.addr = t.label("after-enter")+3, t.label("order-wrong")
	run.right, idle.right = read(run.addr), read(idle.addr)
	run.wrong, idle.wrong = run.right&^bit, idle.right|bit
	return run, idle
}

// place is the word of its block's data that a doubt stands in.
func (d doubt) place() int { return int(d.addr) & 0o377 }

// tired is story 2: three passes over a worn tape.
func tired(t *teller) (string, []file, error) {
	whole, err := t.recorded()
	if err != nil {
		return "", nil, err
	}
	list, err := t.open(officeFile)
	if err != nil {
		return "", nil, err
	}
	const named, instead = `gp1.tape "GP-1"`, `pass1.tape "GP-1, first pass"`
	if bytes.Count(list, []byte(named)) != 1 {
		return "", nil, fmt.Errorf("%s does not seat %s", officeFile, named)
	}
	files := []file{{officeFile, bytes.Replace(list, []byte(named), []byte(instead), 1)}}
	for pass := 1; pass <= passCount; pass++ {
		files = append(files, file{fmt.Sprintf("pass%d.tape", pass), t.pass(whole, pass)})
	}
	answer, err := t.tiredAnswer(whole)
	return answer, files, err
}

// recorded is the office's recording, read.
func (t *teller) recorded() (*tape.Recording, error) {
	src, err := t.open(layoutFile)
	if err != nil {
		return nil, err
	}
	layout, err := tape.ReadLayout(layoutFile, src)
	if err != nil {
		return nil, err
	}
	rec, err := t.open(tapeFile)
	if err != nil {
		return nil, err
	}
	return tape.Read(layout, tapeFile, bytes.NewReader(rec))
}

// mixture is the merged recording with the two doubtful words as given, without the lost block.
func (t *teller) mixture(whole *tape.Recording, name string, words map[int]memory.Word) bringup.Seat {
	var out []byte
	for _, b := range whole.Blocks {
		raw := slices.Clone(b.Raw)
		if b.Number == doubtfulBlock {
			for i, w := range words {
				raw[whole.Layout.DataAt()+i] = w
			}
		}
		if b.Number != lostBlock {
			out = whole.Layout.AppendRaw(out, raw)
		}
	}
	return bringup.Seat{File: name, Data: out}
}

// tiredAnswer runs both mixtures and says what there is to find.
func (t *teller) tiredAnswer(whole *tape.Recording) (string, error) {
	run, idle := t.dubious()
	wrong := t.mixture(whole, "031.a", map[int]memory.Word{run.place(): run.wrong, idle.place(): idle.wrong})
	right := t.mixture(whole, "031.b", nil)
	a, err := t.run(1, wrong)
	if err != nil {
		return "", err
	}
	b, err := t.run(1, right)
	if err != nil {
		return "", err
	}
	trap := a.Half.Machine.LastTrap()
	switch {
	case a.Ending != bringup.Trapped || trap.Kind.Name != "undefined" || trap.Place != run.addr:
		return "", fmt.Errorf("031.a does not meet an undefined order at %05o, but ends: %v", run.addr, a.Stop)
	case b.Ending != bringup.Arrived || len(b.Lines) < 4 || len(b.Resumed) != 1:
		return "", fmt.Errorf("031.b does not reach the last milestone: %v", b.Stop)
	case b.Record.Use(run.addr)&trail.Run == 0 || b.Record.Use(idle.addr)&(trail.Run|trail.Read) != 0:
		return "", fmt.Errorf("031.b runs not just the first of the words at %05o and %05o", run.addr, idle.addr)
	case whole.Blocks[lostBlock].Number != lostBlock || whole.Blocks[lostBlock].Addr != t.label("line-table"):
		return "", fmt.Errorf("block %03o is not where the records of lines begin", lostBlock)
	}
	var s prose
	s.say("Block 017 is taken from pass 2, where its sum is right. In pass 3 a bit slipped:")
	s.say("one is lost in word %03o of the data, and all words behind it stand a bit too far", slippedWord)
	s.say("left. Such a pass is not voted with. In pass 1 some words dropped out, %03o-%03o.", droppedWord, droppedWord+dropped-1)
	s.say("")
	s.say("Block 031 has its sum wrong in all three passes. Two words are read in two ways:")
	for _, d := range []doubt{run, idle} {
		s.say("  word %03o, store %s: %s or %s", d.place(), t.addr(d.addr), t.word(d.wrong), t.word(d.right))
	}
	s.say("Of the four mixtures two have the right sum:")
	s.say("  031.a  %s and %s", t.word(run.wrong), t.word(idle.wrong))
	s.say("  031.b  %s and %s", t.word(run.right), t.word(idle.right))
	s.say("031.a meets an undefined order at %s and stops there. 031.b reaches the last", t.addr(run.addr))
	s.say("milestone: it is to be preferred. But that run never comes to word %03o, and says", idle.place())
	s.say("nothing of it: a confirmation sheet is UNDECIDED, and names block 031.")
	s.say("")
	lost := whole.Blocks[lostBlock]
	s.say("Block 044 is in no pass. It is office data, %s-%s: the records of the", t.addr(lost.Addr), t.addr(lost.Addr+memory.Addr(lost.Count-1)))
	s.say("first %d lines (decimal). It is lost; nothing is invented to fill it. The", lost.Count/lineWords)
	s.say("second stage gives it up, and goes on when the resume key is pressed:")
	for _, l := range b.Lines[:3] {
		s.say("  %s", l.Text())
	}
	trouble, _, _ := strings.Cut(b.Lines[3].Text(), " FOUND ")
	s.say("  %s FOUND and what power-up left there", trouble)
	return s.String(), nil
}
