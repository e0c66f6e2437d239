package splice

import (
	"fmt"
	"go/token"
	"regexp"
	"slices"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A Decision is what a person says of a doubtful block, or of one word of it.
type Decision struct {
	Pos     token.Position // of its record
	Block   int
	Mixture string // taken, such as 031.b; "" for a word
	Digest  string // of the words of that mixture, four digits or more; "" for a try, until it is carried out
	Word    int    // of the data, from 0
	Value   memory.Word
	By      string
	On      string // a date, as 2026-11-25
	Because string
	Against string // what evidence it goes against; "" for none
}

// String says who decided, when and why.
func (d Decision) String() string {
	return fmt.Sprintf("%s on %s: %s", d.By, d.On, d.Because)
}

// Decisions are all that a person decided, in the order of their list.
type Decisions []Decision

// decisionForms are the records of a decisions list.
var decisionForms = []list.Form{
	{Shape: `decide block 031 take 031.b 3f2a by "NAME" on 2026-11-25 because "REASON"`, Min: 10, Max: 12},
}

// date is the form a date has to have.
var date = regexp.MustCompile(`^[0-9]{4}-[01][0-9]-[0-3][0-9]$`)

// ReadDecisions reads a decisions list: one record for each decision, "decide block 031 take 031.b 3f2a by NAME on DATE because
// REASON" with the digest of the mixture, or "decide block 031 word 112 is 123456 by ...". Numbers are in the style of the
// layout. Errors are a go/scanner.ErrorList.
func ReadDecisions(l *tape.Layout, name string, src []byte) (Decisions, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	var all Decisions
	for _, r := range list.Check(&errs, name, records, decisionForms) {
		if d, ok := readDecision(&errs, l, r); ok {
			if slices.ContainsFunc(all, func(e Decision) bool {
				return e.Block == d.Block && (e.Mixture != "" || d.Mixture != "" || e.Word == d.Word)
			}) {
				errs.Add(r.Pos, "block %s has been decided above; there is one decision for a block, or one for a word of it", l.BlockName(d.Block))
			}
			all = append(all, d)
		}
	}
	return all, errs.Err()
}

// readDecision reads one record.
func readDecision(errs *list.Errors, l *tape.Layout, r list.Record) (Decision, bool) {
	s := list.NewSettings(errs, r, 1)
	d := Decision{Pos: r.Pos}
	number := func(what string, highest uint64) uint64 {
		w, ok := s.Next(what)
		if !ok {
			return 0
		}
		v, err := l.Style().Parse(w.Text)
		switch {
		case err != nil:
			s.Wrong("%v", err)
		case v > highest:
			s.Wrong("%s is too large for %s", w.Text, what)
		}
		return v
	}
	text := func(after, what string) string {
		s.Name(after)
		w, ok := s.Next(what)
		if ok && w.Text == "" {
			s.Wrong("nothing stands between the quotes; %s belongs there", what)
		}
		return w.Text
	}
	s.Name("block")
	d.Block = int(number("a block number", 1<<30))
	if s.Name("take", "word") == 0 {
		w, _ := s.Next("a mixture such as " + l.BlockName(d.Block) + ".a")
		d.Mixture = w.Text
		if s.Peek().Text != "by" && s.More() {
			w, _ := s.Next("a digest")
			if d.Digest = w.Text; !digits.MatchString(w.Text) {
				s.Wrong("%q is no digest of a reading; copy it from the report, such as %s 3f2a", w.Text, d.Mixture)
			}
		}
	} else {
		d.Word = int(number("a word of the block", 1<<20))
		s.Name("is")
		d.Value = memory.Word(number("a word", uint64(memory.Mask(l.Width()))))
	}
	d.By = text("by", "a name")
	d.On = text("on", "a date")
	if s.OK() && !date.MatchString(d.On) {
		s.Wrong("%q is no date; write it as 2026-11-25", d.On)
	}
	d.Because = text("because", "a reason")
	if s.More() {
		w, _ := s.Next("nothing")
		s.Wrong("%q is one word too many; put a reason of several words in quotes", w.Text)
	}
	return d, s.OK()
}

// decide carries out what was decided about this block. What cannot be is noted.
func (s *settling) decide() {
	s.b.digests()
	defer s.b.digests() // a word decided is a word of the mixtures
	for i := range s.Decisions {
		if s.Decisions[i].Block != s.b.Number {
			continue
		}
		if err := s.carryOut(i); err != nil {
			s.refused.Add(s.Decisions[i].Pos, "%v", err)
		}
	}
}

// carryOut carries out decision n.
func (s *settling) carryOut(n int) error {
	b, d := s.b, &s.Decisions[n]
	switch {
	case b.State == Lost:
		return fmt.Errorf("block %s is lost: there is nothing to choose from", b.Name)
	case b.State == Settled && b.Rule != "decision":
		return fmt.Errorf("block %s is not doubtful: it is settled by its %s", b.Name, b.Rule)
	case d.Mixture != "":
		return s.takeMixture(n)
	}
	return s.setWord(n)
}

// takeMixture takes one of the mixtures of the block. Where nobody puts a name to it that is a try and settles nothing.
func (s *settling) takeMixture(n int) error {
	b, d := s.b, &s.Decisions[n]
	x, err := b.meant(d)
	if err != nil {
		return err
	}
	d.Mixture, d.Digest = x.Name, x.Digest
	b.Raw, b.Taken = x.raw, x.Name
	if d.By == "" {
		return nil
	}
	if !x.Passes {
		d.Against = s.fails(x.raw)
	}
	for _, w := range b.Doubts {
		s.decided[w.Word+b.DataAt] = n
	}
	b.Doubts = nil
	s.settleDecided()
	return nil
}

// fails says what a block that is taken all the same fails by.
func (s *settling) fails(raw []memory.Word) string {
	p := s.Layout.Prove(raw)
	switch kind := wrongKind(&p); kind {
	case "":
	case "stray":
		return "parity is wrong with it"
	default:
		return "its " + kind + " is wrong with it"
	}
	return "nothing recorded proves it"
}

// setWord decides one word. Mixtures that have it otherwise are out; if that leaves one, its other words go with it.
func (s *settling) setWord(n int) error {
	b, d := s.b, &s.Decisions[n]
	i := d.Word + b.DataAt
	at := slices.IndexFunc(b.Doubts, func(w Doubt) bool { return w.Word == d.Word })
	if at < 0 {
		return fmt.Errorf("word %s of block %s is not doubtful", s.Layout.Style().Number(uint64(d.Word)), b.Name)
	}
	var left []Mixture
	passing := false
	for _, x := range b.Mixtures {
		passing = passing || x.Passes
		if x.Passes && x.raw[i] == d.Value {
			left = append(left, x)
		}
	}
	s.decided[i] = n
	b.Doubts = slices.Delete(slices.Clone(b.Doubts), at, at+1)
	if len(left) == 0 {
		b.Raw = slices.Clone(b.Raw)
		b.Raw[i] = d.Value
		if d.Against = s.fails(b.Raw); passing {
			d.Against = "no mixture that passes has it so"
		}
		for k := range b.Mixtures {
			x := &b.Mixtures[k]
			x.raw = slices.Clone(x.raw)
			x.raw[i], x.Passes = d.Value, false
		}
	} else {
		b.Mixtures, b.Raw = left, left[0].raw
		if len(left) == 1 {
			b.Taken = left[0].Name
		}
		b.Doubts = slices.DeleteFunc(b.Doubts, func(w Doubt) bool {
			k := w.Word + b.DataAt
			goes := s.sure() && !slices.ContainsFunc(left, func(x Mixture) bool { return x.raw[k] != b.Raw[k] })
			if goes {
				s.decided[k] = n // by the sum, once the one word is decided
			}
			return goes
		})
	}
	if len(b.Doubts) == 0 {
		s.settleDecided()
	}
	return nil
}

// settleDecided closes a block that is decided. What a person decides against what is recorded is kept, and never taken for
// settled.
func (s *settling) settleDecided() {
	s.b.State, s.b.Rule = Settled, "decision"
	for _, d := range s.Decisions {
		if d.Block == s.b.Number && d.Against != "" {
			s.b.State = Decided
		}
	}
}
