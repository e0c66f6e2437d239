package bringup_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu/order"
	"coldstart/debug/bringup"
	"coldstart/loader"
)

// threeOrders is a machine file as somebody begins one: what the drawing on the desk shows, and no more.
const threeOrders = `machine  "Ours"
numbers  octal, bit 0 at right
word     12 bits, twos complement
address  10 bits
counter  P: 10 bits, holds next order
register A: 12 bits
store    S0 0000-1777

order    load n                        page 12
  pattern 01 nnnnnnnnnn
  does    A <- store[n]
order    add n                         page 12
  pattern 10 nnnnnnnnnn
  does    A <- add(A, store[n])
order    jump n                        page 13
  pattern 110 nnnnnnnnn
  does    P <- extend(n, 10)
`

// TestUnreadWord runs into the first word whose order has not been typed, and wants all that helps to find its page.
func TestUnreadWord(t *testing.T) {
	tests := []struct {
		name, words string
		want        []string
	}{
		{"leading zeros", "0100: 2120 4121 0122 6100\n0120: 0003 0004", []string{
			"no order reads 0122 at 0102: it begins 00, and no pattern begins so",
			"reached from 0101, add 121",
			"words of the image that begin so: 3",
			"look up the order that begins 00 in the handbook; the nearest one typed is load (line 9, page 12)",
		}},
		{"three bits", "0100: 6200\n0200: 7654 7000", []string{
			"no order reads 7654 at 0200: it begins 111, and no pattern begins so",
			"reached from 0100, jump 200",
			"words of the image that begin so: 2",
			"look up the order that begins 111 in the handbook; the nearest one typed is jump (line 15, page 13)",
		}},
	}
	code, err := order.Read("ours.machine", []byte(threeOrders))
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			im, err := loader.ReadWords("ours.words", []byte(tt.words), code.Geometry)
			if err != nil {
				t.Fatal(err)
			}
			start := code.Geometry.Areas[0].First + 0o100
			r, err := bringup.Bare("ours.words", code, im).Run(context.Background(), bringup.Start{At: &start})
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range tt.want {
				if !slices.Contains(r.Stop, want) {
					t.Errorf("the stop does not say %q\nit says:\n%s", want, strings.Join(r.Stop, "\n"))
				}
			}
		})
	}
}
