package order

import (
	"fmt"
	"strings"
	"testing"
)

// TestBitDirection types each range of bits both ways under the four numberings: one way is read, of the other the error
// names the right way. A row of chips alone may run either way, since it says which chip is the first.
func TestBitDirection(t *testing.T) {
	tests := []struct {
		numbering           string
		hi, lo, left, right int // bits of a range of four, and the ends of the word
	}{
		{"bit 0 at right", 5, 2, 7, 0},
		{"bit 1 at right", 6, 3, 8, 1},
		{"bit 0 at left", 2, 5, 0, 7},
		{"bit 1 at left", 3, 6, 1, 8},
	}
	for _, tt := range tests {
		good, bad := fmt.Sprintf("%d-%d", tt.hi, tt.lo), fmt.Sprintf("%d-%d", tt.lo, tt.hi)
		whole, turned := fmt.Sprintf("%d-%d", tt.left, tt.right), fmt.Sprintf("%d-%d", tt.right, tt.left)
		for _, chips := range []string{whole, turned} {
			code := mustRead(t, ranged(tt.numbering, good, good, good, chips))
			e := code.Order("take").Does[0].Sources[0].Args[0]
			if e.Hi != 5 || e.Lo != 2 {
				t.Errorf("%s: A.%s is bits %d to %d counted from the right, want 5 to 2", tt.numbering, good, e.Hi, e.Lo)
			}
			first := code.Geometry.Areas[0].Chips[0].Column
			if want := map[string]int{whole: 7, turned: 0}[chips]; first != want {
				t.Errorf("%s: of chips for bits %s the first holds bit %d counted from the right, want %d", tt.numbering, chips, first, want)
			}
		}
		want := fmt.Sprintf("bits %s run from right to left: write the left one first, %s", bad, good)
		for what, src := range map[string]string{
			"a value":  ranged(tt.numbering, bad, good, good, whole),
			"parity":   ranged(tt.numbering, good, bad, good, whole),
			"of lamps": ranged(tt.numbering, good, good, bad, whole),
		} {
			if _, err := Read("turned.machine", []byte(src)); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s, bits of %s: Read gave %v, want %q", tt.numbering, what, err, want)
			}
		}
	}
}

// ranged is a machine file with ranges of bits in each place that takes one.
func ranged(numbering, value, parity, lamps, chips string) string {
	return fmt.Sprintf(`machine  "Turned"
numbers  octal, %s
word     8 bits, twos complement
address  6 bits
counter  P: 6 bits, holds next order
register A, B: 8 bits
store    ST0 00-77
  parity  all odd over %s
  chips   U1-U8 for bits %s
lamps    10: bits %s, plug-in LD1
order    take
  pattern 00000001
  does    B <- extend(A.%s, 8)
`, numbering, parity, chips, lamps, value)
}
