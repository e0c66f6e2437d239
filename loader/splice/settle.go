package splice

import (
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// block merges the copies of one block.
func (m *merger) block(number int) *Block {
	pieces := m.latest(m.pieces[number])
	b := &Block{Number: number, Name: m.Layout.BlockName(number), DataAt: m.Layout.DataAt(), Rule: "none"}
	b.Copies = make([]Copy, len(m.Passes))
	for i := range b.Copies {
		b.Copies[i] = Copy{State: "lost", At: -1}
	}
	s := &settling{merger: m, b: b, pieces: pieces, decided: map[int]int{}}
	if len(pieces) == 0 {
		s.decide()
		return b
	}
	switch good := s.good(); {
	case len(good) > 0 && s.againstBlank(good):
	case len(good) > 0:
		s.settleWhole(good)
	default:
		s.settleParts()
	}
	if b.State != Settled {
		s.guess()
	}
	s.decide()
	s.copies()
	s.note()
	for _, p := range pieces {
		p.bits = nil // eight times the room of its words
	}
	return b
}

// mostCopies is how many copies of a block on one decode count. A drive rewrites a block once or twice.
const mostCopies = 6

// latest leaves out all but the last copies of each decode, and the last that is proved.
func (m *merger) latest(pieces []*piece) []*piece {
	if len(pieces) <= mostCopies {
		return pieces
	}
	behind, proved := map[[2]int]int{}, map[[2]int]bool{}
	var kept []*piece
	for _, p := range slices.Backward(pieces) {
		from := [2]int{p.pass, p.decode}
		if behind[from] < mostCopies || p.proven && !proved[from] {
			kept = append(kept, p)
		}
		behind[from]++
		proved[from] = proved[from] || p.proven
	}
	slices.Reverse(kept)
	return kept
}

// A settling is the merge of one block under way.
type settling struct {
	*merger
	b        *Block
	pieces   []*piece
	frame    []byte
	readings []*reading // of all pieces, in the frame; one of a piece that is proved may be nil until it is needed
	mixing   *mixing
	tried    int         // mixtures, in all frames
	moved    int         // copies tried that were moved back
	decided  map[int]int // words of Raw, and the decision behind each
}

// sure says that so few mixtures were tried that one that passes is no accident.
func (s *settling) sure() bool { return s.unlikely(max(1, s.b.Tried)) && !s.b.Cut }

// good gives the proved copies, each as a group of those that are alike. Of several on one decode the last counts: a drive
// that rewrites a block leaves the older one where it was.
func (s *settling) good() (groups [][]*piece) {
	// A proved copy of another number, which only its place has brought here, has slipped in a way that its sum does not see.
	for i, p := range s.pieces {
		if !s.provedHere(p) || slices.ContainsFunc(s.pieces[i+1:], func(q *piece) bool {
			return s.provedHere(q) && q.pass == p.pass && q.decode == p.decode && (slices.Equal(q.raw, p.raw) || s.anew(p, q))
		}) {
			continue
		}
		if g := slices.IndexFunc(groups, func(g []*piece) bool { return slices.Equal(g[0].raw, p.raw) }); g >= 0 {
			groups[g] = append(groups[g], p)
		} else {
			groups = append(groups, []*piece{p})
		}
	}
	// What one pass shows to be superseded is so on the others too, if those that have nothing newer are the fewer.
	left := slices.DeleteFunc(slices.Clone(groups), func(g []*piece) bool {
		return s.superseded(g[0].raw) && 2*passesOf(g) < passesOf(slices.Concat(groups...))
	})
	if len(left) > 0 {
		groups = left
	}
	slices.SortStableFunc(groups, func(a, b []*piece) int { return passesOf(b) - passesOf(a) })
	return groups
}

// superseded says whether some decode has words as a copy that is proved, and behind it another one that is.
func (s *settling) superseded(raw []memory.Word) bool {
	for i, p := range s.pieces {
		if s.provedHere(p) && slices.Equal(p.raw, raw) && slices.ContainsFunc(s.pieces[i+1:], func(q *piece) bool {
			return s.provedHere(q) && q.pass == p.pass && q.decode == p.decode && !slices.Equal(q.raw, raw) && s.anew(p, q)
		}) {
			return true
		}
	}
	return false
}

// anew says whether a later copy with other words can be the block written anew: it stands behind the older one, ahead of any
// later block, and not in the place of the next one. A copy of another block that slipped, and its number and sum with it,
// stands in the place of that.
func (s *settling) anew(older, q *piece) bool {
	for _, p := range s.strips[[2]int{q.pass, q.decode}][older.seq:q.seq] {
		if p.proven && p.number > s.b.Number {
			return false
		}
	}
	return s.b.Number == s.last || s.has(q, s.b.Number+1)
}

// provedHere says whether a piece is proved as a copy of this very block.
func (s *settling) provedHere(p *piece) bool {
	return p.proven && (!s.form.numbered || !p.guessed)
}

// maskOf gives a bit for each pass that a piece is from.
func maskOf(pieces []*piece) (mask uint16) {
	for _, p := range pieces {
		mask |= 1 << p.pass
	}
	return mask
}

// passesOf counts the passes that pieces are from.
func passesOf(pieces []*piece) int {
	o := option{passes: maskOf(pieces)}
	return o.witnesses()
}

// settleWhole settles a block of which there are whole copies that pass.
func (s *settling) settleWhole(groups [][]*piece) {
	b := s.b
	winner := groups[0]
	var masks []uint16
	for _, g := range groups {
		masks = append(masks, maskOf(g))
	}
	s.whole = append(s.whole, masks)
	b.State, b.Raw, b.Rule = Settled, winner[0].raw, s.provedBy(&winner[0].proof)
	b.Count = len(b.Raw) - s.Layout.Length(0)
	for i := range s.Passes {
		if maskOf(winner)>>i&1 != 0 {
			b.Passed = append(b.Passed, i)
		}
	}
	s.readAll(winner)
	if len(groups) > 1 {
		for _, g := range groups {
			s.keep(g[0].raw, passesOf(g), true)
		}
		b.State, b.Rule = Doubtful, "none"
		b.Remarks = append(b.Remarks, "whole copies that pass are not alike")
		s.doubtBetween()
		return
	}
	s.rivals(maskOf(winner))
	s.astray()
	s.uncovered()
}

// provedBy names the strongest proof of a block that passes.
func (m *merger) provedBy(p *tape.Proof) string {
	if p.Check == tape.Right {
		return "check"
	}
	return "sum"
}

// readAll moves all pieces into the frame of a copy that passes. The copies alike need no moving.
func (s *settling) readAll(winner []*piece) {
	s.readings = make([]*reading, len(s.pieces))
	for i, p := range s.pieces {
		if slices.Contains(winner, p) || slices.Equal(p.raw, winner[0].raw) {
			continue
		}
		if s.frame == nil {
			s.frame = s.bitsOf(winner[0])
		}
		s.readings[i] = s.read(p, s.aligner.align(s.frame, s.bitsOf(p)))
	}
}

// settleParts puts a block together of copies that do not pass.
func (s *settling) settleParts() {
	b := s.b
	length := s.length()
	b.Count = length - s.Layout.Length(0)
	shape := s.form.shape(length)
	known := s.form.blank(b.Number, b.Count)
	likely := make([]bool, length)
	for i := range likely {
		likely[i] = s.form.numbered && shape.number[i] || shape.count[i]
	}
	frames := s.framing(s.pieces, length).likely()
	for i, f := range frames {
		readings := s.inFrame(f)
		x := mix(readings, known, shape.mark, likely)
		if s.mixing == nil {
			s.frame, s.readings, s.mixing = f.bits, readings, x
		}
		back, n := s.movedBack(readings)
		if s.moved += n; len(back) > 0 {
			s.frame, s.readings, s.mixing = f.bits, readings, x
			s.settleMoved(back)
			return
		}
		if len(x.missing) > 0 || s.form.strength == 0 || s.tried >= s.Bounds.Mixtures {
			continue
		}
		t := s.search(b.Number, x, s.Bounds.Mixtures-s.tried)
		b.Tried = s.tried + t.until + s.moved
		s.tried += t.count
		b.Cut = b.Cut || t.cut
		if len(t.passing) > 0 {
			s.frame, s.readings, s.mixing = f.bits, readings, x
			// Shifted words may pass as well as those in their place: what passes in another frame is a rival.
			for _, g := range frames[i+1:] {
				y := mix(s.inFrame(g), known, shape.mark, likely)
				if len(y.missing) == 0 && s.form.passes(y.base, b.Number) {
					t.elsewhere = append(t.elsewhere, y.base)
				}
			}
			s.conclude(t)
			return
		}
	}
	s.conclude(tried{})
}

// movedBack gives the copies that are whole and pass once they are moved back to their place, and how many were
// tried.
func (s *settling) movedBack(readings []*reading) (all []*reading, tried int) {
	for _, r := range readings {
		if r.moved && r.whole() {
			tried++
			if s.form.passes(r.raw, s.b.Number) {
				all = append(all, r)
			}
		}
	}
	return all, tried
}

// settleMoved settles a block by copies that pass once they are moved back.
func (s *settling) settleMoved(moved []*reading) {
	b := s.b
	p := s.Layout.Prove(moved[0].raw)
	b.State, b.Raw, b.Rule = Settled, moved[0].raw, s.provedBy(&p)
	var winners uint16
	alike := true
	for _, r := range moved {
		if !slices.Equal(r.raw, b.Raw) {
			alike = false
			continue
		}
		if winners>>r.piece.pass&1 == 0 {
			b.Passed = append(b.Passed, r.piece.pass)
		}
		winners |= 1 << r.piece.pass
	}
	b.Remarks = append(b.Remarks, "whole once it is moved back")
	if alike {
		s.rivals(winners)
		s.astray()
		s.uncovered()
		return
	}
	for _, r := range moved {
		if !slices.ContainsFunc(b.Mixtures, func(x Mixture) bool { return slices.Equal(x.raw, r.raw) }) {
			s.keep(r.raw, 1, true)
		}
	}
	b.State, b.Rule = Doubtful, "none"
	s.doubtBetween()
}

// inFrame moves all pieces into a frame.
func (s *settling) inFrame(f *frame) []*reading {
	var all []*reading
	for k, p := range s.pieces {
		all = append(all, s.read(p, f.aligned[k]))
	}
	return all
}

// length tells how many words the block has: what most of its copies say where blocks vary.
func (s *settling) length() int {
	if !s.form.vary {
		return s.usual()
	}
	votes := map[int]int{}
	best := 0
	for _, p := range s.pieces {
		h := s.Layout.Fields(p.raw)
		n := int(min(h.Count, uint64(s.form.data)))
		if !h.Counted || h.Count > uint64(s.form.data) {
			n = max(0, min(len(p.raw)-s.Layout.Length(0), s.form.data))
		}
		if votes[n]++; votes[n] > votes[best] {
			best = n
		}
	}
	return s.Layout.Length(best)
}
