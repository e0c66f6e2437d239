package jam

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/memory"
)

// What each fault of the store looks like from outside, and whether parity tells of it: words that went bad in store come
// with wrong parity; those that went bad before parity was made, or came from another word, with parity that is right. The
// marks are those a practitioner goes by: common practice, no source. Bit 12 of the Fen 12 is its rightmost, bit 9 of an
// address too. What is done is `w ADDRESS WORD` or `r ADDRESS`; a read gives the word, with a ! where parity is wrong.
func TestMarksOfStore(t *testing.T) {
	tests := []struct{ jam, do, want string }{
		{"K0 C12 @017 = 1", "w17 0 w16 0 r17 r16 w17 1 r17", "1! 0 1"},
		{"store 217 bit 12 = 0", "w217 1 r217 w217 0 r217", "1 1!"}, // K1 is inverted: a cell at 0 reads as 1
		{"K0 C13 @017 = 1", "w17 0 w17 100 r17 r16", "100! 0"},      // left parity: odd over bits 1 to 6
		{"K0 C12 @017 never falls", "w17 1 r17 w17 0 r17 w17 1 r17", "1 1! 1"},
		{"K0 C12 @017 never rises", "w17 0 r17 w17 1 r17", "0 0!"},
		{"K0 C12 @017 open", "w16 1 w17 0 r16 r17 w15 0 r15 r17", "1 1! 0 0"},
		{"K0 C12 = 1", "w17 0 w20 1 w217 0 r17 r20 r217", "1! 1 0"},
		{"K0 no reply", "w17 5 r17 w217 5 r217", "none 5"},
		{"K0 C12 @017 flips when 020 written", "w17 0 r17 w20 0 r17 w20 0 r17", "0 1! 0"},
		{"K0 C12 @017 flips when K0 C12 @020 rises", "w17 0 w20 0 r17 w20 1 r17 w20 1 r17 w20 0 r17", "0 1! 1! 1!"},
		{"K0 C12 @017 = 1 when K0 C12 @020 falls", "w17 0 w20 1 r17 w20 0 r17", "0 1!"},
		{"K0 C12 @017 = 1 when K0 C12 @020 is 1", "w20 0 w17 0 r17 w20 1 r17 w17 0 r17", "0 1! 1!"},
		{"store data bit 12 = 1 (read)", "w17 0 r17 w20 2 r20 w21 1 r21", "1! 3! 1"},
		{"store data bit 12 = 1 (write)", "w17 0 r17 w20 2 r20", "1 3"},
		{"store address bit 9 = 0", "w17 5 r16 w16 6 r17", "5 6"},
		{"store address bit 9 tied to bit 8 = 0", "w15 5 r14 w17 7 r17", "5 7"},
		{"store address bit 9 tied to bit 8 = 1", "w15 5 r17 w14 7 r14", "5 7"},
	}
	code := fen(t)
	for _, test := range tests {
		t.Run(test.jam, func(t *testing.T) {
			h := half(t, code)
			for a := range memory.Addr(0o400) {
				h.Store.Write(a, 0)
			}
			if err := mustParse(t, code, test.jam).Put(h); err != nil {
				t.Fatal(err)
			}
			var got []string
			do := strings.Fields(test.do)
			for i := 0; i < len(do); i++ {
				var a memory.Addr
				var w memory.Word
				if _, err := fmt.Sscanf(do[i][1:], "%o", &a); err != nil {
					t.Fatal(err)
				}
				if do[i][0] == 'w' {
					i++
					if _, err := fmt.Sscanf(do[i], "%o", &w); err != nil {
						t.Fatal(err)
					}
					h.Store.Write(a, w)
					continue
				}
				w, st := h.Store.Read(a)
				said := fmt.Sprintf("%o", w)
				switch {
				case st&memory.NoReply != 0:
					said = "none"
				case st&memory.ParityWrong != 0:
					said += "!"
				}
				got = append(got, said)
			}
			if all := strings.Join(got, " "); all != test.want {
				t.Errorf("%s: reads give %s, want %s", test.do, all, test.want)
			}
		})
	}
}
