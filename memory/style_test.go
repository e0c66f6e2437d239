package memory

import (
	"fmt"
	"math"
	"testing"
)

var (
	octal   = Style{Radix: 8}
	sixteen = Style{Radix: 16}
)

func TestStyleWord(t *testing.T) {
	tests := []struct {
		name  string
		style Style
		w     Word
		width int
		want  string
	}{
		{"octal 18 bits", octal, 0o24107, 18, "024107"},
		{"octal zero", octal, 0, 18, "000000"},
		{"octal 20 bits, short first digit", octal, 0o3777777, 20, "3777777"},
		{"octal one bit", octal, 1, 1, "1"},
		{"octal 64 bits", octal, math.MaxUint64, 64, "1777777777777777777777"},
		{"hexadecimal 18 bits", sixteen, 0xABC, 18, "00ABC"},
		{"binary", Style{Radix: 2}, 5, 5, "00101"},
		{"decimal 10 bits", Style{Radix: 10}, 7, 10, "0007"},
		{"too wide is shown whole", octal, 0o1234567, 18, "1234567"},
		{"zero Style is decimal", Style{}, 12, 4, "12"},
		{"no width", octal, 5, -3, "5"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.style.Word(tt.w, tt.width); got != tt.want {
				t.Errorf("%+v.Word(%#o, %d) = %q, want %q", tt.style, tt.w, tt.width, got, tt.want)
			}
		})
	}
}

func TestStyleGrouped(t *testing.T) {
	tests := []struct {
		name  string
		style Style
		w     Word
		width int
		want  string
	}{
		{"threes", Style{Radix: 8, Group: 3}, 0o24107, 18, "024 107"},
		{"a short first group", Style{Radix: 2, Group: 4}, 0x2A5, 10, "10 1010 0101"},
		{"more to a group than there are", Style{Radix: 16, Group: 4}, 0xAB, 8, "AB"},
		{"ones", Style{Radix: 16, Group: 1}, 0xABC, 12, "A B C"},
		{"no groups", Style{Radix: 8}, 0o24107, 18, "024107"},
		{"negative", Style{Radix: 8, Group: -3}, 0o24107, 18, "024107"},
		{"too wide is shown whole", Style{Radix: 8, Group: 3}, 0o1234567, 18, "1 234 567"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.style.Grouped(tt.w, tt.width); got != tt.want {
				t.Errorf("%+v.Grouped(%#o, %d) = %q, want %q", tt.style, tt.w, tt.width, got, tt.want)
			}
		})
	}
}

func TestStyleName(t *testing.T) {
	for radix, want := range map[int]string{2: "binary", 8: "octal", 10: "decimal", 16: "hexadecimal", 0: "decimal", 7: "decimal"} {
		if got := (Style{Radix: radix}).Name(); got != want {
			t.Errorf("name of radix %d = %q, want %q", radix, got, want)
		}
	}
}

func TestStyleParse(t *testing.T) {
	tests := []struct {
		name  string
		style Style
		text  string
		want  uint64
		err   string
	}{
		{"octal", octal, "024107", 0o24107, ""},
		{"largest", octal, "1777777777777777777777", math.MaxUint64, ""},
		{"small letters", sixteen, "abC", 0xABC, ""},
		{"empty", octal, "", 0, "no number given: write one in octal digits"},
		{"digit of no octal", octal, "0289", 0, `"0289" is not a number in octal: '8' is no octal digit`},
		{"letter O", octal, "0O7", 0, `"0O7" is not a number in octal: 'O' is no octal digit; for zero type 0, not the letter`},
		{"letter l", sixteen, "l0", 0, `"l0" is not a number in hexadecimal: 'l' is no hexadecimal digit; for one type 1, not the letter`},
		{"sign", octal, "-1", 0, `"-1" is not a number in octal: '-' is no octal digit`},
		{"one more than the largest", octal, "2000000000000000000000", 0, `"2000000000000000000000" is too large a number: none here is wider than 64 bits`},
		{"last digit too much", Style{Radix: 10}, "18446744073709551616", 0, `"18446744073709551616" is too large a number: none here is wider than 64 bits`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.style.Parse(tt.text)
			if msg := sentence(err); got != tt.want || msg != tt.err {
				t.Errorf("Parse(%q) = %d, %q; want %d, %q", tt.text, got, msg, tt.want, tt.err)
			}
		})
	}
}

func TestStyleBit(t *testing.T) {
	tests := []struct {
		name     string
		style    Style
		i, width int
		want     string
	}{
		{"0 at right", Style{}, 7, 18, "7"},
		{"1 at right", Style{FirstBit: 1}, 7, 18, "8"},
		{"0 at left", Style{FromLeft: true}, 0, 18, "17"},
		{"1 at left", Style{FirstBit: 1, FromLeft: true}, 13, 14, "1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.style.Bit(tt.i, tt.width); got != tt.want {
				t.Errorf("%+v.Bit(%d, %d) = %q, want %q", tt.style, tt.i, tt.width, got, tt.want)
			}
			// The inverse must hold for every bit of the word, not only for this one.
			for i := range tt.width {
				var number int
				fmt.Sscan(tt.style.Bit(i, tt.width), &number)
				if back, err := tt.style.BitFrom(number, tt.width); back != i || err != nil {
					t.Errorf("BitFrom(%d, %d) = %d, %v; want %d", number, tt.width, back, err, i)
				}
			}
		})
	}
}

func TestStyleBitFromRefuses(t *testing.T) {
	for _, fromLeft := range []bool{true, false} {
		s, end := Style{FirstBit: 1, FromLeft: fromLeft}, "right"
		if fromLeft {
			end = "left"
		}
		for _, number := range []int{math.MinInt, -1, 0, 15, math.MaxInt} {
			_, err := s.BitFrom(number, 14)
			want := fmt.Sprintf("no bit %d in a word of 14 bits: they are numbered 1 to 14 from the %s", number, end)
			if sentence(err) != want {
				t.Errorf("BitFrom(%d, 14): error %q, want %q", number, sentence(err), want)
			}
		}
	}
}

// FuzzStyle holds that what a Style writes it reads back, and that what it reads it writes the same but for leading zeros.
func FuzzStyle(f *testing.F) {
	f.Add(uint64(0o24107), "024107", 8)
	f.Add(uint64(math.MaxUint64), "FFFF", 16)
	f.Fuzz(func(t *testing.T, v uint64, text string, radix int) {
		s := Style{Radix: radix}
		for _, written := range []string{s.Number(v), s.Word(Word(v), 64)} {
			if got, err := s.Parse(written); got != v || err != nil {
				t.Errorf("radix %d: Parse(%q) = %d, %v; want %d", radix, written, got, err, v)
			}
		}
		got, err := s.Parse(text)
		if err != nil {
			return
		}
		if again, err := s.Parse(s.Number(got)); again != got || err != nil {
			t.Errorf("radix %d: %q gave %d, written and read again %d, %v", radix, text, got, again, err)
		}
	})
}

func ExampleStyle() {
	s := Style{Radix: 8, FirstBit: 1, FromLeft: true}
	fmt.Println(s.Word(0o1234, 14), s.Name())
	fmt.Println("bit", s.Bit(13, 14), "is the leftmost")
	_, err := s.Parse("0l234")
	fmt.Println(err)
	// Output:
	// 01234 octal
	// bit 1 is the leftmost
	// "0l234" is not a number in octal: 'l' is no octal digit; for one type 1, not the letter
}

// sentence is what an error says, or nothing.
func sentence(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}
