package splice

import "slices"

// A sum is right of nothing too: a stretch of tape that was wiped, or read as zeros, can pass. So a blank copy settles a
// block only where no other copy says that something stood there.

// againstBlank settles a block whose only proved copies are blank while others are not: as the others come to without them,
// with the blank reading kept beside it, and all of it in doubt. False where that is not so, and nothing is done.
func (s *settling) againstBlank(good [][]*piece) bool {
	if slices.ContainsFunc(good, func(g []*piece) bool { return !g[0].proof.Blank }) {
		return false
	}
	written := s.written()
	if len(written) == 0 {
		return false
	}
	b, all := s.b, s.pieces
	s.pieces = written
	s.settleParts()
	s.pieces = all
	b.Remarks, b.Rule, b.Doubts, b.Disputed = nil, "none", nil, nil
	b.Remarks = append(b.Remarks, "a blank copy passes, and other copies are not blank: a sum is right of nothing too")
	switch blank := good[0][0].raw; {
	case b.State == Lost:
		b.Raw, b.Count = blank, len(blank)-s.Layout.Length(0)
		s.readAll(good[0])
		s.keep(blank, passesOf(good[0]), true)
	default:
		s.spread(written)
		if b.State == Settled {
			s.keep(b.Raw, max(1, len(b.Passed)), true)
		}
		if len(blank) == len(b.Raw) {
			s.keep(blank, passesOf(good[0]), true)
		}
	}
	b.State, b.Passed, b.bare = Doubtful, nil, ""
	s.doubtAll()
	return true
}

// written gives the copies that are not blank: with other words than 0 in more places than a dropout or two leave in a blank
// block, or with such a word that two passes agree on.
func (s *settling) written() []*piece {
	type at struct {
		word  int
		value uint64
	}
	agree := map[at]uint16{}
	full := map[*piece]bool{}
	for _, p := range s.pieces {
		n := 0
		for i := s.b.DataAt; i < len(p.raw) && !p.proof.Blank; i++ {
			if p.raw[i] == 0 || i == len(p.raw)-1 {
				continue // the last may be a sum, which a blank block has too
			}
			n++
			agree[at{i, uint64(p.raw[i])}] |= 1 << p.pass
		}
		full[p] = n > max(1, len(p.raw)/16)
	}
	together := uint16(0)
	for _, mask := range agree {
		if ones(mask) > 1 {
			together |= mask
		}
	}
	return slices.DeleteFunc(slices.Clone(s.pieces), func(p *piece) bool {
		return p.proof.Blank || !full[p] && together>>p.pass&1 == 0
	})
}

// spread gives every copy a reading again, after only some have been read. The others are taken as they stand: what is
// blank cannot be aligned.
func (s *settling) spread(read []*piece) {
	readings := make([]*reading, len(s.pieces))
	for i, p := range s.pieces {
		if k := slices.Index(read, p); k >= 0 {
			readings[i] = s.readings[k]
			continue
		}
		r := &reading{piece: p, raw: p.raw, has: make([]bool, len(s.b.Raw)), near: make([]bool, len(s.b.Raw))}
		for w := range min(len(r.has), len(p.raw)) {
			r.has[w] = true
		}
		readings[i] = r
	}
	s.readings = readings
}
