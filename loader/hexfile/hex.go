package hexfile

import "encoding/binary"

// The types of record of Intel HEX.
const (
	hexData          = 0x00
	hexEnd           = 0x01
	hexSegment       = 0x02
	hexStartSegment  = 0x03
	hexLinear        = 0x04
	hexStartLinear   = 0x05
	hexMeaning       = "00 is data, 01 end, 02 and 04 the base of addresses, 03 and 05 the start"
	hexFixed         = 5 // bytes of a record besides its data: count, offset (two), type, check sum
	hexBytesOnOffset = 1 << 16
)

// hexLength gives the data bytes that a record of each type has, and what it is; data has as many as it likes.
var hexLength = map[byte]struct {
	bytes int
	what  string
}{
	hexEnd:          {0, "an end record"},
	hexSegment:      {2, "a segment base"},
	hexStartSegment: {4, "a segment start"},
	hexLinear:       {2, "a linear base"},
	hexStartLinear:  {4, "a linear start"},
}

// A hexReader reads Intel HEX: the base that the addresses of data records count from, and the rule it was given by.
type hexReader struct {
	reader
	base uint32
	rule byte // hexSegment or hexLinear; hexData before there is either
}

// ReadHex reads an Intel HEX file; name is the file name shown in errors, which are a go/scanner.ErrorList. After a record
// of type 02 an address that passes the end of its segment goes on at the segment's beginning; after one of type 04 it
// goes on in the next 64 K, and from FFFFFFFF at 0. Before either it is an error to pass FFFF, since nothing says which is
// meant. A start of type 03 is given as segment times 16 plus offset.
func ReadHex(name string, src []byte) (*File, error) {
	r := &hexReader{reader: reader{name: name}}
	return r.read(src, r.record)
}

// record reads one line.
func (r *hexReader) record(line string) {
	if line[0] != ':' {
		r.errorf(0, "the line begins with %q; a record of Intel HEX begins with a colon", line[0])
		return
	}
	b, ok := r.digits(line, 1)
	if !ok {
		return
	}
	if len(b) < hexFixed {
		r.errorf(0, "the record has %d digits; the shortest has %d: count, address, type and check sum", 2*len(b), 2*hexFixed)
		return
	}
	if !r.long(1, int(b[0]), int(b[0])+hexFixed-1, len(b)-1) || !r.sum(line, b[len(b)-1], hexSum(b[:len(b)-1])) {
		return
	}
	r.meaning(b[3], binary.BigEndian.Uint16(b[1:]), b[4:len(b)-1])
}

// hexSum makes the check sum of a record: the two's complement of the sum of its bytes.
func hexSum(record []byte) byte {
	var sum byte
	for _, b := range record {
		sum -= b
	}
	return sum
}

// meaning carries out one record whose form is right.
func (r *hexReader) meaning(kind byte, offset uint16, data []byte) {
	if kind == hexData {
		r.put(offset, data)
		return
	}
	form, known := hexLength[kind]
	switch {
	case !known:
		r.errorf(7, "no record has the type %02X; %s", kind, hexMeaning)
		return
	case len(data) != form.bytes:
		r.errorf(1, "%s has %d data bytes here; it must have %d", form.what, len(data), form.bytes)
		return
	case offset != 0 && kind == hexEnd:
		// Older tools put the start here, and nothing in the file says whether this one did.
		r.warnf("the end record has the address %04X, where 0000 belongs; it is not taken as a start", offset)
	case offset != 0:
		r.errorf(3, "%s has the address %04X; 0000 belongs there", form.what, offset)
		return
	}
	switch kind {
	case hexEnd:
		r.ended = r.line
	case hexSegment:
		r.base, r.rule = uint32(binary.BigEndian.Uint16(data))<<4, kind
	case hexLinear:
		r.base, r.rule = uint32(binary.BigEndian.Uint16(data))<<16, kind
	case hexStartSegment:
		r.start(uint32(binary.BigEndian.Uint16(data))<<4 + uint32(binary.BigEndian.Uint16(data[2:])))
	case hexStartLinear:
		r.start(binary.BigEndian.Uint32(data))
	}
}

// put places data at an offset from the base, by the rule of the record that gave the base.
func (r *hexReader) put(offset uint16, data []byte) {
	fit := hexBytesOnOffset - int(offset)
	if len(data) <= fit {
		r.add(r.base+uint32(offset), data)
		return
	}
	switch r.rule {
	case hexData:
		r.errorf(3, "the record runs past FFFF, and no record of type 02 or 04 before it says where it goes on")
	case hexSegment:
		r.add(r.base+uint32(offset), data[:fit])
		r.add(r.base, data[fit:])
	case hexLinear:
		// Adding wraps from FFFFFFFF to 0 by itself; the parts are apart so that no segment does.
		r.add(r.base+uint32(offset), data[:fit])
		r.add(r.base+hexBytesOnOffset, data[fit:])
	}
}
