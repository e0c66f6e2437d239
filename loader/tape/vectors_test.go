package tape_test

import (
	"bytes"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"

	"github.com/google/go-cmp/cmp"
)

// A vector is a recording written out by hand, with one defect, and what must be said about it.
type vector struct {
	expect string // which stage must refuse it
	layout *tape.Layout
	says   []string // of what is wrong
	notes  []string // of what is not, but worth knowing
	bytes  []byte
}

// readVector reads a vector, which is a list: expect CLASS, layout FILE, says "MESSAGE", notes "MESSAGE", words WORD...,
// bits 0101..., raw HEX..., and for placement store NAME FIRST LAST WIDTH. The place that a message must name is in it.
func readVector(t *testing.T, file string) vector {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	records, err := list.Read(file, src)
	if err != nil {
		t.Fatal(err)
	}
	var v vector
	for _, r := range records {
		switch r.Name() {
		case "expect":
			v.expect = r.Args()[0].Text
		case "layout":
			v.layout = layout(t, r.Args()[0].Text)
		case "says":
			v.says = append(v.says, r.Args()[0].Text)
		case "store": // for what is tested by the room above
		case "notes":
			v.notes = append(v.notes, r.Args()[0].Text)
		case "bits":
			v.bytes = append(v.bytes, v.packBits(r.Args()[0].Text)...)
		case "words":
			v.bytes = append(v.bytes, v.pack(t, r.Args())...)
		case "raw":
			for _, w := range r.Args() {
				b, err := hex.DecodeString(w.Text)
				if err != nil {
					t.Fatalf("%s: %v", w.Pos, err)
				}
				v.bytes = append(v.bytes, b...)
			}
		default:
			t.Fatalf("%s: unknown record", r.Pos)
		}
	}
	return v
}

// pack turns octal words into bytes by a way of its own, so that the packing of the layout is not its own judge: their
// digits one after the other, two a byte of 6 bits, or eight in three bytes of 8 bits.
func (v *vector) pack(t *testing.T, words []list.Word) []byte {
	var digits string
	for _, w := range words {
		digits += w.Text
	}
	per := map[int]int{18: 2, 12: 8}[v.layout.Width()]
	for len(digits)%per != 0 {
		digits += "0"
	}
	var out []byte
	for chunk := range slices.Chunk([]byte(digits), per) {
		var n uint32
		for _, d := range chunk {
			n = n<<3 | uint32(d-'0')
		}
		for shift := per / 8 * 16; shift >= 0; shift -= 8 {
			out = append(out, byte(n>>shift))
		}
	}
	return out
}

// packBits turns bits into bytes of 6 or 8 bits, the first bit highest.
func (v *vector) packBits(bits string) (out []byte) {
	per := map[int]int{18: 6, 12: 8}[v.layout.Width()]
	for chunk := range slices.Chunk([]byte(bits), per) {
		var c byte
		for i := range per {
			c <<= 1
			if i < len(chunk) {
				c |= chunk[i] - '0'
			}
		}
		out = append(out, c)
	}
	return out
}

// classes says which errors belong to which stage. What the stage placement refuses reads well here.
var classes = map[string][]error{
	"good": {tape.ErrDuplicate, tape.ErrRubbish}, // as notes
	"frame": {tape.ErrMark, tape.ErrShort, tape.ErrLong, tape.ErrShifted, tape.ErrPolarity, tape.ErrBackwards, tape.ErrRubbish,
		tape.ErrByte, tape.ErrCount, tape.ErrField},
	"check":     {tape.ErrCheck, tape.ErrParity, tape.ErrBlank},
	"sum":       {tape.ErrSum, tape.ErrBlank},
	"order":     {tape.ErrNumber, tape.ErrMissing, tape.ErrDuplicate},
	"placement": nil,
}

func TestVectors(t *testing.T) {
	files, err := filepath.Glob("testdata/vectors/*.vector")
	if err != nil || len(files) < 24 {
		t.Fatalf("%d vectors, %v; want 24 or more", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".vector"), func(t *testing.T) {
			v := readVector(t, file)
			class, known := classes[v.expect]
			if !known {
				t.Fatalf("expect %q: no such stage", v.expect)
			}
			rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes))
			if err != nil {
				t.Fatal(err)
			}
			says, notes := sayings(rec)
			if v.expect == "placement" {
				v.says = nil
			}
			if err := rec.Err(); v.expect == "good" && err != nil {
				t.Errorf("%v; want nothing wrong", err)
			}
			if err := rec.Err(); err != nil && !slices.ContainsFunc(class, func(e error) bool { return errors.Is(err, e) }) {
				t.Errorf("%v\nis no error of the stage %s", err, v.expect)
			}
			if diff := cmp.Diff(v.says, says); diff != "" {
				t.Errorf("what is wrong (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(v.notes, notes); diff != "" {
				t.Errorf("what is worth knowing (-want +got):\n%s", diff)
			}
		})
	}
}

// Every trouble there is has a vector that shows it.
func TestVectorsOfEveryTrouble(t *testing.T) {
	left := map[error]bool{
		tape.ErrMark: true, tape.ErrShort: true, tape.ErrLong: true, tape.ErrShifted: true, tape.ErrPolarity: true,
		tape.ErrBackwards: true, tape.ErrRubbish: true, tape.ErrByte: true, tape.ErrCount: true, tape.ErrParity: true,
		tape.ErrCheck: true, tape.ErrSum: true, tape.ErrBlank: true, tape.ErrNumber: true, tape.ErrDuplicate: true,
		tape.ErrMissing: true, // ErrField is held by TestFieldTooLarge
	}
	files, err := filepath.Glob("testdata/vectors/*.vector")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		v := readVector(t, file)
		rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes))
		if err != nil {
			t.Fatal(err)
		}
		for e := range left {
			if errors.Is(rec.Err(), e) {
				delete(left, e)
			}
		}
	}
	for e := range left {
		t.Errorf("no vector shows %q", e)
	}
}

// sayings gives all that is said about a recording, block after block, missing ones last.
func sayings(rec *tape.Recording) (says, notes []string) {
	for _, b := range slices.Concat(rec.Blocks, rec.Missing) {
		for _, p := range b.Problems {
			says = append(says, p.Error())
		}
		for _, p := range b.Notes {
			notes = append(notes, p.Error())
		}
	}
	return says, notes
}
