package plant

import (
	"strings"

	"coldstart/cpu"
	"coldstart/memory"
)

// Keys are the push buttons, four to a row, as ITU-T Q.23 (1988) has them.
const Keys = "123A" + "456B" + "789C" + "*0#D"

// The two groups of frequencies of ITU-T Q.23, in hertz: a key sounds that of its row and that of its column.
var (
	lowGroup  = [4]int64{697, 770, 852, 941}
	highGroup = [4]int64{1209, 1336, 1477, 1633}
)

// Pair is the two frequencies of a key, in hertz; false where there is no such key.
func Pair(key byte) (low, high int64, ok bool) {
	i := strings.IndexByte(Keys, key)
	if i < 0 {
		return 0, 0, false
	}
	return lowGroup[i/4], highGroup[i%4], true
}

// What a receiver goes by: the North American column of ITU-T Q.24, second-hand, from lecture notes and the manual of a
// voice coder. Between the limits the recommendation leaves a receiver free; ours refuses there what is off its frequency, too
// faint or too short, and takes a pause that may be one for a pause.
const (
	acceptLevel = -25 // dBm of the weaker tone that must be accepted (from memory); below -55 it must be refused
	twist       = 8   // dB that the low tone may be stronger than the high one: a line weakens high tones more (which way it is meant, from memory)
	reverse     = 4   // dB that the high tone may be stronger than the low one
	acceptOff   = 15  // tenths of a percent off the frequency that must be accepted; 35 must be refused
	acceptTone  = 40 * cpu.Millisecond
	acceptPause = 10 * cpu.Millisecond // a longer break is a pause; one up to this is ridden over
)

// audible tells whether a receiver takes two tones for a digit by their levels: the low one in dBm, the high one so many dB above.
func audible(low, above int) bool {
	return low >= acceptLevel && low+above >= acceptLevel && above <= reverse && -above <= twist
}

// codes are the digits as a receiver gives them: 10 for a dialled 0, 11 *, 12 #, 13-16 A-D.
const codes = "1234567890*#ABCD"

// decode is the digit code that a receiver makes of two frequencies, in thousandths of a hertz; 0 where it refuses them.
func decode(low, high int64) byte {
	row, column := nearest(lowGroup, low), nearest(highGroup, high)
	if row < 0 || column < 0 {
		return 0
	}
	return byte(strings.IndexByte(codes, Keys[row*4+column]) + 1)
}

// nearest is which of a group a frequency is taken for, in thousandths of a hertz; -1 for none.
func nearest(group [4]int64, f int64) int {
	for i, g := range group {
		if off := f - g*1000; max(off, -off)*1000 <= g*1000*acceptOff {
			return i
		}
	}
	return -1
}

// A receiver holds one digit until it is taken.
type receiver struct {
	digit byte // 0: none waits
	lost  bool // one more came while a digit waited

	ended cpu.Time // when the last tone it heard ended
	heard byte     // and what it was
}

// lostBit of a word received says that digits were lost while this one waited.
const lostBit = 1 << 5

// hear takes in a digit.
func (r *receiver) hear(digit byte) {
	if r.digit != 0 {
		r.lost = true
		return
	}
	r.digit = digit
}

// take gives the digit that waits.
func (r *receiver) take() memory.Word {
	w := memory.Word(r.digit)
	if w != 0 && r.lost {
		w |= lostBit
	}
	if w != 0 {
		r.digit, r.lost = 0, false
	}
	return w
}
