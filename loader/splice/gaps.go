package splice

import (
	"slices"

	"coldstart/loader/tape"
)

// gaps puts the pieces of a strip whose number is not proved: each run of them lies between two that are, and so holds the
// blocks missing between those, or damaged copies of the two themselves.
func (m *merger) gaps(s strip) {
	before := m.first - 1
	for i := 0; i < len(s); {
		if m.placed(s[i]) {
			before = s[i].number
			i++
			continue
		}
		end := i
		for end < len(s) && !m.placed(s[end]) {
			end++
		}
		after := m.last + 1
		if end < len(s) {
			after = s[end].number
		} else if m.last < m.first {
			after = before + 1 + end - i
		}
		m.gap(s[i:end], before, after)
		i = end
	}
}

// gap puts a run of pieces that lies behind block before and ahead of block after.
func (m *merger) gap(run strip, before, after int) {
	wanted := m.absent(run[0], before, after)
	rest := m.claimed(run, &wanted)
	rest, wanted = m.found(rest, wanted, before, after)
	rest = slices.DeleteFunc(rest, func(p *piece) bool { return p.rubbish && 2*len(p.raw) < m.Layout.Length(0)+m.form.data })
	// What is left is named by its place, where there is no more than one way to do that.
	if len(rest) == len(wanted) {
		for i, p := range rest {
			m.put(p, wanted[i])
		}
		return
	}
	for _, p := range rest {
		if p.proof.Mark == tape.Right && m.expected(p.number) {
			m.put(p, p.number) // a damaged copy that names itself out of its row
		}
	}
}

// absent gives the numbers between before and after that this decode has no copy of, if the recording ascends there.
func (m *merger) absent(p *piece, before, after int) []int {
	var all []int
	for n := before + 1; n < after && len(all) < len(m.pieces)+64; n++ {
		if !m.has(p, n) {
			all = append(all, n)
		}
	}
	return all
}

// has says whether the decode that p is on has a copy of that block.
func (m *merger) has(p *piece, number int) bool {
	for _, q := range m.pieces[number] {
		if q.pass == p.pass && q.decode == p.decode {
			return true
		}
	}
	return false
}

// claimed puts the pieces of a run that name themselves, in their row and about as long as a block, and gives the others.
func (m *merger) claimed(run strip, wanted *[]int) strip {
	var rest strip
	for _, p := range run {
		at := slices.Index(*wanted, p.number)
		long := len(p.raw) - m.lengthOf(p)
		if at < 0 || p.proof.Mark != tape.Right || max(long, -long) > m.Bounds.Slip/m.Layout.Width() {
			rest = append(rest, p)
			continue
		}
		m.put(p, p.number)
		*wanted = slices.Concat((*wanted)[:at], (*wanted)[at+1:])
	}
	return rest
}

// usual is the length of a block in words, of the longest where blocks vary.
func (m *merger) usual() int { return m.Layout.Length(m.form.data) }

// lengthOf is how many words a piece should have: where blocks vary, as many as it says itself, if it can be believed.
func (m *merger) lengthOf(p *piece) int {
	if h := m.Layout.Fields(p.raw); m.form.vary && h.Counted && h.Count <= uint64(m.form.data) {
		return m.Layout.Length(int(h.Count))
	}
	return m.usual()
}

// found looks in the pieces left over for what other passes show of the blocks wanted, wherever the reader cut them, and
// for further copies of the blocks on either side.
func (m *merger) found(rest strip, wanted []int, before, after int) (strip, []int) {
	if len(rest) == 0 {
		return rest, wanted
	}
	var bits []byte
	begins := make([]int, len(rest)) // of each piece, in bits
	for i, p := range rest {
		begins[i] = len(bits)
		bits = append(bits, m.Layout.Bits(p.raw)...)
	}
	used := make([]bool, len(rest))
	var still []int
	from, last := 0, before // where the block found last ended, and its number
	for _, n := range append(slices.Clone(wanted), before, after) {
		known := slices.Index(wanted, n) >= 0
		ref := m.reference(n)
		if ref != nil {
			low, high := m.around(from, n-last-1, len(ref.raw)*m.Layout.Width(), len(bits))
			if !known {
				low, high = m.around(0, 0, len(ref.raw)*m.Layout.Width(), len(bits))
			}
			part := 8
			if !known {
				part = 2 // a second copy of what is there already must look like it
			}
			if start, ok := locate(m.Layout.Bits(ref.raw), bits[low:high], part); ok {
				m.cut(rest, begins, bits, low+start, len(ref.raw)*m.Layout.Width(), n, used)
				if known {
					from, last = min(len(bits), max(from, low+start+len(ref.raw)*m.Layout.Width()/2)), n
				}
				continue
			}
		}
		if known {
			still = append(still, n)
		}
	}
	var left strip
	for i, p := range rest {
		if !used[i] {
			left = append(left, p)
		}
	}
	return left, still
}

