package order

import "coldstart/memory"

// Keyed turns keys as they stand into the word that orders read, and back; it does so for keys alone.
func (r *Register) Keyed(w memory.Word) memory.Word {
	if r.Keys && r.Inverted {
		return w ^ memory.Mask(r.Width)
	}
	return w
}

// Passed turns a word, or a command, as a program has it into what passes over the lines of the channel, and back.
func (ch *Channel) Passed(w memory.Word) memory.Word {
	if ch.Inverted {
		return w ^ memory.Mask(ch.Width)
	}
	return w
}

// Shown turns sign n of the channel as the device drives it, 0 or 1, into what a program reads, and back.
func (ch *Channel) Shown(n int, sign memory.Word) memory.Word {
	if ch.InvertedSigns == ^memory.Word(0) || n < 64 && ch.InvertedSigns>>n&1 == 1 {
		return sign ^ 1
	}
	return sign
}

// TrueLow tells whether any line of the channel is held true-low.
func (ch *Channel) TrueLow() bool { return ch.Inverted || ch.InvertedSigns != 0 }
