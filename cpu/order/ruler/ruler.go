// Package ruler echoes how an order of a machine file was understood: its words as the handbook draws them, below the numbers
// that the machine's own numbering gives the bits, and what each bit is. Fields one bit off and words counted from the wrong
// end show here at a glance, before any program is run.
package ruler

import (
	"strings"

	"coldstart/memory"
)

// paper is how many columns a row of bits may take, so that a label fits beside it on a sheet of 80.
const paper = 66

// Numbers gives the numbers of bits of a word of width bits in the machine's own numbering, from the left: n of them, the
// last being bit low counted from the right.
func Numbers(style memory.Style, width, n, low int) []string {
	var all []string
	for i := n - 1; i >= 0; i-- {
		all = append(all, style.Bit(low+i, width))
	}
	return all
}

// Lines sets numbers, one to a bit and written downwards, above a drawing that has a letter for each bit, in rows that fit on
// paper; each row is as many lines for each of the rulers as the longest number has digits, and one for the drawing. Blanks stand
// between the digits of the style's radix, counted from the last number; a drawing longer than its ruler goes on without
// numbers.
func Lines(style memory.Style, drawn string, rulers ...[]string) (rows [][]string) {
	bits, high := len(drawn), 0
	for _, numbers := range rulers {
		bits, high = max(bits, len(numbers)), max(high, longest(numbers))
	}
	over := max(bits-len(rulers[0]), 0) // bits of the drawing that have no number
	digit := digitBits(style)
	for from := 0; from < bits; {
		to := from + rowBits(bits-from, digit)
		var row []string
		for _, numbers := range rulers {
			for d := range high {
				row = append(row, spread(from, to, bits-over, digit, func(i int) byte { return digitOf(numbers, i, d-high) }))
			}
		}
		row = append(row, spread(from, to, bits-over, digit, func(i int) byte {
			if i < len(drawn) {
				return drawn[i]
			}
			return ' '
		}))
		rows, from = append(rows, row), to
	}
	return rows
}

// digitBits is how many bits a digit of the style stands for; 0 where it stands for no whole number of several.
func digitBits(style memory.Style) int {
	switch style.Radix {
	case 8:
		return 3
	case 16:
		return 4
	}
	return 0
}

// rowBits is how many of the bits left go into the next row: all, or else what leaves rows of about one length, with whole
// digits in all but the first.
func rowBits(left, digit int) int {
	most := paper - 2
	if digit > 0 {
		most = (paper + 1) / (digit + 1) * digit
	}
	rows := (left + most - 1) / most
	if rows == 1 {
		return left
	}
	each := (left + rows - 1) / rows
	if digit > 0 {
		each += (digit - each%digit) % digit
	}
	return left - (rows-1)*each
}

// spread writes one letter for each bit from one on up to another, with a blank where a digit ends.
func spread(from, to, width, digit int, letter func(int) byte) string {
	var b strings.Builder
	for i := from; i < to; i++ {
		b.WriteByte(letter(i))
		if digit > 0 && (width-1-i)%digit == 0 {
			b.WriteByte(' ')
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// longest is the number of digits of the longest number.
func longest(numbers []string) int {
	n := 0
	for _, number := range numbers {
		n = max(n, len(number))
	}
	return n
}

// digitOf is one digit of the number of a bit, -1 its last; blank where it has none.
func digitOf(numbers []string, i, d int) byte {
	if i >= len(numbers) || d+len(numbers[i]) < 0 {
		return ' '
	}
	return numbers[i][d+len(numbers[i])]
}
