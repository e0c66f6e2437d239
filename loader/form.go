package loader

import (
	"bytes"
	"fmt"
	"io"
	"path"
	"strings"

	"coldstart/loader/hexfile"
	"coldstart/memory"
)

// A Form is how an image stands in a file of text.
type Form uint8

// The forms there are. Each is read again by what the file begins with, whatever its name.
const (
	plainWords Form = iota
	sRecords
	intelHex
)

// forms are the forms in words, and the endings of file names that ask for them. Common practice, no source.
var forms = [...]struct {
	name    string
	endings []string
}{
	plainWords: {"plain words", nil}, // any other ending
	sRecords:   {"S-records", []string{".s19", ".srec", ".mot"}},
	intelHex:   {"Intel HEX", []string{".hex"}},
}

// FormOf gives the form that the ending of a file's name asks for, in letters of either case: S-records for .s19, .srec and
// .mot, Intel HEX for .hex, else plain words.
func FormOf(name string) Form {
	ending := strings.ToLower(path.Ext(name))
	for f, form := range forms {
		for _, e := range form.endings {
			if e == ending {
				return Form(f)
			}
		}
	}
	return plainWords
}

// String is the form in words.
func (f Form) String() string { return forms[f].name }

// Write writes image, of a store of geometry g, in the form, so that it reads back to the same words; rule says how words
// were made bytes, "" where they were not. S-records carry the rule in their header, Intel HEX has no place for it. The
// error says that the image is empty, that it has words beyond what 32 bits can name, or is that of w.
func (f Form) Write(w io.Writer, image *memory.Image, g memory.Geometry) (rule string, err error) {
	if f == plainWords {
		return "", WriteWords(w, image, g)
	}
	file, err := hexOf(image, &g)
	if err != nil {
		return "", err
	}
	write := hexfile.AppendSRecords
	if f == intelHex {
		write = hexfile.AppendHex
	}
	text, err := write(nil, file)
	if err != nil {
		return "", err
	}
	_, err = io.Copy(w, bytes.NewReader(text))
	return file.Header, err
}

// hexOf gives the bytes of an image, with the rule by which they were made as the header.
func hexOf(image *memory.Image, g *memory.Geometry) (*hexfile.File, error) {
	rule := newByteRule(g)
	f := &hexfile.File{Header: rule.String()}
	for a, e := range image.All() {
		first := uint64(a) / uint64(rule.units) * uint64(rule.size())
		if uint64(a) >= 1<<32 || first+uint64(rule.size()) > 1<<32 {
			return nil, fmt.Errorf("the word at %s is beyond the addresses of such a file, which have 32 bits", g.Style.Addr(a, g.AddrBits))
		}
		data := make([]byte, rule.size())
		for i := range data {
			data[i] = byte(e.Word>>rule.shift(i)) & rule.mask(i)
		}
		f.Segments = append(f.Segments, hexfile.Segment{Address: uint32(first), Data: data})
	}
	return f, nil
}
