package hexfile

import (
	"bytes"
	"fmt"
	"go/scanner"
	"go/token"
)

// Limits. They keep a mistaken file name from costing more than a moment.
const (
	maxFile  = 16 << 20 // bytes of a file
	maxNotes = 1000     // errors kept of a file, and warnings
)

// A reader goes through one file, line by line.
type reader struct {
	name     string
	line     int
	errs     scanner.ErrorList
	file     File
	data     []Segment // as they come
	ended    int       // line of the end record; 0 before it
	headLine int       // line of the header
	started  int       // line that gave the start
}

// read hands every line that is not blank to record, and makes the File of what that gave.
func (r *reader) read(src []byte, record func(line string)) (*File, error) {
	switch {
	case len(src) == 0:
		return nil, empty(r.name)
	case len(src) > maxFile:
		r.line = 1
		r.errorf(0, "the file holds %d bytes, and %d are the most for an image; is this the right file?", len(src), maxFile)
		return nil, r.errs.Err()
	}
	for len(src) > 0 && len(r.errs) < maxNotes {
		var line []byte
		line, src, _ = bytes.Cut(src, []byte("\n"))
		line = bytes.TrimSuffix(line, []byte("\r"))
		r.line++
		switch {
		case len(line) == 0:
		case r.ended > 0:
			r.errorf(0, "text after the end record of line %d; take it out, or give it a file of its own", r.ended)
			src = nil
		default:
			record(string(line))
		}
	}
	return r.finish()
}

// finish puts the segments in order and looks for what only a whole file can lack.
func (r *reader) finish() (*File, error) {
	if r.ended == 0 {
		r.warnf("no end record; the file may have been cut short, so compare its length with the original")
	}
	// A file with an error gave too little, and to say so would only hide why.
	if len(r.data) == 0 && len(r.errs) == 0 {
		r.errorf(0, "no data record in the file; it holds no image")
	}
	r.merge()
	if len(r.errs) > 0 {
		r.errs.Sort()
		return nil, r.errs
	}
	r.file.Warnings.Sort()
	return &r.file, nil
}

// at gives the position of byte col, counted from 0, of the present line.
func (r *reader) at(col int) token.Position {
	return token.Position{Filename: r.name, Line: r.line, Column: col + 1}
}

// errorf notes an error at byte col of the present line.
func (r *reader) errorf(col int, format string, args ...any) {
	if len(r.errs) < maxNotes {
		r.errs.Add(r.at(col), fmt.Sprintf(format, args...))
	}
}

// warnf notes a warning about the present line.
func (r *reader) warnf(format string, args ...any) {
	if len(r.file.Warnings) < maxNotes {
		r.file.Warnings.Add(r.at(0), fmt.Sprintf(format, args...))
	}
}

// digits reads the hexadecimal digits of line from byte col on, two a byte. The result false has been noted.
func (r *reader) digits(line string, col int) ([]byte, bool) {
	all := make([]byte, 0, (len(line)-col)/2)
	for i := col; i < len(line); i++ {
		v, ok := digit(line[i])
		if !ok {
			r.errorf(i, "%q is no hexadecimal digit%s", line[i], slip(line[i]))
			return nil, false
		}
		if (i-col)%2 == 0 {
			all = append(all, v<<4)
		} else {
			all[len(all)-1] |= v
		}
	}
	if (len(line)-col)%2 == 1 {
		r.errorf(len(line)-1, "a digit without its fellow: a byte is two digits, so one is missing or too many")
		return nil, false
	}
	return all, true
}

// digit gives the value of a hexadecimal digit of either case.
func digit(c byte) (byte, bool) {
	switch {
	case '0' <= c && c <= '9':
		return c - '0', true
	case 'A' <= c && c <= 'F':
		return c - 'A' + 10, true
	case 'a' <= c && c <= 'f':
		return c - 'a' + 10, true
	}
	return 0, false
}

// slip says what was probably meant by c, which is no digit.
func slip(c byte) string {
	switch c {
	case 'O', 'o':
		return "; for zero type 0, not the letter"
	case 'l', 'I':
		return "; for one type 1, not the letter"
	case ' ', '\t':
		return "; a record has no blanks, so take it out"
	}
	return "; compare the line with the original"
}

// long says whether a record that has got bytes where want were stated is as long as it says; false has been noted. The
// count stands at byte col.
func (r *reader) long(col, count, want, got int) bool {
	if want != got {
		r.errorf(col, "the count is %02X, so the record should have %d more digits, and it has %d; compare the line with the original",
			count, 2*want, 2*got)
	}
	return want == got
}

// sum compares the check sum at the end of line with the one that the record's bytes make; false has been noted.
func (r *reader) sum(line string, is, want byte) bool {
	if is != want {
		r.errorf(len(line)-2, "the check sum is %02X, and the bytes of the record make %02X; compare the line with the original", is, want)
	}
	return is == want
}

// start takes a as the place to begin.
func (r *reader) start(a uint32) {
	switch {
	case r.started == 0:
		r.file.Start, r.file.HasStart, r.started = a, true, r.line
	case r.file.Start == a:
		r.warnf("the start address %08X was already given on line %d", a, r.started)
	default:
		r.errorf(0, "the start address is %08X here and %08X on line %d; strike out one of them", a, r.file.Start, r.started)
	}
}

// add takes data for the addresses from a on. Nothing may lie beyond FFFFFFFF.
func (r *reader) add(a uint32, data []byte) {
	if len(data) > 0 {
		r.data = append(r.data, Segment{Address: a, Data: data, Line: r.line})
	}
}
