package march

// trialWords is how many words a trial has: one below and one above the word that fails are enough to tell all cases apart.
const trialWords = 3

// A trial runs a whole test, all backgrounds, on a model of three words, to see whether cells fail in it as they did in a
// store. Cells 0 to 2 are the bit in question, cells 3 to 5 another bit of the same words.
type trial struct {
	test    *Test
	groups  []*Group
	bits    [2][]uint8 // by column and background
	columns int        // how many of them there are
	matched uint64     // the groups that some cell failed like
}

// run runs the test for every content at first.
func (t *trial) run(m *model) {
	all := uint64(1)<<len(t.groups) - 1
	if len(t.groups) == 64 {
		all = ^uint64(0)
	}
	senses := 1
	if m.open >= 0 {
		senses = 2
	}
	for content := range 1 << (trialWords * t.columns) {
		if t.columns == 2 && !matters(m, content) {
			continue
		}
		for sense := range senses {
			if t.matched == all {
				return
			}
			m.start(uint8(content), uint8(sense))
			t.once(m, all)
		}
	}
}

// matters is whether a content is told from others by cells that the fault knows of.
func matters(m *model, content int) bool {
	b := m.bound[0]
	return content&^(1<<b.a|1<<b.v) == 0
}

// once runs the test once. Each word's failures are held against those of all groups read by read, and the run ends when no
// word is like any group any more.
func (t *trial) once(m *model, all uint64) {
	alike := [trialWords]uint64{all, all, all}
	read := 0
	for background := range t.bits[0] {
		for _, e := range t.test.Elements {
			for i := range trialWords {
				if e.Order == Down {
					i = trialWords - 1 - i
				}
				n := read
				for _, op := range e.Ops {
					if op.writes() {
						t.write(m, i, background, op)
						continue
					}
					alike[i] &= t.like(n, t.read(m, i, background, op))
					n++
				}
			}
			read += Test{Elements: []Element{e}}.reads()
			if alike[0]|alike[1]|alike[2] == 0 {
				return
			}
		}
	}
	for _, a := range alike {
		t.matched |= a
	}
}

// like is the groups that failed, or did not, in a read.
func (t *trial) like(read int, failed bool) (groups uint64) {
	for g := range t.groups {
		if t.groups[g].wrong.has(read) == failed {
			groups |= 1 << g
		}
	}
	return groups
}

// write writes a word, all bits at once: the bit in question first, so that what another bit of the word does to it is done to
// what it was given.
func (t *trial) write(m *model, word, background int, op Op) {
	if t.columns == 1 {
		m.write(word, op.value()^t.bits[0][background])
		return
	}
	for c := range t.columns {
		m.change(word+c*trialWords, op.value()^t.bits[c][background])
	}
	m.settle()
}

// read reads a word, and says whether the bit in question was wrong.
func (t *trial) read(m *model, word, background int, op Op) (wrong bool) {
	got := m.read(word)
	if t.columns == 2 {
		m.read(word + trialWords)
	}
	return got != op.value()^t.bits[0][background]
}
