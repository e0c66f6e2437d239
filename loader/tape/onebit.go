package tape

import (
	"slices"

	"coldstart/memory"
)

// OneBit is what a single wrong bit would have to be for the two sums of a block to differ as they do: its number from the
// right, and how many words, of those the sum is made over, could hold it. Words is 0 where no single bit explains the
// difference, or there is none. Which word it is the sums cannot tell; the recorded sum may be the wrong one just as well.
func (b *Block) OneBit() (bit, words int) {
	if !b.Summed || b.SumWanted == b.SumFound {
		return 0, 0
	}
	l := b.layout
	i := slices.IndexFunc(l.parts, func(p part) bool { return p.kind == sumPart })
	s := &l.parts[i]
	for bit := range l.width {
		one := memory.Word(1) << bit
		rises, falls := s.mode.meets(b.SumFound, one, b.SumWanted, l.width), s.mode.meets(b.SumWanted, one, b.SumFound, l.width)
		if !rises && !falls {
			continue
		}
		for _, w := range l.summed(s, b.Raw, len(b.Words)) {
			if w&one == 0 && rises || w&one != 0 && falls {
				words++
			}
		}
		if words > 0 {
			return bit, words
		}
	}
	return 0, 0
}

// meets tells whether one more word brings a sum to the one wanted. Around the end, a word of ones is as good as zero.
func (m sumMode) meets(sum, w, wanted memory.Word, width int) bool {
	got := m.over(sum, []memory.Word{w}, width)
	if ones := memory.Mask(width); m == addEndAround && got%ones == 0 {
		return wanted%ones == 0
	}
	return got == wanted
}

// summed gives the words of a block that its sum is made over; raw are all its words, n of them data.
func (l *Layout) summed(s *part, raw []memory.Word, n int) []memory.Word {
	var all []memory.Word
	at := 0
	for i := range l.parts {
		p := &l.parts[i]
		end := at + p.length(n)
		if slices.Contains(s.over, p.kind) {
			all = append(all, raw[at:end]...)
		}
		at = end
	}
	return all
}
