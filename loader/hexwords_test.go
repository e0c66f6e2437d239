package loader_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/loader/hexfile"
	"coldstart/loader/list"
	"coldstart/memory"
)

// units gives a store of 64 words whose addresses count units, in two areas; it writes hexadecimal.
func units(width, unit int, lowFirst bool) memory.Geometry {
	n := memory.Addr(width / unit)
	return memory.Geometry{Style: memory.Style{Radix: 16}, Width: width, AddrBits: 16, Unit: unit, LowFirst: lowFirst,
		Areas: []memory.Area{
			{Name: "ST0", First: 0, Last: 32*n - 1, Width: width},
			{Name: "WS1", First: 64 * n, Last: 96*n - 1, Width: width, Wired: true},
		}}
}

// The forms, as file names ask for them.
var plainWords, sRecords, intelHex = loader.FormOf("a.words"), loader.FormOf("a.s19"), loader.FormOf("a.hex")

// hexText gives an S-record file of one run of bytes.
func hexText(t *testing.T, header string, a uint32, data ...byte) []byte {
	t.Helper()
	text, err := hexfile.AppendSRecords(nil, &hexfile.File{Header: header, Segments: []hexfile.Segment{{Address: a, Data: data}}})
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestReadHexImage(t *testing.T) {
	tests := []struct {
		name   string
		g      memory.Geometry
		header string
		at     uint32
		data   []byte
		want   string // address=word
		rule   string
	}{
		{"a word of two bytes", geometry, "", 0o20, []byte{0x02, 0x9c}, "10=1234", "words of 12 bits, 2 bytes each, high byte first"},
		{"a header of somebody", geometry, "HDR", 0o20, []byte{0x02, 0x9c, 0, 7}, "10=1234 11=7", "words of 12 bits, 2 bytes each, high byte first"},
		{"low byte first by the header", geometry, "words of 12 bits, 2 bytes each, low byte first", 0o20, []byte{0x9c, 0x02}, "10=1234",
			"words of 12 bits, 2 bytes each, low byte first"},
		{"units, low end first", units(32, 8, true), "", 4, []byte{0x78, 0x56, 0x34, 0x12, 1, 0, 0, 0}, "4=2215053170 10=1",
			"words of 32 bits in units of 8, low end first, 1 byte each"},
		{"units, high end first", units(32, 8, false), "", 4, []byte{0x12, 0x34, 0x56, 0x78}, "4=2215053170",
			"words of 32 bits in units of 8, high end first, 1 byte each"},
		{"units of 16 bits", units(32, 16, true), "", 8, []byte{0x56, 0x78, 0x12, 0x34}, "4=2215053170",
			"words of 32 bits in units of 16, low end first, 2 bytes each, high byte first"},
		{"units of 12 bits, low byte first", units(24, 12, false), "words of 24 bits in units of 12, high end first, 2 bytes each, low byte first", 4,
			[]byte{0x34, 0x02, 0x77, 0x01}, "2=10640567", "words of 24 bits in units of 12, high end first, 2 bytes each, low byte first"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			src := hexText(t, tt.header, tt.at, tt.data...)
			got, err := loader.ReadHexImage("x.s19", src, tt.g)
			if err != nil {
				t.Fatalf("%s: %v", src, err)
			}
			var words []string
			for a, e := range got.Image.All() {
				words = append(words, fmt.Sprintf("%o=%o", a, e.Word))
			}
			if s := strings.Join(words, " "); s != tt.want || got.Rule != tt.rule || len(got.Warnings) > 0 {
				t.Errorf("%s:\ngot  %s by %q, warnings %v\nwant %s by %q", src, s, got.Rule, got.Warnings, tt.want, tt.rule)
			}
		})
	}
}