// reach is how many blocks a block is looked for around its place among those of a run, where the run is longer.
const reach = 16

// around gives the bits of a run to look for a block in: all of a short run, else those around the place it should have, so
// many blocks of so many bits behind what was found last.
func (m *merger) around(from, blocks, size, all int) (low, high int) {
	if all <= reach*size {
		return 0, all
	}
	at := from + max(0, blocks)*size
	low = max(from, at-reach*size*3/4)
	return min(low, all), min(all, max(low, at)+reach*size/4)
}

// cut makes a piece of some bits of a run, for block n, and notes which pieces it was made of.
func (m *merger) cut(rest strip, begins []int, bits []byte, start, length, n int, used []bool) {
	slack := m.Bounds.Slip
	first := 0
	for i, b := range begins {
		if b <= start+slack/2 {
			first = i
		}
	}
	// A block begins where the reader saw one begin, if that is near.
	if d := begins[first] - start; d > -slack && d < slack {
		start = begins[first]
	}
	start = max(0, start)
	end := min(len(bits), start+length+slack)
	last := first
	for last+1 < len(begins) && begins[last+1] < end-slack {
		last++
	}
	if last+1 < len(begins) && begins[last+1] < end {
		end = begins[last+1] // what the reader began anew is not of this block
	}
	p := &piece{pass: rest[first].pass, decode: rest[first].decode, at: rest[first].at, seq: rest[first].seq, number: -1, bits: bits[start:end]}
	p.raw = m.Layout.FromBits(p.bits)
	p.proof = m.Layout.Prove(p.raw)
	if first == last && len(p.raw) == len(rest[first].raw) {
		p.raw, p.proof = rest[first].raw, rest[first].proof
		p.proven, p.number = rest[first].proven, rest[first].number
	}
	m.put(p, n)
	for i := first; i <= last; i++ {
		used[i] = true
	}
}

// reference gives the best copy of a block that is there so far: one that is proved, else one that names itself.
func (m *merger) reference(n int) *piece {
	var best *piece
	for _, p := range m.pieces[n] {
		if p.proven {
			return p
		}
		if best == nil && !p.guessed {
			best = p
		}
	}
	return best
}

// together is how many bits a stretch has that is looked for as a whole.
const together = 32

// locate finds where in some bits a block stands, by the stretches of it that they hold: where most of them say it begins.
// Where they hold fewer than such a part of them, an eighth or a half, it is not there. The beginning may lie before the first
// bit.
func locate(ref, bits []byte, part int) (start int, ok bool) {
	if len(ref) < 2*together || len(bits) < together {
		return 0, false
	}
	at := map[uint32]int{}
	each(ref, func(i int, w uint32) {
		if _, twice := at[w]; twice {
			at[w] = -1 // in two places: it says nothing
		} else {
			at[w] = i
		}
	})
	votes := map[int]int{}
	hits := 0
	each(bits, func(i int, w uint32) {
		if k, there := at[w]; there && k >= 0 {
			votes[i-k]++
			hits++
		}
	})
	best := 0
	for s, n := range votes {
		if n > best || n == best && s < start {
			start, best = s, n
		}
	}
	return start, hits*part >= len(ref)-together
}

// each calls visit for every stretch of bits, but those that are all alike.
func each(bits []byte, visit func(at int, w uint32)) {
	var w uint32
	for i, b := range bits {
		w = w<<1 | uint32(b)
		if i >= together-1 && w != 0 && w != 1<<together-1 {
			visit(i-together+1, w)
		}
	}
}
