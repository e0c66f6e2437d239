package splice

import (
	"fmt"
	"slices"
)

// A Witness says where a word of a merged block came from.
type Witness struct {
	Pass      string   // that gave it; "" where none did
	Decode    string   // file of the decode of that pass that gave it; "" for the first one
	Position  int      // of the block on that pass, from 0; -1 where no pass gave it
	Rule      string   // what speaks for it: check, sum, mixture, place, layout (a mark it states), decision; doubt where it is not settled
	Passes    []string // all that read it so; a word beside a slip does not count
	Doubtful  bool
	Decision  string // who decided, when and why; "" where nobody did
	Witnesses int    // passes that read it so
}

// String says it in a line, without the block and the word.
func (w Witness) String() string {
	passes := "1 pass reads"
	if w.Witnesses != 1 {
		passes = fmt.Sprintf("%d passes read", w.Witnesses)
	}
	from := w.Pass
	if w.Decode != "" {
		from += ", as decoded in " + w.Decode + ","
	}
	switch {
	case w.Decision != "":
		return "decided by " + w.Decision + "; " + passes + " it so"
	case w.Pass == "":
		return "read so in no pass; by " + w.Rule
	case w.Doubtful:
		return fmt.Sprintf("DOUBTFUL, as in %s at position %d; %s it so", from, w.Position, passes)
	}
	return fmt.Sprintf("%s at position %d, settled by %s; %s it so", from, w.Position, w.Rule, passes)
}

// A run is a stretch of words of a block that came from the same places.
type run struct {
	first, count int // words of Raw
	from         int // index of the pass that gave them; -1 where none did
	decode, at   int // which decode of that pass, and where the block stands on it
	passes       uint16
	rule         string
	doubtful     bool
	decision     int // index into the decisions; -1 for none
}

// same says whether two runs differ in nothing but their place.
func (r run) same(q run) bool {
	r.first, r.count = q.first, q.count
	return r == q
}

// copies notes what each pass has of the block, and where each word came from.
func (s *settling) copies() {
	b := s.b
	for i := range s.Passes {
		b.Copies[i] = s.copyOf(i)
	}
	if b.Raw != nil {
		s.runs()
	}
}

// copyOf tells what one pass has of the block, by the copy that fits best.
func (s *settling) copyOf(pass int) Copy {
	c := Copy{State: "lost", At: -1}
	var best *piece
	var read *reading
	decode := -1
	for k, p := range s.pieces {
		if p.pass != pass {
			continue
		}
		c.Twice = c.Twice || p.decode == decode
		decode = p.decode
		var r *reading
		if s.readings != nil {
			r = s.readings[k]
		}
		switch {
		case best != nil && read == nil && best.decode != p.decode:
			continue // an earlier decode has it as well
		case best == nil, r == nil, p.proven && !best.proven:
		case read == nil, best.proven && !p.proven, r.cost > read.cost:
			continue
		}
		best, read = p, r
	}
	if best == nil {
		return c
	}
	c.Decode = s.Passes[pass].decode(best.decode)
	c.At, c.Mended = best.at, best.mended
	c.State = s.stateOf(best, read)
	if read == nil {
		return c
	}
	c.Other = read.other(s.b.Raw)
	for _, sl := range read.slips {
		if c.Other {
			break // they mean nothing
		}
		c.Slips = append(c.Slips, Slip{Word: sl.bit/s.Layout.Width() - s.b.DataAt, Bits: sl.moved})
	}
	for i, has := range read.has {
		switch {
		case !has:
			c.Unread++
		case i < len(s.b.Raw) && read.raw[i] != s.b.Raw[i]:
			c.Differ++
		}
	}
	return c
}

// stateOf names the state of a copy in a word.
func (s *settling) stateOf(p *piece, r *reading) string {
	wrong := wrongKind(&p.proof)
	switch {
	case p.proven && p.proof.Blank:
		return "blank"
	case p.proven:
		return "good"
	case r != nil && r.other(s.b.Raw):
		return "other"
	case r != nil && len(r.slips) > 0:
		return "slip"
	case r != nil && !r.whole():
		return "short"
	case wrong != "":
		return wrong
	case s.form.strength > 0:
		return "blank" // it passes, but all of its words are one
	}
	return "read"
}

