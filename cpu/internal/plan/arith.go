package plan

import (
	"math/bits"

	"coldstart/memory"
)

// An Adder is a machine's adder: how it writes negative numbers decides what comes out of it.
type Adder uint8

// The three complements an Adder can work in.
const (
	TwosComplement Adder = iota
	OnesComplement
	SignMagnitude
)

// AdderOf is the adder for the complement a machine file names: twos, ones or sign-magnitude.
func AdderOf(complement string) Adder {
	switch complement {
	case "ones":
		return OnesComplement
	case "sign-magnitude":
		return SignMagnitude
	}
	return TwosComplement
}

// Add gives the sum of two words of n bits and a carry in, the carry out and the overflow. In ones complement the carry
// out comes in again at the right; in sign-magnitude a carry out of the magnitude is both carry and overflow.
func (t Adder) Add(a, b, in memory.Word, n uint8) (sum, carry, overflow memory.Word) {
	if t == SignMagnitude {
		return addMagnitudes(a, b, in, n)
	}
	top := memory.Word(1) << (n - 1)
	sum, carry = plainAdd(a, b, in, n)
	if t == OnesComplement {
		sum, _ = plainAdd(sum, 0, carry, n)
	}
	return sum, carry, ((a ^ sum) & (b ^ sum) & top) >> (n - 1)
}

// Subtract gives a less b, both of n bits.
func (t Adder) Subtract(a, b memory.Word, n uint8) memory.Word {
	var d memory.Word
	switch t {
	case OnesComplement:
		d, _, _ = t.Add(a, ^b&memory.Mask(int(n)), 0, n)
	case SignMagnitude:
		d, _, _ = t.Add(a, b^1<<(n-1), 0, n)
	default:
		d = (a - b) & memory.Mask(int(n))
	}
	return d
}

// Value reads a word of n bits as a signed number; minus zero is zero.
func (t Adder) Value(a memory.Word, n uint8) int64 {
	top := memory.Word(1) << (n - 1)
	switch {
	case t == TwosComplement:
		return signed(a, n)
	case a&top == 0:
		return int64(a)
	case t == OnesComplement:
		return -int64(^a & memory.Mask(int(n)))
	}
	return -int64(a &^ top)
}

// plainAdd adds modulo 2^n and gives the carry out.
func plainAdd(a, b, in memory.Word, n uint8) (sum, carry memory.Word) {
	s, c := bits.Add64(uint64(a), uint64(b), uint64(in))
	if n == 64 {
		return memory.Word(s), memory.Word(c)
	}
	return memory.Word(s) & memory.Mask(int(n)), memory.Word(s >> n & 1)
}

// addMagnitudes adds sign-magnitude words: like signs add, unlike signs take the smaller from the larger, and a zero
// that comes of that keeps the sign of a.
func addMagnitudes(a, b, in memory.Word, n uint8) (sum, carry, overflow memory.Word) {
	top := memory.Word(1) << (n - 1)
	x, y := a&^top, b&^top
	if (a^b)&top == 0 {
		m, _ := plainAdd(x, y, in, n)
		return m&^top | a&top, m >> (n - 1), m >> (n - 1)
	}
	y -= min(in, y) // a carry in counts towards the sign of a
	if x >= y {
		return x - y | a&top, 0, 0
	}
	return y - x | b&top, 0, 0
}

// addDecimal adds digit by digit, each of four bits. What a digit comes to beyond nine goes on to the next by tens, so that
// a dialled 0, stored as ten, adds as ten.
func addDecimal(a, b, in memory.Word, n uint8) (sum, carry memory.Word) {
	for lo := uint8(0); lo < n; lo += 4 {
		digit := a>>lo&15 + b>>lo&15 + in
		sum |= digit % 10 << lo
		in = digit / 10
	}
	return sum, min(in, 1)
}

// rotate turns a of n bits left by k places.
func rotate(a memory.Word, n uint8, k memory.Word) memory.Word {
	k %= memory.Word(n)
	return (a<<k | a>>(memory.Word(n)-k)) & memory.Mask(int(n))
}

// drawRight moves a of n bits right by k places, repeating the top bit.
func drawRight(a memory.Word, n uint8, k memory.Word) memory.Word {
	return memory.Word(signed(a, n)>>min(k, 63)) & memory.Mask(int(n))
}

// leadingZeros counts the zeros left of the leftmost one of a of n bits.
func leadingZeros(a memory.Word, n uint8) memory.Word {
	return memory.Word(bits.LeadingZeros64(uint64(a)) - (64 - int(n)))
}

// trailingZeros counts the zeros right of the rightmost one of a of n bits.
func trailingZeros(a memory.Word, n uint8) memory.Word {
	return min(memory.Word(bits.TrailingZeros64(uint64(a))), memory.Word(n))
}

// signed reads a of n bits as a twos complement number.
func signed(a memory.Word, n uint8) int64 {
	return int64(a<<(64-n)) >> (64 - n)
}
