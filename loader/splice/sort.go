package splice

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A merger is a merge under way.
type merger struct {
	Merged
	form    *form
	aligner aligner
	pieces  map[int][]*piece // by block number; of each pass and decode in the order of the recording
	first   int              // the lowest number expected, and the highest; last is below first where none is stated
	last    int
	strips  map[[2]int]strip // of each pass and decode
	damage  []damage
	whole   [][]uint16  // of each block that some pass has whole: the passes of each reading
	refused list.Errors // decisions that cannot be carried out
}

// A piece is one copy of a block on one decode of one pass, as it was cut out.
type piece struct {
	pass, decode int
	at           int // position of its first block on the recording
	seq          int // its place in the order of the tape
	raw          []memory.Word
	proof        tape.Proof
	proven       bool // by its check or sum
	number       int  // as recorded; -1 where none can be read
	guessed      bool // its number was not believed, and it was put here by its place or by what it holds
	mended       bool // its mark was put right
	rubbish      bool // the reader takes it for no block
	bits         []byte
}

// strip is one decode of one pass: its pieces in the order of the recording.
type strip []*piece

// sort finds out which pieces are copies of which block.
func (m *merger) sort() error {
	m.form = formOf(m.Layout)
	m.pieces = map[int][]*piece{}
	m.first, m.last = 0, -1
	if first, last, stated := m.Layout.Expected(); stated {
		m.first, m.last = first, last
	}
	m.strips = map[[2]int]strip{}
	var strips []strip
	for i := range m.Passes {
		for d, rec := range m.Passes[i].Decodes {
			s := m.strip(i, d, rec)
			strips = append(strips, s)
			m.strips[[2]int{i, d}] = s
		}
	}
	if !m.form.numbered {
		return m.byPlace(strips)
	}
	// What proves its own number comes first, on all passes: the rest is told by it.
	for _, s := range strips {
		for i, p := range s {
			if m.trusted(s, i) {
				m.put(p, p.number)
			}
		}
	}
	for _, s := range strips {
		m.gaps(s)
	}
	m.leftOut(strips)
	for _, all := range m.pieces {
		slices.SortFunc(all, func(a, b *piece) int {
			if a.pass != b.pass {
				return a.pass - b.pass
			}
			if a.decode != b.decode {
				return a.decode - b.decode
			}
			return a.seq - b.seq
		})
	}
	return nil
}

// strip cuts a recording into pieces, in the order of the tape.
func (m *merger) strip(pass, decode int, rec *tape.Recording) strip {
	var s strip
	turn, backwards, how := m.turning(rec)
	if decode == 0 {
		m.Passes[pass].Turned = how
	}
	for _, b := range rec.Blocks {
		if b.FileMark {
			continue
		}
		raw := turn(b.Raw)
		p := &piece{pass: pass, decode: decode, at: b.Position, raw: raw, number: -1, proof: m.Layout.Prove(raw), rubbish: b.Rubbish()}
		if p.proof.Mark == tape.Wrong {
			m.mend(p)
		}
		p.proven = m.form.proves(p.raw, &p.proof)
		if h := m.Layout.Fields(raw); h.Numbered && h.Number <= math.MaxInt32 {
			p.number = int(h.Number)
		}
		s = append(s, p)
	}
	if backwards {
		slices.Reverse(s)
	}
	for i, p := range s {
		p.seq = i
	}
	return s
}

