package tape

import "coldstart/memory"

// OneBit is what a single wrong bit would have to be for the two sums of a block to differ as they do: its number from the
// right, and how many words, of those the sum is made over, could hold it. Words is 0 where no single bit explains the
// difference, or there is none, or the sum is made of bytes. Which word it is the sums cannot tell; the recorded sum may
// be the wrong one just as well. A check code can tell: see Layout.OneWrong.
func (b *Block) OneBit() (bit, words int) {
	if !b.Summed || b.SumWanted == b.SumFound {
		return 0, 0
	}
	l := b.layout
	p := l.partOf(sumPart)
	if p.sum.bytes {
		return 0, 0
	}
	wanted, found := p.sum.turn(b.SumWanted), p.sum.turn(b.SumFound)
	items := l.wordsOf(b.read, l.covered(p.over, len(b.read), len(b.Words)))
	for bit := range l.StoreWidth() {
		one := memory.Word(1) << bit
		rises, falls := p.sum.meets(found, one, wanted), p.sum.meets(wanted, one, found)
		if !rises && !falls {
			continue
		}
		for _, w := range items {
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
func (s *sum) meets(v, w, wanted memory.Word) bool {
	got := s.over(v, w)
	if ones := memory.Mask(s.width); s.mode == addEndAround && got%ones == 0 {
		return wanted%ones == 0
	}
	return got == wanted
}
