package tape_test

import (
	"bytes"
	"fmt"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A parameters is one row of the catalogue.
type parameters struct {
	name, poly, start string
	reflected         bool // in and out alike, in all of these
	final             string
	check             uint64 // the code of the ASCII text "123456789"
}

// catalogue holds parameters and check values of sixteen-bit codes. ARC, MODBUS, XMODEM and KERMIT are as docs.rs
// crc-catalog publishes them; ARC, UMTS (BUYPASS), IBM-3740 (CCITT-FALSE) and GENIBUS as the package docs on pkg.go.dev do.
// The check values of USB, CMS, IBM-SDLC (X.25) and MCRF4XX were recomputed, not read in a source.
var catalogue = []parameters{
	{"ARC", "8005", "0000", true, "0000", 0xBB3D},
	{"UMTS", "8005", "0000", false, "0000", 0xFEE8},
	{"MODBUS", "8005", "FFFF", true, "0000", 0x4B37},
	{"USB", "8005", "FFFF", true, "FFFF", 0xB4C8},
	{"CMS", "8005", "FFFF", false, "0000", 0xAEE7},
	{"XMODEM", "1021", "0000", false, "0000", 0x31C3},
	{"KERMIT", "1021", "0000", true, "0000", 0x2189},
	{"IBM-3740", "1021", "FFFF", false, "0000", 0x29B1},
	{"GENIBUS", "1021", "FFFF", false, "FFFF", 0xD64E},
	{"IBM-SDLC", "1021", "FFFF", true, "FFFF", 0x906E},
	{"MCRF4XX", "1021", "FFFF", true, "0000", 0x6F91},
}

// record is the check record of these parameters. Codes that are not reflected go high byte first, reflected ones low
// byte first.
func (p parameters) record() string {
	way, order := "straight", "high"
	if p.reflected {
		way, order = "reflected", "low"
	}
	return fmt.Sprintf("check 16 bits %s start %s in %s out %s final %s 2 words %s first over data", p.poly, p.start, way, way, p.final, order)
}

// bytewise makes a layout of so many words of data, each a byte, and a check record.
func bytewise(t testing.TB, words int, check string) *tape.Layout {
	t.Helper()
	l, err := build(fmt.Sprintf("word 8 bits\nbytes 1 of 8 bits make 1 word high first\ndata %d words\n%s", words, check))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	return l
}

// asWords makes words of the bytes of a text.
func asWords(text string) []memory.Word {
	var words []memory.Word
	for i := range len(text) {
		words = append(words, memory.Word(text[i]))
	}
	return words
}

// sealed records a block of words and gives all of it, code included, as raw words.
func sealed(t testing.TB, l *tape.Layout, words []memory.Word) []memory.Word {
	t.Helper()
	src, err := l.Append(nil, 0, 0, words)
	if err != nil {
		t.Fatal(err)
	}
	return asWords(string(src))
}

func TestCatalogue(t *testing.T) {
	const text = "123456789"
	for _, p := range catalogue {
		t.Run(p.name, func(t *testing.T) {
			raw := sealed(t, bytewise(t, len(text), p.record()), asWords(text))
			code := raw[len(text):]
			if p.reflected {
				code[0], code[1] = code[1], code[0]
			}
			if got := uint64(code[0]<<8 | code[1]); got != p.check {
				t.Errorf("code of %q: got %04X, want %04X", text, got, p.check)
			}
		})
	}
}

// Codes of other widths. Their check values are from memory, of the catalogue's rows CRC-8/SMBUS, CRC-24/OPENPGP,
// CRC-32/ISO-HDLC and CRC-64/ECMA-182; the last two polynomials are also those of hash/crc32 and hash/crc64.
func TestOtherWidths(t *testing.T) {
	const text = "123456789"
	tests := []struct {
		record string
		want   uint64
	}{
		{"check 8 bits 07 start 00 in straight out straight final 00 over data", 0xF4},
		{"check 24 bits 864CFB start B704CE in straight out straight final 000000 over data", 0x21CF02},
		{"check 32 bits 04C11DB7 start FFFFFFFF in reflected out reflected final FFFFFFFF over data", 0xCBF43926},
		{"check 64 bits 42F0E1EBA9EA3693 start 0000000000000000 in straight out straight final 0000000000000000 over data", 0x6C40DF5F0B497347},
	}
	for _, tt := range tests {
		raw := sealed(t, bytewise(t, len(text), tt.record), asWords(text))
		var got uint64
		for _, w := range raw[len(text):] {
			got = got<<8 | uint64(w)
		}
		if got != tt.want {
			t.Errorf("%s: got %X, want %X", tt.record, got, tt.want)
		}
	}
}

// A receiver that sends data and code through its register ends at a number that depends on the final value alone:
// recomputed, not read in a source.
func TestReceiverResidue(t *testing.T) {
	for _, p := range catalogue {
		raw := sealed(t, bytewise(t, 9, p.record()), asWords("123456789"))
		want := uint64(0)
		switch {
		case p.poly == "1021" && p.final == "FFFF" && p.reflected:
			want = 0xF0B8
		case p.poly == "1021" && p.final == "FFFF":
			want = 0x1D0F
		case p.final == "FFFF":
			continue // no value for the other polynomial is published here
		}
		received := p
		received.final = "0000"
		again := sealed(t, bytewise(t, len(raw), received.record()), raw)
		code := again[len(raw):]
		if p.reflected {
			code[0], code[1] = code[1], code[0]
		}
		if got := uint64(code[0]<<8 | code[1]); got != want {
			t.Errorf("%s: the register ends at %04X, want %04X", p.name, got, want)
		}
	}
}

// A start of 0 gives an all-zero block the code 0, whatever its length: it passes, and it is blank. Any other start does
// not let it pass.
func TestBlankBlock(t *testing.T) {
	raw := make([]memory.Word, 2048+2)
	for _, p := range catalogue {
		proof := bytewise(t, 2048, p.record()).Prove(raw)
		want := tape.Wrong
		if p.start == "0000" {
			want = tape.Right
		}
		if proof.Check != want || !proof.Blank {
			t.Errorf("%s: 2,048 bytes of 0 with code 0000: check %v, blank %v; want %v, true", p.name, proof.Check, proof.Blank, want)
		}
	}
}

// The words of a code may be wider than a byte, and their bits may stand over unused ones; the bits that go in are those
// recorded, unit after unit, and no others.
func TestCodeOfWords(t *testing.T) {
	// "123456789" is 24 digits of octal; by threes of six bits they are 36 bits a pair, here as four words of 18 bits: the
	// same 72 bits in the same order, so the code must be the catalogue's.
	words := []memory.Word{0x31<<10 | 0x32<<2 | 0x33>>6, 0x33&0x3F<<12 | 0x34<<4 | 0x35>>4, 0x35&0xF<<14 | 0x36<<6 | 0x37>>2, 0x37&3<<16 | 0x38<<8 | 0x39}
	for _, packing := range []string{"3 of 6 bits make 1 word", "3 of 8 bits make 1 word", "9 of 8 bits make 4 words", "18 of 1 bits make 1 word"} {
		l, err := build("numbers hexadecimal\nword 18 bits\nbytes " + packing + " high first\ndata 4 words\ncheck 16 bits 8005 start 0000 in straight out straight final 0000 over data")
		if err != nil {
			t.Fatal(list.Report(err))
		}
		src, err := l.Append(nil, 0, 0, words)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := tape.Read(l, "x", bytes.NewReader(src))
		if err != nil {
			t.Fatal(err)
		}
		if b := rec.Blocks[0]; !b.Checked || b.CodeRead != 0xFEE8 || b.CodeFound != 0xFEE8 || !b.Good() {
			t.Errorf("bytes %s: code read %04X, found %04X, %v; want FEE8 (UMTS)", packing, b.CodeRead, b.CodeFound, rec.Err())
		}
	}
}
