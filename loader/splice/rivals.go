package splice

import (
	"slices"

	"coldstart/memory"
)

// rivals looks for another reading of a block that passes as well, made of the one that was proved and of what the other
// passes have otherwise, however many agree on what was proved: that they agree proves nothing. Errors that make up for each
// other in a sum show in this way. Few are tried, so that one that passes is no accident.
func (s *settling) rivals(winners uint16) {
	b := s.b
	var others []*reading
	for _, r := range s.readings {
		if r != nil && !(r.piece.proven && s.superseded(r.piece.raw)) {
			others = append(others, r)
		}
	}
	if len(others) == 0 {
		return
	}
	x := s.against(b.Raw, winners, others)
	levels := [][]dispute{runs(x.words, b.Raw, 8), runs(x.words, b.Raw, 0), x.words}
	var kept [][]memory.Word
	for i := len(levels) - 1; i >= 0; i-- {
		if n := ways(levels[i]); n == 1 || !s.unlikely(n) || n > s.Bounds.Mixtures {
			continue
		}
		t := s.try(b.Number, b.Raw, levels[i], s.Bounds.Mixtures)
		for _, c := range t.passing {
			kept = append(kept, assemble(b.Raw, t.disputes, c))
		}
		break
	}
	// And what two other passes have against it, taken all together: the drive may have written the block anew, and what
	// passes be the older one.
	if raw, some := s.outvoted(b.Raw, x); some {
		if s.form.passes(raw, b.Number) && !slices.ContainsFunc(kept, func(k []memory.Word) bool { return slices.Equal(k, raw) }) {
			kept = append(kept, raw)
		}
	}
	kept = slices.DeleteFunc(kept, func(k []memory.Word) bool { return slices.Equal(k, b.Raw) || s.superseded(k) })
	if len(kept) == 0 {
		return
	}
	s.keep(b.Raw, len(b.Passed), true)
	for _, raw := range kept {
		s.keep(raw, 0, true)
	}
	b.State, b.Rule = Doubtful, "none"
	b.Remarks = append(b.Remarks, "a whole copy passes, and so does a mixture with another")
	s.doubtBetween()
}

// astray doubts a copy that passes, and is itself the one that slipped: where two other passes stand shifted against it by as
// much in the same place. Some sums pass words that are all shifted alike.
func (s *settling) astray() {
	b := s.b
	if b.State != Settled {
		return
	}
	if len(b.Passed) < 2 && s.filledUp() {
		s.distrust("it ends in zeros, and another pass has words more: it may have lost them, and still pass")
		return
	}
	if s.rewritten() {
		s.distrust("behind the copy that passes there are later ones, and two passes have those otherwise")
		return
	}
	type place struct{ word, moved int }
	seen := map[place]uint16{}
	for _, r := range s.readings {
		if r == nil || r.other(b.Raw) {
			continue
		}
		for _, sl := range r.slips {
			if sl.bit == 0 {
				continue // where the reader took the block to begin is no slip of the tape
			}
			at := sl.bit / s.Layout.Width()
			for near := at - 1; near <= at+1; near++ {
				seen[place{near, sl.moved}] |= 1 << r.piece.pass
			}
		}
	}
	for _, passes := range seen {
		if ones(passes) < 2 {
			continue
		}
		s.distrust("two passes stand shifted alike against the copy that passes")
		return
	}
}

// distrust doubts a block though a whole copy of it passes.
func (s *settling) distrust(why string) {
	b := s.b
	b.State, b.Rule = Doubtful, "none"
	b.Remarks = append(b.Remarks, why)
	s.keep(b.Raw, len(b.Passed), true)
	s.doubtAll()
}

// rewritten says whether two passes have a later copy of the block behind the one that passes, and are of one mind about a
// word that it has otherwise: the drive may have written the block anew with other words.
func (s *settling) rewritten() bool {
	older := map[[2]int]bool{} // pass and decode
	type claim struct {
		at   int
		word memory.Word
	}
	later := map[claim]uint16{}
	for k, p := range s.pieces {
		from, r := [2]int{p.pass, p.decode}, s.readings[k]
		if r == nil {
			older[from] = true
			continue
		}
		if !older[from] {
			continue
		}
		for i, w := range s.b.Raw {
			if !r.has[i] || r.raw[i] == w {
				continue
			}
			c := claim{i, r.raw[i]}
			if later[c] |= 1 << p.pass; ones(later[c]) > 1 {
				return true
			}
		}
	}
	return false
}

// filledUp says whether the block ends in zeros where another pass has bits more. Many sums make 0 of a block and its own
// sum, so that one which lost some words that add up to nothing passes, with zeros in the place of its sum.
func (s *settling) filledUp() bool {
	bits := s.Layout.Bits(s.b.Raw)
	for _, r := range s.readings {
		if r == nil {
			continue
		}
		for _, sl := range r.slips {
			if n := s.Layout.Width(); sl.bit > 0 && sl.moved >= n && !slices.Contains(bits[len(bits)-n:], 1) {
				return true
			}
		}
	}
	return false
}

// against lists what readings have otherwise than a block that passes; its own words are always the first option.
func (s *settling) against(raw []memory.Word, winners uint16, others []*reading) *mixing {
	x := &mixing{base: raw}
	for i, w := range raw {
		options := []option{{[]memory.Word{w}, winners}}
		for _, r := range others {
			if i >= len(r.raw) || !r.has[i] {
				continue
			}
			k := slices.IndexFunc(options, func(o option) bool { return o.words[0] == r.raw[i] })
			if k < 0 {
				k = len(options)
				options = append(options, option{words: []memory.Word{r.raw[i]}})
			}
			options[k].passes |= 1 << r.piece.pass
		}
		if len(options) > 1 {
			x.words = append(x.words, dispute{i, i, options})
		}
	}
	return x
}

// outvoted makes the block that two or more passes agree on against a copy that passes, and says whether they do anywhere.
func (s *settling) outvoted(raw []memory.Word, x *mixing) ([]memory.Word, bool) {
	out, some := slices.Clone(raw), false
	for _, d := range x.words {
		for _, o := range d.options[1:] {
			if o.witnesses() > 1 {
				out[d.first], some = o.words[0], true
				break
			}
		}
	}
	return out, some
}
