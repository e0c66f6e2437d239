package splice

import "slices"

// headers settles words of a header that neither check nor sum covers, where something else speaks for them than that the
// passes agree: the number is the one that the place of the block asks for, and the address goes on from one neighbour to the
// next. What is left in doubt is said.
func (m *merger) headers() {
	for i, b := range m.Blocks {
		if b.bare == "" || b.State != Doubtful {
			continue
		}
		shape := m.form.shape(len(b.Raw))
		number := m.Layout.Fields(b.Raw).Number == uint64(b.Number) && m.inRow(i)
		address := m.goesOn(i)
		b.Doubts = slices.DeleteFunc(b.Doubts, func(d Doubt) bool {
			k := d.Word + b.DataAt
			settled := len(d.Readings) == 1 && (shape.number[k] && number || shape.address[k] && address)
			if settled {
				b.byPlace(k)
			}
			return settled
		})
		if len(b.Doubts) == 0 {
			b.State, b.Rule = Settled, b.bare
		} else {
			b.Remarks = append(b.Remarks, "neither check nor sum covers the doubtful words, and their place does not show them")
		}
	}
}

// inRow says whether the number of block i follows on that of a neighbour.
func (m *merger) inRow(i int) bool {
	n := m.Blocks[i].Number
	return i > 0 && m.Blocks[i-1].Number == n-1 || i+1 < len(m.Blocks) && m.Blocks[i+1].Number == n+1
}

// goesOn says whether block i loads where the one before it ends, or ends where the one behind it loads.
func (m *merger) goesOn(i int) bool {
	follows := func(a, b int) bool {
		if a < 0 || b == len(m.Blocks) || m.Blocks[a].Raw == nil || m.Blocks[b].Raw == nil {
			return false
		}
		h, k := m.Layout.Fields(m.Blocks[a].Raw), m.Layout.Fields(m.Blocks[b].Raw)
		return h.Addressed && k.Addressed && h.Address+uint64(m.Blocks[a].Count) == k.Address
	}
	return follows(i-1, i) || follows(i, i+1)
}

// byPlace notes that a word that was doubtful is settled by its place.
func (b *Block) byPlace(i int) {
	for k, r := range b.runs {
		if !r.doubtful || i < r.first || i >= r.first+r.count {
			continue
		}
		var parts []run
		for _, p := range []struct {
			first, end int
			settled    bool
		}{{r.first, i, false}, {i, i + 1, true}, {i + 1, r.first + r.count, false}} {
			if p.first == p.end {
				continue
			}
			part := r
			part.first, part.count = p.first, p.end-p.first
			if p.settled {
				part.doubtful, part.rule = false, "place"
			}
			parts = append(parts, part)
		}
		b.runs = slices.Replace(b.runs, k, k+1, parts...)
		return
	}
}