// runs notes where each word of the block came from.
func (s *settling) runs() {
	b := s.b
	var alike uint16 // passes with a copy like the block in every word
	var others []*reading
	for k, p := range s.pieces {
		switch {
		case slices.Equal(p.raw, b.Raw):
			alike |= 1 << p.pass
		case s.readings != nil && s.readings[k] != nil:
			others = append(others, s.readings[k])
		}
	}
	var passed uint16
	for _, i := range b.Passed {
		passed |= 1 << i
	}
	doubts, shape := b.Doubts, s.form.shape(len(b.Raw))
	for i, w := range b.Raw {
		r := run{first: i, count: 1, passes: alike, rule: b.Rule, from: -1, decision: -1}
		for _, o := range others {
			if i < len(o.raw) && o.has[i] && !o.near[i] && o.raw[i] == w {
				r.passes |= 1 << o.piece.pass
			}
		}
		if shape.mark[i] {
			r.passes = s.marked(i)
		}
		if len(doubts) > 0 && doubts[0].Word == i-b.DataAt {
			r.doubtful, r.rule = true, "doubt"
			doubts = doubts[1:]
		} else if b.bare != "" {
			r.rule = b.bare
		} else if b.State == Doubtful || b.Rule == "decision" {
			r.rule = "mixture" // alike in all that pass
		}
		if r.passes == 0 && !r.doubtful {
			switch {
			case shape.mark[i]:
				r.rule = "layout"
			case shape.number[i] && s.form.numbered:
				r.rule = "place"
			}
		}
		if n, is := s.decided[i]; is {
			r.rule, r.decision = "decision", n
		}
		r.from = first(r.passes, passed)
		if r.at = -1; r.from >= 0 {
			r.decode, r.at = s.source(r.from, i)
		}
		if n := len(b.runs); n > 0 && b.runs[n-1].same(r) {
			b.runs[n-1].count++
			continue
		}
		b.runs = append(b.runs, r)
	}
}

// source tells which decode of a pass gave word i of the block, and the position of the block on it: a whole copy before one
// that only has the word so.
func (s *settling) source(pass, i int) (decode, at int) {
	found := false
	for k, p := range s.pieces {
		if p.pass != pass {
			continue
		}
		if slices.Equal(p.raw, s.b.Raw) {
			return p.decode, p.at
		}
		if s.readings == nil || s.readings[k] == nil {
			continue
		}
		if r := s.readings[k]; !found && i < len(r.raw) && r.has[i] && !r.near[i] && r.raw[i] == s.b.Raw[i] {
			decode, at, found = p.decode, p.at, true
		}
	}
	if !found {
		return 0, s.b.Copies[pass].At
	}
	return decode, at
}

// decode names the file of a decode; "" for the first one, which is the pass itself.
func (p *Pass) decode(i int) string {
	if i == 0 || i >= len(p.Files) {
		return ""
	}
	return p.Files[i]
}

// marked gives the passes that have word i of the mark right as recorded: one that was put right reads nothing.
func (s *settling) marked(i int) (passes uint16) {
	for k, p := range s.pieces {
		raw := p.raw
		if s.readings != nil && s.readings[k] != nil {
			raw = s.readings[k].raw
		}
		if !p.mended && i < len(raw) && raw[i] == s.b.Raw[i] {
			passes |= 1 << p.pass
		}
	}
	return passes
}

// first picks the pass that counts as the source: of those that passed the first, else the first of all; -1 for none.
func first(passes, passed uint16) int {
	for _, mask := range []uint16{passes & passed, passes} {
		for i := range mostPasses {
			if mask>>i&1 != 0 {
				return i
			}
		}
	}
	return -1
}

// Whence tells where a word of a merged block came from: word of its data, from 0; below 0 in its header. False where there
// is no such block or word.
func (m *Merged) Whence(block, word int) (Witness, bool) {
	at := slices.IndexFunc(m.Blocks, func(b *Block) bool { return b.Number == block })
	if at < 0 {
		return Witness{}, false
	}
	b := m.Blocks[at]
	i := word + b.DataAt
	for _, r := range b.runs {
		if i >= r.first && i < r.first+r.count {
			return m.witness(b, r), true
		}
	}
	return Witness{}, false
}

// witness puts a run in names.
func (m *Merged) witness(b *Block, r run) Witness {
	w := Witness{Position: -1, Rule: r.rule, Doubtful: r.doubtful}
	for i, p := range m.Passes {
		if r.passes>>i&1 != 0 {
			w.Passes = append(w.Passes, p.Name)
		}
	}
	w.Witnesses = len(w.Passes)
	if r.from >= 0 {
		w.Pass, w.Decode, w.Position = m.Passes[r.from].Name, m.Passes[r.from].decode(r.decode), r.at
	}
	if r.decision >= 0 {
		w.Decision = m.Decisions[r.decision].String()
	}
	return w
}
