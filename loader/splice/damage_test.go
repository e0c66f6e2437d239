package splice

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// layouts are the recordings that the damage campaign is made of: common ways of proving a block, and weak ones. The number
// is how many of a hundred sets are in it.
var layouts = []struct {
	share  int
	source string
}{
	{35, "layout sums\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\n" +
		"field number\nfield address\nfield count\ndata 32 words\nsum add over number address count data\nblocks 000 to 005"},
	{15, "layout rings\nnumbers octal\nword 16 bits\nbytes 2 of 8 bits make 1 word high first\nmark 125252\n" +
		"field number\nfield address\ndata 40 words\nsum add end-around over number address data\nblocks 000 to 005"},
	{10, "layout ors\nnumbers octal\nword 12 bits\nbytes 3 of 8 bits make 2 words high first\nmark 5252 2525\n" +
		"field number\nfield address\nfield count\ndata 30 words\nsum exclusive-or over number address count data\nblocks 000 to 005"},
	{10, "layout varies\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252 252525\n" +
		"field number\nfield address\nfield count\ndata count words up to 48\nsum add over number address count data\nblocks 000 to 005"},
	{15, "layout checks\nnumbers octal\nword 16 bits\nbytes 2 of 8 bits make 1 word high first\nmark 123456\n" +
		"field number\nfield address\ndata 40 words\nsum add negated over number address data\n" +
		"check 16 bits 8005 start 0000 in straight out straight final 0000 over mark number address data sum\nblocks 000 to 005"},
	{10, "layout codes\nnumbers hexadecimal\nword 8 bits\nbytes 1 of 8 bits make 1 word high first\nmark A5 5A 3C\n" +
		"field number\nfield address 2 words high first\ndata 60 words\n" +
		"check 16 bits 1021 start FFFF in reflected out reflected final FFFF 2 words low first over number address data\nblocks 00 to 05"},
	{5, "layout bare\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\n" +
		"field number\nfield address\ndata 32 words\nsum exclusive-or over data\nblocks 000 to 005"},
	{5, "layout parities\nnumbers octal\nword 20 bits\nbytes 3 of 8 bits make 1 word high first\nstore bits 18-10 8-0\n" +
		"parity odd over 19-10\nparity odd over 9-0\nmark 525252\nfield number\nfield address\nfield count\ndata 32 words\n" +
		"sum add over number address count data\nblocks 000 to 005"},
}

// A tapeSet is a known truth, and three damaged readings of it.
type tapeSet struct {
	layout  *tape.Layout
	truth   map[int][]memory.Word // all words of each block
	passes  [3][]byte
	older   []memory.Word // all words of the block that was written anew with others, as it was before; nil for none
	slipped bool          // some block of some pass lost or gained bits
}

// A maker makes sets.
type maker struct {
	*rand.Rand
	layouts []*tape.Layout
	shares  []int
}

func newMaker(t testing.TB) *maker {
	m := &maker{}
	for _, l := range layouts {
		layout, err := tape.ReadLayout("test.layout", []byte(l.source))
		if err != nil {
			t.Fatal(list.Report(err))
		}
		m.layouts = append(m.layouts, layout)
		m.shares = append(m.shares, l.share)
	}
	return m
}

// make makes the set of a seed. Nothing in it depends on how splice works: how often what happens is set once, below, to
// what worn tapes are said to do (common practice, no source), and every kind of damage meets every kind.
func (m *maker) make(seed uint64) *tapeSet {
	m.Rand = rand.New(rand.NewPCG(seed, 4))
	s := &tapeSet{truth: map[int][]memory.Word{}}
	total := 0
	for _, n := range m.shares {
		total += n
	}
	pick := m.IntN(total)
	for i, n := range m.shares {
		if pick -= n; pick < 0 {
			s.layout = m.layouts[i]
			break
		}
	}
	first, last, _ := s.layout.Expected()
	addr := memory.Addr(0o100)
	older := -1 // a block that the drive wrote anew with other words
	if m.IntN(100) == 0 {
		older = first + m.IntN(last-first+1)
	}
	var old []memory.Word
	for n := first; n <= last; n++ {
		words := m.words(s.layout)
		s.truth[n] = m.record(s.layout, n, addr, words)
		if n == older {
			old = slices.Clone(words)
			for range 1 + m.IntN(4) {
				old[m.IntN(len(old))] ^= memory.Word(1 + m.IntN(0o377))
			}
			old = m.record(s.layout, n, addr, old)
			s.older = old
		}
		addr += memory.Addr(len(words))
	}
	// Places where the tape itself is bad: every pass may meet them.
	spots := map[int]*spot{}
	for n := first; n <= last; n++ {
		if m.IntN(12) == 0 {
			bits := len(s.truth[n]) * s.layout.Width()
			spots[n] = &spot{at: m.IntN(bits), long: 1 + m.IntN(60), kind: m.IntN(3)}
		}
	}
	for p := range s.passes {
		var read [][]byte
		worn := []int{8, 30, 60}[m.IntN(3)] // of a hundred blocks so many are damaged in this pass
		for n := first; n <= last; n++ {
			if n == older {
				read = append(read, m.damaged(s, old, worn, nil)...)
			}
			read = append(read, m.damaged(s, s.truth[n], worn, spots[n])...)
		}
		if len(read) == 0 {
			read = append(read, s.layout.Bits(s.truth[first]))
		}
		// One recorder in four makes words of all bits in a row; the others begin a new word at each block.
		if m.IntN(4) == 0 {
			read = [][]byte{slices.Concat(read...)}
		}
		for _, bits := range read {
			s.passes[p] = append(s.passes[p], m.pack(s.layout, bits)...)
		}
	}
	return s
}

