package channel

import (
	"math/rand/v2"
	"strings"
	"testing"

	"coldstart/cpu/channel/code"
	"coldstart/loader/list"
)

// worksFive is ITA2 typed as a team types a code of its own, from the columns of CCITT S.1.
const worksFive = `code    works-five units 5
shift   letters 31 figures 27
letters 0  NUL E LF A SP S I U CR D R J N F C K
letters 16 T Z L W H Y P Q O B G none M X V none
figures 0  NUL 3 LF - SP ' 8 7 CR WRU 4 BEL , ? : ( 5 + ) 2 ? 6 0 1 9
figures 25 ? ? none . / = none
`

// A code typed as a list is the same code as the one that is compiled in, both ways.
func TestTypedCode(t *testing.T) {
	sets, err := ReadCodes("works.codes", []byte(worksFive))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	own := sets[0]
	if own.Name != "works-five" || own.Units != 5 {
		t.Errorf("read %s of %d units", own.Name, own.Units)
	}
	rng := rand.New(rand.NewPCG(2, 7))
	const known = "ABCXYZ 0123456789-+()=/.,:'\r\n"
	for range 2000 {
		var text strings.Builder
		for range rng.IntN(20) {
			text.WriteByte(known[rng.IntN(len(known))])
		}
		want, err := code.ITA2.Encode(text.String())
		if err != nil {
			t.Fatal(err)
		}
		got, err := own.Encode(text.String())
		if err != nil || string(got) != string(want) {
			t.Fatalf("%q is %v, %v; want %v", text.String(), got, err, want)
		}
		r, back := code.Reader{Set: own}, ""
		for _, c := range got {
			back += r.Read(c)
		}
		if back != text.String() {
			t.Fatalf("%q comes back as %q", text.String(), back)
		}
	}
}

func TestCodesRefused(t *testing.T) {
	for _, tt := range []struct{ src, want string }{
		{"", "works.codes:1:1: no code is listed; begin with a line `code NAME units 5`"},
		{"letters 0 A", "1:1: no code has begun; a line `code NAME units 5` stands before the lines of its characters"},
		{"code ita2 units 5\nletters 0 A", "1:6: there is a code ita2 already; give this one another name"},
		{"code x units 4", `1:14: "4" is not how many units a character has: write a decimal number from 5 to 8`},
		{"code x units 5\nletters 32 A", `2:9: "32" is not the code of the first character: write a decimal number from 0 to 31`},
		{"code x units 5\nletters 31 A B", `2:14: "B" would have code 32; a code of 5 units goes up to 31`},
		{"code x units 5\nletters 0 AB", `2:11: "AB" is no character: write one, or NUL, LF, CR, SP, BEL, WRU, or none where there is none`},
		{"code x units 5\nfigures 0 A", "1:6: code x has figures and nothing that shifts to them; add a line `shift letters 31 figures 27`"},
		{"code x units 5\nshift letters 3 figures 3", "2:25: one code cannot shift to both; look at the table of the code"},
		{"code x units 5\ncode x units 6", "2:6: there is a code x already; give this one another name"},
		{"code x bits 5", `1:8: "bits" is no setting`},
	} {
		_, err := ReadCodes("works.codes", []byte(tt.src))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q: error %v, want %s", tt.src, err, tt.want)
		}
	}
}
