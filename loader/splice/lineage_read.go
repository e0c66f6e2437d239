package splice

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// A Lineage is what a merged image came from, word for word, as read from the file beside it.
type Lineage struct {
	Head   Head
	blocks map[int][]record // of words, in their order
	rest   []record
}

// mostLines is the most lines a lineage may have: more than any recording has blocks and doubts.
const mostLines = 1 << 22

// ReadLineage reads a lineage; name is the file name in errors, which say the line.
func ReadLineage(name string, src []byte) (*Lineage, error) {
	l := &Lineage{blocks: map[int][]record{}}
	n := 0
	for line := range bytes.Lines(src) {
		n++
		var err error
		switch {
		case n > mostLines:
			return nil, fmt.Errorf("%s: more than %d lines: is this a lineage?", name, mostLines)
		case n == 1:
			if err = strict(line, &l.Head); err == nil && l.Head.Lineage != version {
				err = fmt.Errorf("it says it is of version %d; this program reads version %d", l.Head.Lineage, version)
			}
		default:
			err = l.add(line)
		}
		if err != nil {
			return nil, fmt.Errorf("%s:%d: this is no line of a lineage: %w", name, n, err)
		}
	}
	if n == 0 {
		return nil, fmt.Errorf("%s: a lineage has a first line that names the image, and there is none", name)
	}
	return l, nil
}

// strict reads one JSON value that makes up a line.
func strict(line []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		var syntax *json.SyntaxError
		if errors.As(err, &syntax) {
			return fmt.Errorf("byte %d is not JSON", syntax.Offset)
		}
		return errors.New(strings.TrimPrefix(err.Error(), "json: "))
	}
	if _, err := dec.Token(); err != io.EOF {
		return errors.New("something follows the value")
	}
	return nil
}

// add takes one line behind the head.
func (l *Lineage) add(line []byte) error {
	var r record
	if err := strict(line, &r); err != nil {
		return err
	}
	switch r.Kind {
	case "words":
		if r.First == nil || r.Count < 1 || r.Block < 0 {
			return errors.New("a record of words needs a block, a first word and a count of one or more")
		}
		l.blocks[r.Block] = append(l.blocks[r.Block], r)
		return nil
	case "doubt":
		if r.First == nil {
			return errors.New("a doubt needs the word it is about")
		}
	case "mixture", "lost", "left out", "decision":
	default:
		return fmt.Errorf("there is no kind %q", r.Kind)
	}
	l.rest = append(l.rest, r)
	return nil
}

// Whence tells where a word of the image came from: word of the data of that block, from 0, or below 0 in its header.
// False where the image does not hold it.
func (l *Lineage) Whence(block, word int) (Witness, bool) {
	for _, r := range l.blocks[block] {
		if word < *r.First || word-*r.First >= r.Count {
			continue
		}
		w := Witness{Pass: r.Pass, Decode: r.Decode, Position: -1, Rule: r.Rule, Passes: r.Passes, Doubtful: r.Doubtful, Witnesses: len(r.Passes)}
		if r.Position != nil {
			w.Position = *r.Position
		}
		if r.By != "" {
			w.Decision = Decision{By: r.By, On: r.On, Because: r.Because}.String()
		}
		return w, true
	}
	return Witness{}, false
}

// Doubtful lists the words that were left doubtful, with all readings, in the order of the image.
func (l *Lineage) Doubtful() []Doubt {
	var all []Doubt
	for _, r := range l.rest {
		if r.Kind != "doubt" {
			continue
		}
		d := Doubt{Block: r.Name, Number: r.Block, Word: *r.First}
		for _, x := range r.Readings {
			d.Readings = append(d.Readings, Reading{x.Word, x.Passes, x.In})
		}
		all = append(all, d)
	}
	return all
}

// Lost lists the numbers of the blocks that are in no pass, or not whole in all of them together.
func (l *Lineage) Lost() []int {
	var all []int
	for _, r := range l.rest {
		if r.Kind == "lost" {
			all = append(all, r.Block)
		}
	}
	return all
}

// LeftOut counts the blocks that are whole on a pass and not among those the layout states.
func (l *Lineage) LeftOut() (n int) {
	for _, r := range l.rest {
		if r.Kind == "left out" {
			n++
		}
	}
	return n
}

// Against counts the decisions that go against what is recorded.
func (l *Lineage) Against() (n int) {
	for _, r := range l.rest {
		if r.Kind == "decision" && r.Against != "" {
			n++
		}
	}
	return n
}

// Decisions lists what was decided, each as one sentence: block, what, who, when, why, and what evidence it goes against.
func (l *Lineage) Decisions() []string {
	var all []string
	for _, r := range l.rest {
		if r.Kind != "decision" {
			continue
		}
		s := fmt.Sprintf("block %s: %s, decided by %s", r.Name, r.What, Decision{By: r.By, On: r.On, Because: r.Because})
		if r.Against != "" {
			s += " (against evidence: " + r.Against + ")"
		}
		all = append(all, s)
	}
	return all
}
