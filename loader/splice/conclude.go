package splice

import (
	"fmt"
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// conclude says what the mixtures that pass come to.
func (s *settling) conclude(t tried) {
	b, x := s.b, s.mixing
	if b.Tried > 0 {
		b.Chance = chance(b.Tried, s.form.strength)
	}
	if len(x.missing) > 0 {
		b.State, b.Raw = Lost, nil
		b.Remarks = append(b.Remarks, fmt.Sprintf("%d of its words are in no pass", len(x.missing)))
		return
	}
	if len(t.passing) == 0 {
		b.State, b.Raw = Doubtful, x.base
		s.keep(x.base, 0, false)
		if stray, only := s.onlyParity(x.base); only {
			b.Remarks = append(b.Remarks, "all is right but the parity of words that every pass reads alike")
			for _, i := range stray {
				s.doubt(i)
			}
			return
		}
		if p := s.Layout.Prove(x.base); p.Check == tape.Right && p.Sum == tape.Wrong {
			b.Remarks = append(b.Remarks, "the block check is right and the sum is not: it may have been recorded so")
		}
		s.doubtAll()
		return
	}
	for _, c := range t.passing {
		n := 0
		for d, k := range c {
			n += t.disputes[d].options[k].witnesses()
		}
		s.keep(assemble(x.base, t.disputes, c), n, true)
	}
	for _, raw := range t.elsewhere {
		if !slices.ContainsFunc(b.Mixtures, func(x Mixture) bool { return slices.Equal(x.raw, raw) }) {
			s.keep(raw, 0, true)
		}
	}
	slices.SortStableFunc(b.Mixtures, func(a, b Mixture) int { return b.Witnesses - a.Witnesses })
	for i := range b.Mixtures {
		b.Mixtures[i].Name = b.Name + "." + letters(i)
	}
	b.Raw = b.Mixtures[0].raw
	switch sure := s.sure(); {
	case sure && len(b.Mixtures) == 1 && s.betterBut(t):
		b.State = Doubtful
		b.Remarks = append(b.Remarks, "more passes are behind another mixture, which a single bit keeps from passing")
		s.doubtAll()
	case sure && len(b.Mixtures) == 1:
		b.State, b.Rule, b.Mixtures = Settled, "mixture", nil
		for _, d := range x.words {
			b.Disputed = append(b.Disputed, s.readingsOf(d.first))
		}
		s.uncovered()
	case sure:
		b.State = Doubtful
		s.doubtBetween()
	default:
		b.State = Doubtful
		s.doubtAll()
	}
}

// onlyParity gives the words whose parity is wrong, and whether nothing else is: what check and sum prove, a wrong parity does
// not undo but in the word itself.
func (s *settling) onlyParity(raw []memory.Word) (stray []int, only bool) {
	p := s.Layout.Prove(raw)
	stray, p.Stray = p.Stray, nil
	return stray, len(stray) > 0 && s.form.proves(raw, &p) && (!s.form.numbered || s.Layout.Fields(raw).Number == uint64(s.b.Number))
}

// betterBut says whether a mixture with more witnesses than the only one that passes would pass if a single bit of it were
// otherwise: a bit that all passes have wrong, and which the one that passes makes up for with another error.
func (s *settling) betterBut(t tried) bool {
	wanted := s.b.Mixtures[0].Witnesses
	raw := slices.Clone(s.mixing.base)
	better := false
	var choose func(d, witnesses int)
	choose = func(d, witnesses int) {
		if better {
			return
		}
		if d == len(t.disputes) {
			better = witnesses > wanted && s.oneBitOff(raw)
			return
		}
		for _, o := range t.disputes[d].options {
			copy(raw[t.disputes[d].first:], o.words)
			choose(d+1, witnesses+o.witnesses())
		}
	}
	choose(0, 0)
	return better
}

// oneBitOff says whether one bit otherwise somewhere would make words pass. Sums do not care where it is, so that two words
// will do for each bit: one that has it and one that has not.
func (s *settling) oneBitOff(raw []memory.Word) bool {
	covered := s.form.shape(len(raw)).covered
	for bit := range s.Layout.Width() {
		var had [2]bool
		for i := range raw {
			is := raw[i] >> bit & 1
			if !covered[i] || had[is] {
				continue
			}
			had[is] = true
			raw[i] ^= 1 << bit
			p := s.Layout.Prove(raw)
			raw[i] ^= 1 << bit
			if p.Sum == tape.Right && p.Check != tape.Wrong {
				return true
			}
			if had[0] && had[1] {
				break
			}
		}
	}
	return false
}

// guess notes which single bit the check code of a copy names, where one bit would make it right. It is never taken: three
// wrong bits can look like another one.
func (s *settling) guess() {
	b := s.b
	for _, p := range s.pieces {
		word, bit, found := s.Layout.OneWrong(p.raw)
		if !found {
			continue
		}
		raw := slices.Clone(p.raw)
		raw[word] ^= 1 << bit
		s.b.Guesses = append(b.Guesses, Guess{Pass: s.Passes[p.pass].Name, Word: word - b.DataAt, Bit: bit, Reads: raw[word], Passes: s.form.passes(raw, b.Number)})
	}
}

// keep adds a mixture.
func (s *settling) keep(raw []memory.Word, witnesses int, passes bool) {
	b := s.b
	b.Mixtures = append(b.Mixtures, Mixture{
		Name: b.Name + "." + letters(len(b.Mixtures)), Passes: passes, Witnesses: witnesses, raw: raw,
	})
}

// letters counts a, b, up to z, then aa, ab.
func letters(n int) string {
	s := ""
	for n++; n > 0; n = (n - 1) / 26 {
		s = string(rune('a'+(n-1)%26)) + s
	}
	return s
}

// doubtBetween doubts the words in which the mixtures kept differ, and those in which the copies do, unless there are proved
// ones: that the same choice is in all mixtures that pass does not prove it.
func (s *settling) doubtBetween() {
	first := s.b.Mixtures[0].raw
	for i := range first {
		if slices.ContainsFunc(s.b.Mixtures[1:], func(x Mixture) bool { return i < len(x.raw) && x.raw[i] != first[i] }) || s.copiesDiffer(i) {
			s.doubt(i)
		}
	}
}

// copiesDiffer says whether copies differ in word i of a block that none of them proves.
func (s *settling) copiesDiffer(i int) bool {
	if len(s.b.Passed) > 0 || s.form.shape(len(s.b.Raw)).mark[i] {
		return false
	}
	for _, r := range s.readings {
		if r != nil && i < len(r.raw) && i < len(r.has) && r.has[i] && r.raw[i] != s.b.Raw[i] {
			return true
		}
	}
	return false
}

// doubtAll doubts every word but those the layout knows: nothing proves the others, however many passes agree.
func (s *settling) doubtAll() {
	mark := s.form.shape(len(s.b.Raw)).mark
	for i := range s.b.Raw {
		if !mark[i] {
			s.doubt(i)
		}
	}
}

// uncovered doubts the words of a block that passes which neither check nor sum is made over.
func (s *settling) uncovered() {
	if s.b.State != Settled {
		return
	}
	shape := s.form.shape(len(s.b.Raw))
	for i, covered := range shape.covered {
		if covered || shape.mark[i] || shape.count[i] && !s.form.vary {
			continue
		}
		s.doubt(i)
	}
	if len(s.b.Doubts) > 0 {
		s.b.State, s.b.bare, s.b.Rule = Doubtful, s.b.Rule, "none"
	}
}

// doubt notes a word as doubtful.
func (s *settling) doubt(i int) { s.b.Doubts = append(s.b.Doubts, s.readingsOf(i)) }

// readingsOf lists every way word i of the block was read, the one it has first.
func (s *settling) readingsOf(i int) Doubt {
	b := s.b
	d := Doubt{Block: b.Name, Number: b.Number, Word: i - b.DataAt}
	add := func(w memory.Word) *Reading {
		for k := range d.Readings {
			if d.Readings[k].Word == w {
				return &d.Readings[k]
			}
		}
		d.Readings = append(d.Readings, Reading{Word: w})
		return &d.Readings[len(d.Readings)-1]
	}
	add(b.Raw[i])
	for k, p := range s.pieces {
		raw, has := p.raw, true
		if r := s.readings[k]; r != nil {
			raw = r.raw
			has = i < len(r.has) && r.has[i]
		}
		if !has || i >= len(raw) {
			continue
		}
		r := add(raw[i])
		if name := s.Passes[p.pass].Name; !slices.Contains(r.Passes, name) {
			r.Passes = append(r.Passes, name)
		}
	}
	for _, x := range b.Mixtures {
		if i < len(x.raw) {
			r := add(x.raw[i])
			r.In = append(r.In, x.Name)
		}
	}
	return d
}

// chance says how rare an accident would be, as "1 in 4,096", or "likely" where it is none.
func chance(count, strength int) string {
	if strength > 62 {
		strength = 62
	}
	n := (1 << strength) / count
	if n <= 1 {
		return "1 in 1"
	}
	text := fmt.Sprint(n)
	for at := len(text) - 3; at > 0; at -= 3 {
		text = text[:at] + "," + text[at:]
	}
	return "1 in " + text
}
