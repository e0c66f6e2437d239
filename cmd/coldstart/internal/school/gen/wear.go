package main

import (
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A befalling is what befell a block in one pass: a change of its bits in the order recorded. Nothing of a block is left
// where it gives nothing.
type befalling struct {
	pass, block int
	do          func(l *tape.Layout, bits []byte) []byte
}

// pass is what one pass over the tape gave.
func (t *teller) pass(whole *tape.Recording, pass int) []byte {
	var out []byte
	for _, b := range whole.Blocks {
		bits := whole.Layout.Bits(b.Raw)
		for _, x := range t.befell() {
			if x.pass == pass && x.block == b.Number {
				bits = x.do(whole.Layout, bits)
			}
		}
		out = whole.Layout.AppendRaw(out, whole.Layout.FromBits(bits))
	}
	return out
}

// befell is all that befell the tape. Besides the three blocks that the story asks for, each pass has one block of its own
// that is whole in the others, as a worn tape has.
func (t *teller) befell() []befalling {
	run, idle := t.dubious()
	all := []befalling{
		{1, 0o05, flip18(0o31, 7)},
		{1, slippedBlock, dropout(droppedWord, dropped)},
		{3, slippedBlock, slip(slippedWord)},
		{1, doubtfulBlock, reads(idle.place(), idle.wrong)},
		{2, doubtfulBlock, reads(run.place(), run.wrong)},
		{3, doubtfulBlock, reads(idle.place(), idle.wrong)},
		{2, 0o36, dropout(0o200, 12)},
		{3, 0o12, flip18(0o333, 0)},
	}
	for pass := 1; pass <= passCount; pass++ {
		all = append(all, befalling{pass, lostBlock, func(*tape.Layout, []byte) []byte { return nil }})
	}
	return all
}

// In the slipped block: the word of data in which a bit is lost, and in another pass the words that drop out.
const (
	slippedWord = 0o137
	droppedWord = 0o60
	dropped     = 5
)

// wordBits is how many bits are recorded for a word.
const wordBits = 18

// bitAt is where bit n of a word of data begins, n counted from the left.
func bitAt(l *tape.Layout, word, n int) int { return (l.DataAt()+word)*wordBits + n }

// flip18 turns bit n of a word over, counted from the right.
func flip18(word, n int) func(*tape.Layout, []byte) []byte {
	return func(l *tape.Layout, bits []byte) []byte {
		bits[bitAt(l, word, wordBits-1-n)] ^= 1
		return bits
	}
}

// reads makes a word read otherwise.
func reads(word int, w memory.Word) func(*tape.Layout, []byte) []byte {
	return func(l *tape.Layout, bits []byte) []byte {
		for n := range wordBits {
			bits[bitAt(l, word, n)] = byte(w >> (wordBits - 1 - n) & 1)
		}
		return bits
	}
}

// dropout loses the ones of some words.
func dropout(word, count int) func(*tape.Layout, []byte) []byte {
	return func(l *tape.Layout, bits []byte) []byte {
		clear(bits[bitAt(l, word, 0):bitAt(l, word+count, 0)])
		return bits
	}
}

// slip loses one bit of a word, the first that differs from the one before it, so that there is one place where it can have
// been: all behind it stand a place too far left, and where the block ends one is missing.
func slip(word int) func(*tape.Layout, []byte) []byte {
	return func(l *tape.Layout, bits []byte) []byte {
		at := bitAt(l, word, 1)
		for bits[at] == bits[at-1] {
			at++
		}
		return append(slices.Delete(bits, at, at+1), 0)
	}
}
