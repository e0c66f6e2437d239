package guess

import (
	"fmt"
	"math/bits"
	"strings"
)

// A Setting is one hypothesis about the check code of a recording: sixteen bits, and all that a layout must say of it.
type Setting struct {
	Poly     uint64   // without its highest term
	Low      bool     // the lowest bit of each byte goes in first, and the code comes out turned end for end
	LowWord  bool     // of several words that hold the code, the first is the lowest
	Inverted bool     // every recorded bit stands for its complement
	Over     []string // the parts of a block that the code is made of
	Start    uint64   // what the register holds at the start
	Final    uint64   // what is added to it at last
}

// width is the number of bits of the codes tried, and ones all of them.
const (
	width = 16
	ones  = 1<<width - 1
)

// polys are the polynomials tried: the two in use on tapes of the time (from memory), and the two that they become on a
// track read backwards. There all bits of a block come in the opposite order, and what was divisible by a polynomial is
// divisible by the one with its terms in the opposite order. So the code still seems to stand at the end; but the start
// is the final value of the code as it was recorded, and the other way round.
var polys = []uint64{0x8005, 0x1021, reciprocal(0x8005), reciprocal(0x1021)}

// reciprocal gives the polynomial with its terms in the opposite order.
func reciprocal(poly uint64) uint64 { return bits.Reverse64(1<<width|poly) >> (63 - width) & ones }

// Backwards says that the polynomial is one of those in use on a track read backwards, and which.
func (s Setting) Backwards() (poly uint64, is bool) {
	if s.Poly == polys[0] || s.Poly == polys[1] {
		return 0, false
	}
	return reciprocal(s.Poly), true
}

// Common says that start and final value are those in common use: all bits 0, or all bits 1.
func (s Setting) Common() bool { return common(s.Start) && common(s.Final) }

// common says that all bits are alike.
func common(v uint64) bool { return v == 0 || v == ones }

// Check is the check record of the setting, for a code that takes so many words.
func (s Setting) Check(words int) string {
	way, order := "straight", "high"
	if s.Low {
		way = "reflected"
	}
	if s.LowWord {
		order = "low"
	}
	held := ""
	if words > 1 {
		held = fmt.Sprintf(" %d words %s first", words, order)
	}
	return fmt.Sprintf("check %d bits %04X start %04X in %s out %s final %04X%s over %s",
		width, s.Poly, s.Start, way, way, s.Final, held, strings.Join(s.Over, " "))
}
