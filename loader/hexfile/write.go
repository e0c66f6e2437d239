package hexfile

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"iter"
	"slices"
)

const (
	bytesOnLine = 16  // data bytes of a line
	maxHeader   = 252 // bytes of a header: a count of 255, less two of address and the check sum
)

// A hexBase is how the records of an Intel HEX file say where the offsets of data count from, and where to begin.
type hexBase struct {
	kind, start byte // types of record
	last        uint32
	unit        int // bits of an address below what a base counts
}

// hexBases are the three extents that the specification gives the format, the narrowest first: 8, 16 and 32 bits. Older
// readers know only the first ones.
var hexBases = []hexBase{
	{hexData, hexStartSegment, 1<<16 - 1, 0}, // no record says a base
	{hexSegment, hexStartSegment, 1<<20 - 1, 4},
	{hexLinear, hexStartLinear, 1<<32 - 1, 16},
}

// AppendHex appends f to dst as an Intel HEX file: sixteen data bytes a line, the start, and the end. Up to FFFF offsets alone
// say where data belongs; up to FFFFF a base by a record of type 02 stands before each 64 K, the first included, and
// beyond that one of type 04; the start is by type 03 or 05 to go with it. Intel HEX has no header, so f.Header is left
// out. The error says that f has no bytes, or that its Segments are not as File states; dst is then returned as it was.
func AppendHex(dst []byte, f *File) ([]byte, error) {
	if err := f.check(); err != nil {
		return dst, err
	}
	by := hexBases[0]
	for _, wider := range hexBases[1:] {
		if f.last() > by.last {
			by = wider
		}
	}
	base := -1
	// No line passes a multiple of 64 K, so that no reader's rule for passing one matters.
	for a, data := range f.lines(hexBytesOnOffset) {
		if high := int(a >> 16); high != base && by.kind != hexData {
			base = high
			dst = appendHex(dst, by.kind, 0, binary.BigEndian.AppendUint16(nil, uint16(a>>16<<16>>by.unit)))
		}
		dst = appendHex(dst, hexData, uint16(a), data)
	}
	if f.HasStart {
		start := f.Start
		if by.start == hexStartSegment { // a segment that begins at a multiple of 64 K, and the offset in it
			start = f.Start>>16<<28 | f.Start&0xFFFF
		}
		dst = appendHex(dst, by.start, 0, binary.BigEndian.AppendUint32(nil, start))
	}
	return appendHex(dst, hexEnd, 0, nil), nil
}

// appendHex appends one record of Intel HEX.
func appendHex(dst []byte, kind byte, offset uint16, data []byte) []byte {
	b := append([]byte{byte(len(data)), byte(offset >> 8), byte(offset), kind}, data...)
	return appendLine(append(dst, ':'), append(b, hexSum(b)))
}

// AppendSRecords appends f to dst as an S-record file: the header, sixteen data bytes a line, all in the narrowest address
// field that suffices, the number of data records, and the end with the start address, 0 where there is none. The error
// says that f has no bytes, that its Segments are not as File states, or that the header is too long; dst is then
// returned as it was.
func AppendSRecords(dst []byte, f *File) ([]byte, error) {
	if err := f.check(); err != nil {
		return dst, err
	}
	if len(f.Header) > maxHeader {
		return dst, fmt.Errorf("a header of %d bytes; an S0 record holds %d at most", len(f.Header), maxHeader)
	}
	dst = appendS(dst, 0, 0, []byte(f.Header))
	kind, records := f.narrowest(), 0
	for a, data := range f.lines(1 << 32) {
		dst = appendS(dst, kind, a, data)
		records++
	}
	switch {
	case records < 1<<16:
		dst = appendS(dst, 5, uint32(records), nil)
	case records < 1<<24: // no record can count more
		dst = appendS(dst, 6, uint32(records), nil)
	}
	return appendS(dst, 10-kind, f.start(), nil), nil
}

// appendS appends one S-record.
func appendS(dst []byte, kind int, a uint32, data []byte) []byte {
	wide := sAddress[kind]
	b := binary.BigEndian.AppendUint32([]byte{0}, a)
	b = slices.Delete(b, 1, 5-wide)
	b[0] = byte(wide + len(data) + 1)
	b = append(b, data...)
	return appendLine(append(dst, 'S', '0'+byte(kind)), append(b, sSum(b)))
}

// appendLine appends the digits of a record and its line end.
func appendLine(dst, record []byte) []byte {
	return append(append(dst, bytes.ToUpper(hex.AppendEncode(nil, record))...), '\n')
}

// start gives the address of the end record.
func (f *File) start() uint32 {
	if f.HasStart {
		return f.Start
	}
	return 0
}

// last gives the last address of f, its start included.
func (f *File) last() uint32 {
	return max(f.start(), uint32(f.Segments[len(f.Segments)-1].end()-1))
}

// narrowest gives the type of data record, 1 to 3, whose address field holds all addresses of f, its start included.
func (f *File) narrowest() int {
	switch last := f.last(); {
	case last < 1<<16:
		return 1
	case last < 1<<24:
		return 2
	}
	return 3
}

// check finds what cannot be written.
func (f *File) check() error {
	if len(f.Segments) == 0 {
		return errors.New("no bytes to write: the image is empty")
	}
	var end uint64
	for i, s := range f.Segments {
		switch {
		case len(s.Data) == 0:
			return fmt.Errorf("segment %d, at %08X, has no bytes", i, s.Address)
		case uint64(s.Address) < end:
			return fmt.Errorf("segment %d, at %08X, begins before the end of the one before it", i, s.Address)
		case s.end() > 1<<32:
			return fmt.Errorf("segment %d, at %08X, runs beyond the last address, FFFFFFFF", i, s.Address)
		}
		end = s.end()
	}
	return nil
}

// lines goes through the bytes as lines have them: sixteen at most, without a gap, and none across a multiple of within.
func (f *File) lines(within uint64) iter.Seq2[uint32, []byte] {
	return func(yield func(uint32, []byte) bool) {
		var first uint32
		var data []byte
		for a, b := range f.All() {
			if n := len(data); n == bytesOnLine || n > 0 && (a != first+uint32(n) || uint64(a)%within == 0) {
				if !yield(first, data) {
					return
				}
				data = nil
			}
			if len(data) == 0 {
				first = a
			}
			data = append(data, b)
		}
		if len(data) > 0 {
			yield(first, data)
		}
	}
}