// TestHexOrigins holds that a word comes from the line of its first byte, though its bytes stand on two.
func TestHexOrigins(t *testing.T) {
	src := "S104001002E9\nS10400119C4E\nS1071F800001000256\nS9030FF0FD\n"
	got, err := loader.ReadHexImage("x.s19", []byte(src), geometry)
	if err != nil {
		t.Fatalf("%s: %v", src, err)
	}
	for a, want := range map[memory.Addr]memory.Origin{
		0o10:   {Kind: memory.Typed, File: "x.s19", Block: 1},
		0o7700: {Kind: memory.Wired, File: "x.s19", Block: 3},
		0o7701: {Kind: memory.Wired, File: "x.s19", Block: 3},
		0o7702: {},
	} {
		if _, from, _ := got.Image.At(a); from != want {
			t.Errorf("%s: the word at %o is from %+v, want %+v", src, a, from, want)
		}
	}
	if w := list.Report(got.Warnings); !strings.HasPrefix(w, "x.s19: the start address, FF0, is not used\nx.s19:1:1: no header record") {
		t.Errorf("%s: warnings %s", src, w)
	}
}

func TestReadHexImageRefuses(t *testing.T) {
	const rule = "; the rule is words of 12 bits, 2 bytes each, high byte first"
	tests := []struct {
		name string
		g    memory.Geometry
		src  []byte
		want string
	}{
		{"half a word", geometry, hexText(t, "", 0o20, 1, 2, 3), "x:2:1: the word at 0011 has only bytes 12-12 of 12-13" + rule},
		{"its other half", geometry, hexText(t, "", 0o21, 1), "x:2:1: the word at 0010 has only bytes 11-11 of 10-11" + rule},
		{"a byte of a unit missing", units(16, 8, true), hexText(t, "", 3, 1), "x:2:1: the word at 0002 has only bytes 3-3 of 2-3; the rule is words of 16 bits in units of 8, low end first, 1 byte each"},
		{"bits outside a word", geometry, hexText(t, "", 0o20, 0x12, 0x34), "x:2:1: the byte at 10, of the word at 0010, is 12, and at most 0F belongs there" + rule},
		{"too wide for its area", geometry, hexText(t, "", 0o400, 0x0f, 0xff), "x:2:1: 7777 at 0200 is too wide: words of ST1 have 9 bits, at most 777"},
		{"nothing answers", geometry, hexText(t, "", 0o200, 0, 0), "x:2:1: nothing answers at 0100: the next store, ST1, begins at 0200"},
		{"another machine's words", geometry, hexText(t, "words of 18 bits, 3 bytes each, high byte first", 0, 0, 0),
			`x: the header says "words of 18 bits, 3 bytes each, high byte first", and the words of this machine file are "words of 12 bits, 2 bytes each, high byte first"; is it the image of another machine?`},
		{"a bad file", geometry, []byte("S9030000FD"), "x:1:9: the check sum is FD, and the bytes of the record make FC; compare the line with the original"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := loader.ReadHexImage("x", tt.src, tt.g)
			if err == nil || list.Report(err) != tt.want || got != nil {
				t.Errorf("%s:\ngot  %v\nwant %s", tt.src, err, tt.want)
			}
		})
	}
}

