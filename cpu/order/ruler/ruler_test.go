package ruler_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/order"
	"coldstart/cpu/order/ruler"
	"coldstart/memory"
)

// TestLines draws words of every width under every style, and reads each ruler back: every bit must stand once, in turn, with
// its own number above it, and no row may be wider than paper.
func TestLines(t *testing.T) {
	const letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789#+"
	for _, radix := range []int{2, 8, 10, 16} {
		for numbering := range 4 {
			style := memory.Style{Radix: radix, FirstBit: numbering & 1, FromLeft: numbering&2 != 0}
			for width := 1; width <= 64; width++ {
				numbers := ruler.Numbers(style, width, width, 0)
				drawn, got := "", []string{}
				for _, row := range ruler.Lines(style, letters[:width], numbers) {
					last := row[len(row)-1]
					for at, letter := range last {
						if letter == ' ' {
							continue
						}
						drawn += string(letter)
						number := ""
						for _, digits := range row[:len(row)-1] {
							if at < len(digits) {
								number += strings.TrimSpace(digits[at : at+1])
							}
						}
						got = append(got, number)
					}
					for _, line := range row {
						if len(line) > 66 {
							t.Errorf("radix %d, %d bits: a line of %d columns: %q", radix, width, len(line), line)
						}
					}
				}
				var want []string
				for bit := width - 1; bit >= 0; bit-- {
					want = append(want, style.Bit(bit, width))
				}
				if diff := cmp.Diff(want, got); diff != "" || drawn != letters[:width] {
					t.Fatalf("radix %d, %+v, %d bits drawn %q (-want +got):\n%s", radix, style, width, drawn, diff)
				}
			}
		}
	}
}

// TestLinesUneven draws a pattern that is too short, and one too long.
func TestLinesUneven(t *testing.T) {
	style := memory.Style{Radix: 8, FirstBit: 1, FromLeft: true}
	for drawn, want := range map[string][]string{
		"01aaa":    {"123 456", "01a aa"},
		"01aaaaab": {"123 456", "01a aaa ab"},
	} {
		rows := ruler.Lines(style, drawn, ruler.Numbers(style, 6, 6, 0))
		if diff := cmp.Diff([][]string{want}, rows); diff != "" {
			t.Errorf("%s (-want +got):\n%s", drawn, diff)
		}
	}
}

// The machine's own numbers stand in what each part is called, whichever end they begin at.
func TestParts(t *testing.T) {
	tests := []struct {
		numbering string
		first     string // numbers of the first word
		want      []ruler.Part
	}{
		{"bit 0 at right", "7 6 5 4 3 2 1 0", parts("7-5 of word 1", "4 of word 1, 3-0 of word 2", "3 of word 1", "2-0 of word 1, 7 of word 2", "6-4 of word 2")},
		{"bit 1 at right", "8 7 6 5 4 3 2 1", parts("8-6 of word 1", "5 of word 1, 4-1 of word 2", "4 of word 1", "3-1 of word 1, 8 of word 2", "7-5 of word 2")},
		{"bit 0 at left", "0 1 2 3 4 5 6 7", parts("0-2 of word 1", "3 of word 1, 4-7 of word 2", "4 of word 1", "5-7 of word 1, 0 of word 2", "1-3 of word 2")},
		{"bit 1 at left", "1 2 3 4 5 6 7 8", parts("1-3 of word 1", "4 of word 1, 5-8 of word 2", "5 of word 1", "6-8 of word 1, 1 of word 2", "2-4 of word 2")},
	}
	for _, tt := range tests {
		c := mustRead(t, tt.numbering, "", "8 bits", "order take r, n\n pattern 101 n r *** / * ??? nnnn\n does r <- extend(n, 8)")
		o := c.Orders[0]
		words := ruler.Words(c, o)
		if got := strings.Join(words[0].Rulers[0], " "); got != tt.first || words[0].Drawn != "101nr***" || words[1].Drawn != "*???nnnn" {
			t.Errorf("%s: %s over %s, then %s; want %s over 101nr***, then *???nnnn", tt.numbering, got, words[0].Drawn, words[1].Drawn, tt.first)
		}
		if diff := cmp.Diff(tt.want, ruler.Parts(c, o)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.numbering, diff)
		}
	}
}

// parts are those of the order in TestParts.
func parts(fixed, n, r, ignored, silent string) []ruler.Part {
	return []ruler.Part{
		{Kind: "fixed", Name: "0/1", Width: 3, Bits: fixed, Means: "101"},
		{Kind: "field", Name: "n", Width: 5, Bits: n, Means: "a number"},
		{Kind: "field", Name: "r", Width: 1, Bits: r, Means: "a register: 0 A, 1 B"},
		{Kind: "ignored", Name: "*", Width: 4, Bits: ignored, Means: "the machine ignores them"},
		{Kind: "unknown", Name: "?", Width: 3, Bits: silent, Means: "the handbook is silent"},
	}
}

// Of two orders in a word each half has its own numbers, those of the whole word.
func TestHalves(t *testing.T) {
	c := mustRead(t, "bit 0 at right", "orders 2 in a word, left first\n", "8 bits", "order take n\n pattern 1nnn\n does A <- extend(n, 8)")
	words := ruler.Words(c, c.Orders[0])
	if diff := cmp.Diff([]ruler.Word{{Drawn: "1nnn", Rulers: [][]string{{"7", "6", "5", "4"}, {"3", "2", "1", "0"}}}}, words); diff != "" {
		t.Errorf("words (-want +got):\n%s", diff)
	}
	if got := ruler.Parts(c, c.Orders[0])[1].Bits; got != "6-4 at the left; 2-0 at the right" {
		t.Errorf("field n is %s", got)
	}
}

// A word of a store narrower than the machine's is numbered by itself.
func TestNarrow(t *testing.T) {
	c := mustRead(t, "bit 1 at left", "", "6 bits", "order take\n pattern 100 ***\n does A <- 0")
	words := ruler.Words(c, c.Orders[0])
	if got := strings.Join(words[0].Rulers[0], " "); got != "1 2 3 4 5 6" || words[0].Drawn != "100***" {
		t.Errorf("%s over %s, want 1 to 6 over 100***", got, words[0].Drawn)
	}
}

// mustRead reads a small machine of 8 bits with one order.
func mustRead(t *testing.T, numbering, packing, store, text string) *order.Code {
	t.Helper()
	counter := 6
	if packing != "" {
		counter++
	}
	src := fmt.Sprintf(`machine "Small"
numbers octal, %s
word 8 bits, twos complement
address 6 bits
%scounter P: %d bits, holds next order
register A, B: 8 bits
store S0 00-37, S1 40-77: %s
group r: 0 A, 1 B
%s
`, numbering, packing, counter, store, text)
	c, err := order.Read("small.machine", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return c
}
