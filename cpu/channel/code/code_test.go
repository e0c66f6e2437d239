package code

import (
	"strings"
	"testing"
)

// The line of an ASCII teletypewriter of 110 baud and 11 units: even parity in the eighth bit (ANSI X3.4, X3.15, X3.16, from
// memory), codes and bits worked out by hand.
var line110 = Frame{Units: 7, Parity: Even, Stop: 200}

func TestASCIILine(t *testing.T) {
	for _, test := range []struct {
		char string
		code byte
		bits string
	}{
		{"A", 0x41, "0 10000010 11"}, {"\r", 0x8D, "0 10110001 11"}, {"3", 0x33, "0 11001100 11"}, {"U", 0x55, "0 10101010 11"},
		{" ", 0xA0, "0 00000101 11"}, {"\n", 0x0A, "0 01010000 11"}, {"\a", 0x87, "0 11100001 11"}, {"\x1b", 0x1B, "0 11011000 11"},
		{"\x00", 0x00, "0 00000000 11"}, {"\x7f", 0xFF, "0 11111111 11"},
	} {
		codes, err := ASCII.Encode(test.char)
		if err != nil || len(codes) != 1 {
			t.Fatalf("%q: %v, %v", test.char, codes, err)
		}
		if got := Even.With(codes[0], 7); got != test.code {
			t.Errorf("%q with even parity is %02X, want %02X", test.char, got, test.code)
		}
		want := strings.ReplaceAll(test.bits, " ", "")
		if got := line110.Bits(codes[0]); got != want {
			t.Errorf("%q on the line is %s, want %s", test.char, got, want)
		}
		if code, wrong := line110.Parse(want); wrong != "" || code != codes[0] {
			t.Errorf("%s is read as %02X, %q", want, code, wrong)
		}
	}
}

// ITA2 as CCITT S.1 has it (Blue Book VII.1; many public tables agree): every code in both shifts, bit 1 first on the line.
func TestITA2(t *testing.T) {
	letters := []string{"\x00", "E", "\n", "A", " ", "S", "I", "U", "\r", "D", "R", "J", "N", "F", "C", "K", "T", "Z", "L", "W", "H", "Y", "P", "Q", "O", "B", "G", "", "M", "X", "V", ""}
	figures := map[byte]string{0x01: "3", 0x03: "-", 0x05: "'", 0x06: "8", 0x07: "7", 0x0A: "4", 0x0B: "\a", 0x0C: ",", 0x0E: ":", 0x0F: "(",
		0x10: "5", 0x11: "+", 0x12: ")", 0x13: "2", 0x15: "6", 0x16: "0", 0x17: "1", 0x18: "9", 0x19: "?", 0x1C: ".", 0x1D: "/", 0x1E: "="}
	american := map[byte]string{0x09: "$", 0x0D: "!", 0x1A: "&", 0x14: "#", 0x0B: "'", 0x05: "\a", 0x1E: ";", 0x11: `"`}
	for code := range byte(32) {
		r := Reader{Set: ITA2}
		if got := r.Read(code); got != letters[code] {
			t.Errorf("code %02X is %q, want %q", code, got, letters[code])
		}
		for set, table := range map[*Set]map[byte]string{ITA2: figures, American: american} {
			r = Reader{Set: set}
			r.Read(figuresShift)
			if want := table[code]; want != "" && r.Read(code) != want {
				t.Errorf("%s: code %02X in figures is not %q", set.Name, code, want)
			}
		}
	}
	codes, err := ITA2.Encode("RY 15A")
	if want := []byte{0x0A, 0x15, 0x04, 0x1B, 0x17, 0x10, 0x1F, 0x03}; err != nil || string(codes) != string(want) {
		t.Errorf("RY 15A is % X (%v), want % X", codes, err, want)
	}
	// R and Y are complements, LTRS is all ones: the classic test of a line.
	line := Frame{Units: 5, Stop: 150}
	for code, want := range map[byte]string{0x0A: "0010101", 0x15: "0101011", 0x1F: "0111111", 0x1B: "0110111"} {
		if got := line.Bits(code); got != want {
			t.Errorf("code %02X on the line is %s, want %s", code, got, want)
		}
	}
}

// What is encoded is read back, in every set.
func TestRoundTrip(t *testing.T) {
	for _, s := range Sets {
		text := "WENDLE FERRY 054 BLOCKS, 3.14 (OK?)\r\n"
		codes, err := s.Encode(text)
		if err != nil {
			t.Fatalf("%s: %v", s.Name, err)
		}
		var got strings.Builder
		for r := (Reader{Set: s}); len(codes) > 0; codes = codes[1:] {
			got.WriteString(r.Read(codes[0]))
		}
		if got.String() != text {
			t.Errorf("%s: %q comes back as %q", s.Name, text, got.String())
		}
	}
	if _, err := ITA2.Encode("a % b"); err == nil {
		t.Error("a percent sign is encoded in ITA2")
	}
}

// A line read with another frame than it was sent with: what is wrong is said, and the raw code is there.
func TestWrongFrame(t *testing.T) {
	sent := line110.Bits('A') // 01000001011
	for _, test := range []struct {
		frame Frame
		line  string
		wrong string
	}{
		{Frame{Units: 7, Parity: Odd, Stop: 200}, sent, "wrong parity"},
		{Frame{Units: 5, Stop: 100}, sent, "no stop bit"},
		{line110, sent[1:], "no start bit"},
		{line110, sent[:6], "too few bits"},
	} {
		if code, wrong := test.frame.Parse(test.line); wrong != test.wrong {
			t.Errorf("%+v reads %s as %02X, %q; want %q", test.frame, test.line, code, wrong, test.wrong)
		}
	}
}