// FuzzHexImage holds that any image is written in each form and read back to an equal one, on machines of all kinds.
func FuzzHexImage(f *testing.F) {
	f.Add(uint8(32), uint8(4), true, []byte("words of many bytes, in the one sequence or the other"))
	f.Add(uint8(18), uint8(1), false, []byte("words of an address each"))
	f.Add(uint8(64), uint8(8), true, []byte{0xff, 0, 0xff})
	f.Add(uint8(24), uint8(2), false, []byte{1, 2, 3, 4, 5, 6, 7})
	f.Fuzz(func(t *testing.T, width, parts uint8, low bool, data []byte) {
		n := max(int(parts)%9, 1)
		w := max(int(width)%65/n*n, n, 4/n*n)
		g := units(w, w/n, low)
		if n == 1 {
			g.Unit = 0
		}
		if g.Check() != nil {
			return
		}
		first := memory.NewImage(g)
		for i, b := range data[:min(len(data), 64)] {
			place := i + i/32*32 // the second 32 words are those of the second area
			word := memory.Word(b) * 0x0101010101010101 & memory.Mask(w)
			if err := first.Set(memory.Addr(place*n), word, memory.Origin{}); err != nil {
				t.Fatal(err)
			}
		}
		for _, form := range []loader.Form{plainWords, sRecords, intelHex} {
			var text strings.Builder
			rule, err := form.Write(&text, first, g)
			switch {
			case first.Len() == 0 && form != plainWords && err == nil:
				t.Errorf("%v of an empty image: no error", form)
			case err != nil && first.Len() > 0:
				t.Errorf("%v of %d words: %v", form, first.Len(), err)
			case err == nil && first.Len() > 0:
				readsBack(t, form, text.String(), rule, first, g)
			}
		}
	})
}

// readsBack wants a text to read as an image, without a warning and by the rule it was written by.
func readsBack(t *testing.T, form loader.Form, text, rule string, want *memory.Image, g memory.Geometry) {
	t.Helper()
	if form == plainWords {
		got, err := loader.ReadWords("x", []byte(text), g)
		if err != nil || got.Digest() != want.Digest() || rule != "" {
			t.Errorf("%+v: plain words\n%sread with %v as another image; rule %q", g, text, err, rule)
		}
		return
	}
	h, err := loader.ReadHexImage("x", []byte(text), g)
	if err != nil {
		t.Fatalf("%+v: %v: %v\n%s", g, form, err, text)
	}
	if h.Image.Digest() != want.Digest() || len(h.Warnings) > 0 || h.Rule != rule {
		t.Errorf("%+v: written as %v\n%sby the rule %q, read by %q as another image, warnings %v", g, form, text, rule, h.Rule, h.Warnings)
	}
}

func TestFormOf(t *testing.T) {
	for name, want := range map[string]string{
		"a.s19": "S-records", "a.SREC": "S-records", "b/c.mot": "S-records", "a.hex": "Intel HEX", "x.words.Hex": "Intel HEX",
		"a.words": "plain words", "hex": "plain words", "a.hex.words": "plain words", "": "plain words", "s19/a": "plain words",
	} {
		if got := loader.FormOf(name).String(); got != want {
			t.Errorf("%q asks for %v, want %v", name, got, want)
		}
	}
}

func TestFormRefuses(t *testing.T) {
	g := memory.Geometry{Style: memory.Style{Radix: 8}, Width: 12, AddrBits: 36,
		Areas: []memory.Area{{Name: "ST0", First: 1 << 31, Last: 1<<31 + 7, Width: 12}}}
	image := memory.NewImage(g)
	if err := image.Set(1<<31, 1, memory.Origin{}); err != nil {
		t.Fatal(err)
	}
	want := "the word at 020000000000 is beyond the addresses of such a file, which have 32 bits"
	for _, form := range []loader.Form{sRecords, intelHex} {
		if _, err := form.Write(&strings.Builder{}, image, g); err == nil || err.Error() != want {
			t.Errorf("%v: got %v, want %s", form, err, want)
		}
	}
}

func ExampleForm_Write() {
	image, err := loader.ReadWords("a.words", []byte("0010: 1234 5670"), geometry)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{"a.s19", "a.hex"} {
		rule, err := loader.FormOf(name).Write(os.Stdout, image, geometry)
		fmt.Println(rule, err)
	}
	// Output:
	// S0320000776F726473206F6620313220626974732C203220627974657320656163682C20686967682062797465206669727374D6
	// S1070010029C0BB887
	// S5030001FB
	// S9030000FC
	// words of 12 bits, 2 bytes each, high byte first <nil>
	// :04001000029C0BB88B
	// :00000001FF
	// words of 12 bits, 2 bytes each, high byte first <nil>
}
