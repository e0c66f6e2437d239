// Package hexfile reads and writes Intel HEX and S-record images: bytes at addresses of up to 32 bits, as lines of
// hexadecimal digits that carry their own count, address and check sum.
//
// Intel HEX is read as the Hexadecimal Object File Format Specification, Rev A, 6 January 1988, has it, all six types of
// record:
//
//	:04003000902BB4FD60    data (00): four bytes at 0030
//	:020000021200EA        the addresses that follow are in the segment that begins at 12000 (02)
//	:02000004FFFFFC        the addresses that follow are in the 64 K that begin at FFFF0000 (04)
//	:0400000300003800C1    start, as segment and offset (03)
//	:0400000500003800BF    start, as a 32-bit address (05)
//	:00000001FF            end (01)
//
// S-records are read in their types 0 to 3 and 5 to 9:
//
//	S00600004844521B    header, here HDR
//	S107003000144ED492  data at an address of 16 bits (S1), 24 (S2) or 32 (S3)
//	S5030004F8          data records so far, in 16 bits (S5) or 24 (S6)
//	S9030000FC          end and start address, after S1 data (S9), S2 (S8) or S3 (S7)
//
// The same types are written, of each kind the narrowest that holds the addresses, so that the oldest reader that can take
// the image at all takes it.
//
// A file is taken whole or not at all. What could be a slip of a hand or a cut file, but leaves no doubt about any byte,
// is a warning: a missing end or header, a record given twice, a start in the wrong place. Whatever leaves a doubt is an
// error: a wrong check sum or count, two values for one byte, a record that runs beyond the addresses it can name, text
// after the end. Digits may be of either case and lines may end in CR LF; blank lines are passed over.
package hexfile

import (
	"fmt"
	"go/scanner"
	"go/token"
	"iter"
)

// A File is the content of an Intel HEX or S-record file.
type File struct {
	Header   string            // the bytes of the S0 record as they stand; Intel HEX has none
	Start    uint32            // where to begin, if HasStart
	HasStart bool              // an S7, S8 or S9 of address 0 says no more than that there is none
	Segments []Segment         // by address, none overlapping another
	Warnings scanner.ErrorList // by line
}

// A Segment is a run of bytes that one record gave.
type Segment struct {
	Address uint32 // of the first byte; the last is at FFFFFFFF at most
	Data    []byte // at least one byte
	Line    int    // of the record, from 1
}

// end gives the address behind the last byte.
func (s Segment) end() uint64 { return uint64(s.Address) + uint64(len(s.Data)) }

// All goes through the bytes in the order of their addresses.
func (f *File) All() iter.Seq2[uint32, byte] {
	return func(yield func(uint32, byte) bool) {
		for _, s := range f.Segments {
			for i, b := range s.Data {
				if !yield(s.Address+uint32(i), b) {
					return
				}
			}
		}
	}
}

// Is says whether src is meant as an Intel HEX or S-record file: it begins with a colon, or with S and a digit.
func Is(src []byte) bool {
	return len(src) > 0 && src[0] == ':' || len(src) > 1 && src[0] == 'S' && '0' <= src[1] && src[1] <= '9'
}

// Read reads src as ReadHex or ReadSRecords does, told by its first character. Errors are as theirs.
func Read(name string, src []byte) (*File, error) {
	switch {
	case len(src) == 0:
		return nil, empty(name)
	case src[0] == ':':
		return ReadHex(name, src)
	case src[0] == 'S':
		return ReadSRecords(name, src)
	}
	return nil, scanner.ErrorList{{Pos: token.Position{Filename: name, Line: 1, Column: 1}, Msg: fmt.Sprintf(
		"the file begins with %q; Intel HEX begins with a colon and S-records with the letter S: is this the right file?", src[0])}}
}

// empty refuses a file of no bytes: more often a failed copy than an image of nothing.
func empty(name string) error {
	return scanner.ErrorList{{Pos: token.Position{Filename: name}, Msg: "the file is empty; copy it again from where it was made"}}
}
