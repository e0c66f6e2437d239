package memory

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Style is how a handbook writes numbers: radix of words and addresses, and how it numbers bits.
type Style struct {
	Radix      int  // 2, 8, 10 or 16; anything else counts as 10
	FirstBit   int  // number of the end bit, 0 or 1
	FromLeft   bool // bits are numbered from the left
	Group      int  // digits that Grouped puts between blanks, such as 3 for 024 107; 0: no blanks
	AddrDigits int  // digits that addresses are written with at least, such as 6 for 000760; 0: as many as they need
}

// Name is the radix as a person says it: binary, octal, decimal or hexadecimal.
func (s Style) Name() string {
	switch s.radix() {
	case 2:
		return "binary"
	case 8:
		return "octal"
	case 16:
		return "hexadecimal"
	}
	return "decimal"
}

// Word writes w with all the digits that a word of width bits needs; the first digit may stand for fewer bits than the
// others. A w wider than width is written whole, so that a slip shows.
func (s Style) Word(w Word, width int) string {
	digits := s.Number(uint64(w))
	if missing := s.digits(width) - len(digits); missing > 0 {
		return strings.Repeat("0", missing) + digits
	}
	return digits
}

// Grouped writes w as Word does, with a blank before each Group digits counted from the right. Parse does not read the
// blanks back: it is for sheets, where a table has the room.
func (s Style) Grouped(w Word, width int) string {
	digits := s.Word(w, width)
	if s.Group < 1 {
		return digits
	}
	var text strings.Builder
	for i, d := range digits {
		if i > 0 && (len(digits)-i)%s.Group == 0 {
			text.WriteByte(' ')
		}
		text.WriteRune(d)
	}
	return text.String()
}

// Addr writes a with all the digits that an address of the given number of bits needs, and never fewer than AddrDigits.
func (s Style) Addr(a Addr, bits int) string {
	text := s.Word(Word(a), bits)
	return strings.Repeat("0", max(0, s.AddrDigits-len(text))) + text
}

// Number writes v without leading zeros.
func (s Style) Number(v uint64) string {
	return strings.ToUpper(strconv.FormatUint(v, s.radix()))
}

// Parse reads a number written in the radix, without sign, prefix or blanks; letters of hexadecimal digits may be small.
// The error is one sentence that says which digit does not belong.
func (s Style) Parse(text string) (uint64, error) {
	if text == "" {
		return 0, fmt.Errorf("no number given: write one in %s digits", s.Name())
	}
	radix := uint64(s.radix())
	var v uint64
	for _, r := range text {
		d := digitValue(r)
		if d >= radix {
			return 0, s.notDigit(text, r)
		}
		// v*radix+d must stay within 64 bits.
		if v > (math.MaxUint64-d)/radix {
			return 0, fmt.Errorf("%q is too large a number: none here is wider than 64 bits", text)
		}
		v = v*radix + d
	}
	return v, nil
}

// Bit is the number the handbook gives to bit i (counted from the right, from 0) of a word of width bits.
func (s Style) Bit(i, width int) string {
	if s.FromLeft {
		i = width - 1 - i
	}
	return strconv.Itoa(i + s.FirstBit)
}

// BitFrom is the inverse of Bit: the bit, counted from the right, that the handbook gives this number in a word of width
// bits. The error is one sentence that says which numbers there are.
func (s Style) BitFrom(number, width int) (int, error) {
	// Compared before it is subtracted, so that no number however odd can wrap round into range.
	if number < s.FirstBit || number > s.FirstBit+width-1 {
		return 0, fmt.Errorf("no bit %d in a word of %d bits: they are numbered %d to %d from the %s",
			number, width, s.FirstBit, s.FirstBit+width-1, s.end())
	}
	i := number - s.FirstBit
	if s.FromLeft {
		i = width - 1 - i
	}
	return i, nil
}

// end says where the counting of bits begins.
func (s Style) end() string {
	if s.FromLeft {
		return "left"
	}
	return "right"
}

// radix is the radix with anything unknown made decimal, so that no Style can make formatting fail.
func (s Style) radix() int {
	switch s.Radix {
	case 2, 8, 16:
		return s.Radix
	}
	return 10
}

// digits is how many digits the largest number of width bits has.
func (s Style) digits(width int) int {
	return len(strconv.FormatUint(uint64(Mask(max(width, 0))), s.radix()))
}

// notDigit says that r does not belong in text, and what was probably meant: the letters O, l and I are the usual slips of
// a hand used to paper.
func (s Style) notDigit(text string, r rune) error {
	hint := ""
	switch r {
	case 'O', 'o':
		hint = "; for zero type 0, not the letter"
	case 'l', 'I':
		hint = "; for one type 1, not the letter"
	}
	return fmt.Errorf("%q is not a number in %s: %q is no %s digit%s", text, s.Name(), r, s.Name(), hint)
}

// digitValue is the value of a digit in the largest radix there is, or more than any radix.
func digitValue(r rune) uint64 {
	switch {
	case '0' <= r && r <= '9':
		return uint64(r - '0')
	case 'a' <= r && r <= 'f':
		return uint64(r-'a') + 10
	case 'A' <= r && r <= 'F':
		return uint64(r-'A') + 10
	}
	return math.MaxUint64
}