// turning tells how the words of a recording have to be turned to read as they were recorded, and whether it runs backwards. A
// decode is inverted or backwards as a whole, damaged blocks too. A single block that seems to be has slipped: some sums
// pass words that are shifted or inverted together.
func (m *merger) turning(rec *tape.Recording) (turn func([]memory.Word) []memory.Word, backwards bool, how string) {
	inverted := func(raw []memory.Word) []memory.Word {
		out := make([]memory.Word, len(raw))
		for i, w := range raw {
			out[i] = ^w & memory.Mask(m.Layout.Width())
		}
		return out
	}
	reversed := func(raw []memory.Word) []memory.Word {
		bits := m.Layout.Bits(raw)
		slices.Reverse(bits)
		return m.Layout.FromBits(bits)
	}
	ways := []struct {
		turn      func([]memory.Word) []memory.Word
		backwards bool
		how       string
	}{
		{inverted, false, "inverted"},
		{reversed, true, "backwards"},
		{func(raw []memory.Word) []memory.Word { return inverted(reversed(raw)) }, true, "inverted and backwards"},
	}
	for _, way := range ways {
		n := 0
		for _, b := range rec.Blocks {
			if turned := b.Turned(); !slices.Equal(b.Raw, turned) && slices.Equal(way.turn(b.Raw), turned) {
				n++
			}
		}
		if 2*n > len(rec.Blocks) {
			return way.turn, way.backwards, way.how
		}
	}
	return func(raw []memory.Word) []memory.Word { return raw }, false, ""
}

// mend puts the mark into a piece that has few bits of it wrong, if nothing else is wrong with it: what it has to be is
// known. A mark that is wrong in more bits may be one that is shifted, and all behind it too.
func (m *merger) mend(p *piece) {
	if n := len(p.raw) - m.Layout.Length(0); n < 0 || n > m.form.data || n < m.form.data && !m.form.vary {
		return
	}
	shape := m.form.shape(len(p.raw))
	known := m.form.blank(0, len(p.raw)-m.Layout.Length(0))
	raw := slices.Clone(p.raw)
	wrong := 0
	for i := range min(len(raw), len(known)) {
		if shape.mark[i] {
			wrong += bits.OnesCount64(uint64(raw[i] ^ known[i]))
			raw[i] = known[i]
		}
	}
	if wrong > mostBits {
		return
	}
	if proof := m.Layout.Prove(raw); m.form.proves(raw, &proof) {
		p.raw, p.proof, p.mended = raw, proof, true
	}
}

// put makes p a copy of the block of that number.
func (m *merger) put(p *piece, number int) {
	p.guessed = p.number != number
	p.number = number
	m.pieces[number] = append(m.pieces[number], p)
}

// placed says whether p has been put.
func (m *merger) placed(p *piece) bool { return slices.Contains(m.pieces[p.number], p) }

// expected says whether a recording may hold a block of that number.
func (m *merger) expected(number int) bool {
	return number >= 0 && (m.last < m.first || number >= m.first && number <= m.last)
}

// trusted says whether the number of a piece is believed: proved with the rest of the block, or, where check and sum do not
// cover it or there are none, standing in a row with its neighbours.
func (m *merger) trusted(s strip, i int) bool {
	p := s[i]
	if p.number < 0 || !m.expected(p.number) || p.proof.Mark == tape.Wrong {
		return false
	}
	whole := p.proven
	if m.form.strength == 0 {
		whole = len(p.raw) > 0 && p.proof.Count != tape.Wrong && len(p.proof.Stray) == 0
	}
	if !whole {
		return false
	}
	if m.form.strength > 0 && m.numberCovered(p.raw) {
		return true
	}
	before, after := i == 0, i == len(s)-1
	if i > 0 {
		before = s[i-1].number == p.number-1
	}
	if i < len(s)-1 {
		after = s[i+1].number == p.number+1
	}
	return before || after
}

// numberCovered says whether the words that hold the number of a block are proved with it.
func (m *merger) numberCovered(raw []memory.Word) bool {
	shape := m.form.shape(len(raw))
	for i, is := range shape.number {
		if is && !shape.covered[i] {
			return false
		}
	}
	return true
}

// byPlace sorts recordings that hold no block numbers: only where all passes have as many blocks can they be matched.
func (m *merger) byPlace(strips []strip) error {
	for _, s := range strips {
		if len(s) != len(strips[0]) {
			a, b := m.Passes[strips[0][0].pass], m.Passes[s[0].pass]
			return fmt.Errorf("layout %s records no block numbers, and %s holds %d blocks where %s holds %d: which is which cannot be told",
				m.Layout.Name(), a.Name, len(strips[0]), b.Name, len(s))
		}
		for i, p := range s {
			p.number = m.first + i
			m.put(p, p.number)
		}
	}
	return nil
}
