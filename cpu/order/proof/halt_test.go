package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/cpu/order/proof"
)

// halting is the walker with a halt for good, and a trap and an interrupt that halt.
var halting = strings.Replace(walker, "boot\n", `trap      worse "halts, where every halt is for good"
  does    P <- 500
          halt
interrupt hand "somebody at the keys"
  when    zero = 1
  does    P <- 600
          halt
boot
`, 1) + `order     give-up
  pattern 0110 0010 0110
  does    halt for good
order     halt-in-page n
  pattern 0110 0011 0 nnn
  does    halt; page <- n
order     halt-at-zero
  pattern 0110 0010 0111
  does    if zero = 1 then halt
`

// TestPastHalts holds where a program is followed past a halt, and that what stands there speaks against nothing unless it
// is come to some other way too.
func TestPastHalts(t *testing.T) {
	tests := []struct {
		name, text           string
		taken, passed, stuck int
		halts, beyond        int
		unread               string
	}{
		{"past a halt", "at 100\n halt\n near there\n at 140\nthere: give-up", 3, 1, 0, 1, 0, ""},
		{"not past one for good", "at 100\n give-up\n near there\n at 140\nthere: give-up", 1, 0, 0, 1, 0, ""},
		{"with what the order did", "at 100\n halt-in-page 2\n assume page = 2\n jump there\n at 207\nthere: give-up", 3, 1, 0, 1, 0, ""},
		{"into no order", "at 100\n halt\n words 7777", 1, 1, 1, 0, 0, ""},
		{"into nothing", "at 100\n halt", 1, 1, 1, 0, 0, ""},
		{"a jump behind it says what it says", "at 100\n halt\n near data\n at 140\ndata: words 7777", 2, 1, 0, 0, 0, "7777 at 140"},
		{"come to both ways, past the halt first", "at 100\n near-zero on\n near last\n at 140\non: halt\nlast: words 7777", 3, 1, 0, 0, 0, "7777 at 141"},
		{"halts or goes on", "at 100\n halt-at-zero\n words 7777", 1, 1, 0, 0, 0, "7777 at 101"},
		{"in an interrupt, not in a trap", "at 100\n give-up\n at 500\n give-up\n at 600\n give-up", 2, 0, 0, 2, 0, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := tt.text
			if !strings.Contains(text, "at 600") {
				text += "\n at 600\n give-up"
				tt.taken, tt.halts = tt.taken+1, tt.halts+1
			}
			code, image := assembled(t, halting, text+"\n at 700\n give-up") // 700 is where trap odd goes
			x := proof.Explore(code, image, nil, nil)
			unread := ""
			for _, u := range x.Unread {
				unread += fmt.Sprintf("%o at %o", u.Word, u.Place)
			}
			got := []int{x.Taken, x.Passed, x.Stuck, x.Halts, x.Beyond}
			want := []int{tt.taken + 1, tt.passed, tt.stuck, tt.halts + 1, tt.beyond}
			if fmt.Sprint(got) != fmt.Sprint(want) || unread != tt.unread {
				t.Errorf("taken, passed, stuck, halts, beyond: %d, unread %q; want %d, %q", got, unread, want, tt.unread)
			}
			for _, tally := range x.Tallies {
				if tally.Order.Name == "halt" && tally.Into > 0 {
					t.Errorf("what stands past a halt speaks against it")
				}
			}
		})
	}
}
