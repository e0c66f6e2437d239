// Package code is the codes that teletypewriters speak, as tables, and how a character stands on a line, bit for bit.
package code

import (
	"fmt"
	"math/bits"
	"strings"
)

// A Set is a code: which number stands for which character.
type Set struct {
	Name  string
	Units int // data bits of a character, parity left out

	letters []string // by code; figures too where there is a shift
	figures []string // nil: no shift

	toLetters, toFigures byte // the codes that shift
}

// New is a code of so many units, its characters by code; figures nil says that it has no shift, else two codes shift.
func New(name string, units int, letters, figures []string, toLetters, toFigures byte) *Set {
	return &Set{name, units, letters, figures, toLetters, toFigures}
}

// The shifts of ITA2.
const (
	figuresShift = 0x1B
	lettersShift = 0x1F
)

// ASCII is ANSI X3.4, which is ISO 646, of 7 units. Controls go by their own codes.
var ASCII = &Set{Name: "ascii", Units: 7, letters: ascii()}

// ITA2 is CCITT S.1 (Blue Book VII.1, 1984/1988), international figures, of 5 units. The figures of F, G and H are left to
// national use and stand here as ?.
var ITA2 = New("ita2", 5, ita2Letters, ita2("NUL 3 LF - SP ' 8 7 CR WRU 4 BEL , ? : ( 5 + ) 2 ? 6 0 1 9 ? ? FIGS . / = LTRS"), lettersShift, figuresShift)

// American is ITA2 with the figures of American teletypewriters, where they differ (public tables).
var American = New("ita2-american", 5, ita2Letters,
	ita2(`NUL 3 LF - SP BEL 8 7 CR $ 4 ' , ! : ( 5 " ) 2 # 6 0 1 9 ? & FIGS . / ; LTRS`), lettersShift, figuresShift)

// Sets are all of them, in the order that lists name them.
var Sets = []*Set{ASCII, ITA2, American}

// ita2Letters are the letters of ITA2 by code, bit 1 of a character the lowest.
var ita2Letters = ita2("NUL E LF A SP S I U CR D R J N F C K T Z L W H Y P Q O B G FIGS M X V LTRS")

// controls are the characters that have names here; a shift is none.
var controls = map[string]string{"NUL": "\x00", "LF": "\n", "SP": " ", "CR": "\r", "BEL": "\a", "WRU": "\x05", "FIGS": "", "LTRS": "", "none": ""}

// Character is a character by the name that a table has for it: itself, or NUL, LF, SP, CR, BEL or WRU; FIGS, LTRS and none are none.
func Character(name string) string {
	if c, ok := controls[name]; ok {
		return c
	}
	return name
}

// ita2 is a table of 32 characters.
func ita2(text string) []string {
	names := strings.Fields(text)
	for i, n := range names {
		names[i] = Character(n)
	}
	return names
}

// ascii is the table of 128 characters.
func ascii() []string {
	all := make([]string, 128)
	for i := range all {
		all[i] = string(rune(i))
	}
	return all
}

// Encode is the codes of a text, shifts put in where they are needed; the line stands in letters before. The error names the
// character that has no code.
func (s *Set) Encode(text string) ([]byte, error) {
	var out []byte
	shifted := false
	for _, r := range text {
		c := string(r)
		at, figures, ok := s.find(c)
		if !ok {
			return nil, fmt.Errorf("%q has no code in %s", r, s.Name)
		}
		if both := s.figures != nil && s.letters[at] == s.figures[at]; s.figures != nil && !both && figures != shifted {
			out = append(out, map[bool]byte{true: s.toFigures, false: s.toLetters}[figures])
			shifted = figures
		}
		out = append(out, byte(at))
	}
	return out, nil
}

// find is the code of a character, and whether it stands among the figures alone.
func (s *Set) find(c string) (at int, figures, ok bool) {
	if s.figures != nil {
		c = strings.ToUpper(c)
	}
	for i, l := range s.letters {
		if l == c && c != "" {
			return i, false, true
		}
	}
	for i, f := range s.figures {
		if f == c && c != "" {
			return i, true, true
		}
	}
	return 0, false, false
}

// A Reader turns codes into text; it remembers the shift. The zero Reader of a set stands in letters.
type Reader struct {
	Set     *Set
	shifted bool
}

// Read is the character of a code, "" for a shift. Bits beyond the units of the set are no business of it.
func (r *Reader) Read(code byte) string {
	s := r.Set
	code &= 1<<s.Units - 1
	if s.figures == nil {
		return s.letters[code]
	}
	switch code {
	case s.toFigures, s.toLetters:
		r.shifted = code == s.toFigures
		return ""
	}
	if r.shifted {
		return s.figures[code]
	}
	return s.letters[code]
}

// A Parity is what a bit behind the data is for.
type Parity uint8

// What it can be for. ANSI X3.16 makes it even on an asynchronous line (from memory).
const (
	None Parity = iota
	Even
	Odd
)

// With is a code of some data bits with the parity bit above them that belongs to it.
func (p Parity) With(code byte, units int) byte {
	code &= 1<<units - 1
	odd := bits.OnesCount8(code)%2 == 1
	if p == Even && odd || p == Odd && !odd {
		code |= 1 << units
	}
	return code
}

// A Frame is how a character stands on a line: a start bit of 0, the data from the lowest bit up, a parity bit if there is
// one, and a stop of 1. An idle line is 1 (EIA RS-232-C).
type Frame struct {
	Units  int // data bits
	Parity Parity
	Stop   int // hundredths of a bit: 100, 142, 150 or 200 are usual
}

// Bits is a character on the line: its start bit, its data, and its stop as far as that is whole bits.
func (f Frame) Bits(code byte) string {
	data := f.Units
	if f.Parity != None {
		code = f.Parity.With(code, f.Units)
		data++
	}
	var s strings.Builder
	s.WriteByte('0')
	for i := range data {
		s.WriteByte('0' + code>>i&1)
	}
	for range f.Stop / 100 {
		s.WriteByte('1')
	}
	return s.String()
}

// Parse takes a character off a line that begins with its start bit; it says in a phrase what is wrong with it, "" where
// nothing is. Too few bits, a start that is none and a stop that is none are wrong, and so is parity.
func (f Frame) Parse(line string) (code byte, wrong string) {
	data := f.Units
	if f.Parity != None {
		data++
	}
	if len(line) < data+2 {
		return 0, "too few bits"
	}
	for i := range data {
		code |= line[1+i] & 1 << i
	}
	whole := code
	code &= 1<<f.Units - 1
	switch {
	case line[0] != '0':
		return code, "no start bit"
	case line[data+1] != '1':
		return code, "no stop bit"
	case f.Parity != None && f.Parity.With(code, f.Units) != whole:
		return code, "wrong parity"
	}
	return code, ""
}