// A spot is a bad place of the tape.
type spot struct{ at, long, kind int }

// words makes the data of a block: noise, or what programs and tables look like, with few different words and stretches
// of zeros.
func (m *maker) words(l *tape.Layout) []memory.Word {
	n, vary := l.Data()
	if vary {
		n = 1 + m.IntN(n)
	}
	words := make([]memory.Word, n)
	mask := l.Stored([]memory.Word{memory.Mask(l.Width())})[0]
	if m.IntN(2) == 0 {
		for i := range words {
			words[i] = memory.Word(m.Uint64()) & mask
		}
		return words
	}
	var few [6]memory.Word
	for i := range few {
		few[i] = memory.Word(m.Uint64()) & mask
	}
	for i := 0; i < n; i++ {
		switch m.IntN(6) {
		case 0:
			i += m.IntN(8)
		case 1:
			words[i] = memory.Word(m.IntN(64))
		default:
			words[i] = (few[m.IntN(6)] + memory.Word(m.IntN(16))) & mask
		}
	}
	return words
}

// record gives all words of a block as it was first recorded.
func (m *maker) record(l *tape.Layout, n int, addr memory.Addr, words []memory.Word) []memory.Word {
	made, err := l.Append(nil, n, addr, words)
	if err != nil {
		panic(err)
	}
	return l.FromBytes(made)[:l.Length(len(words))]
}

// damaged gives the bits of a block as one pass reads it: once, not at all, or twice.
func (m *maker) damaged(s *tapeSet, raw []memory.Word, worn int, bad *spot) [][]byte {
	l := s.layout
	bits := l.Bits(raw)
	if bad != nil && m.IntN(4) > 0 {
		at := min(len(bits), max(0, bad.at+m.IntN(5)-2))
		m.drop(bits[at:min(len(bits), at+bad.long)], bad.kind)
	}
	if m.IntN(100) >= worn {
		return [][]byte{bits}
	}
	var before, behind [][]byte
	for range 1 + m.IntN(2) {
		switch k := m.IntN(100); {
		case k < 35:
			for range 1 + m.IntN(3) {
				if len(bits) > 0 {
					bits[m.IntN(len(bits))] ^= 1
				}
			}
		case k < 60:
			at := m.IntN(len(bits) + 1)
			m.drop(bits[at:min(len(bits), at+4+m.IntN(120))], m.IntN(3))
		case k < 78:
			bits = m.slip(bits, 1+m.IntN(3))
			s.slipped = true
		case k < 87:
			bits = m.slip(bits, l.Width()*(1+m.IntN(4)))
			s.slipped = true
		case k < 90: // the end is missing
			bits = bits[:len(bits)-m.IntN(len(bits)/2+1)]
		case k < 94: // all of it is
			return nil
		case k < 98: // the drive found it bad when it wrote it, and wrote it again
			first := l.Bits(raw)
			m.drop(first[m.IntN(len(first)):], 2)
			before = [][]byte{first}
		default: // or read it twice
			behind = [][]byte{l.Bits(raw)}
		}
	}
	return slices.Concat(before, [][]byte{bits}, behind)
}

// drop damages a stretch: zeros, ones or noise.
func (m *maker) drop(bits []byte, kind int) {
	for i := range bits {
		switch kind {
		case 0:
			bits[i] = 0
		case 1:
			bits[i] = 1
		default:
			bits[i] = byte(m.IntN(2))
		}
	}
}

// slip loses or gains n bits somewhere.
func (m *maker) slip(bits []byte, n int) []byte {
	at := m.IntN(len(bits) + 1)
	if m.IntN(2) == 0 {
		return slices.Delete(bits, at, min(len(bits), at+n))
	}
	return slices.Insert(bits, at, randomBits(m.Rand, n)...)
}

// pack makes bytes of bits: whole words, the last filled up with zeros.
func (m *maker) pack(l *tape.Layout, bits []byte) []byte {
	for len(bits)%l.Width() != 0 {
		bits = append(bits, 0)
	}
	return l.AppendRaw(nil, l.FromBits(bits))
}

// pass makes a Pass of the bytes of one.
func pass(t testing.TB, l *tape.Layout, name string, src []byte) Pass {
	t.Helper()
	rec, err := tape.Read(l, name, bytes.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(src)
	return Pass{Name: name, SHA256: hex.EncodeToString(sum[:]), Decodes: []*tape.Recording{rec}}
}

// passesOf reads all passes of a set; ones that are alike are left out, for Merge refuses them.
func (s *tapeSet) read(t testing.TB) []Pass {
	var all []Pass
	for i, src := range s.passes {
		p := pass(t, s.layout, fmt.Sprintf("p%d", i+1), src)
		if !slices.ContainsFunc(all, func(q Pass) bool { return q.SHA256 == p.SHA256 }) {
			all = append(all, p)
		}
	}
	return all
}
