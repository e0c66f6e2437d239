package hexfile

import "strconv"

// sAddress gives the bytes of the address field of each type of S-record; 0 for the type that has no meaning.
var sAddress = [10]int{0: 2, 1: 2, 2: 3, 3: 4, 5: 2, 6: 3, 7: 4, 8: 3, 9: 2}

// An sReader reads S-records.
type sReader struct {
	reader
	records int // data records so far
	widest  int // the widest data record so far, 1 to 3
}

// ReadSRecords reads an S-record file; name is the file name shown in errors, which are a go/scanner.ErrorList. Data of
// different address widths may stand in one file. A record that runs beyond what its address field can name is an error.
func ReadSRecords(name string, src []byte) (*File, error) {
	r := &sReader{reader: reader{name: name}}
	f, err := r.read(src, r.record)
	if err == nil && r.headLine == 0 {
		r.line = 1
		r.warnf("no header record")
		f.Warnings.Sort()
	}
	return f, err
}

// record reads one line.
func (r *sReader) record(line string) {
	if line[0] != 'S' {
		r.errorf(0, "the line begins with %q; an S-record begins with the letter S", line[0])
		return
	}
	if len(line) < 2 || line[1] < '0' || line[1] > '9' || sAddress[line[1]-'0'] == 0 {
		r.errorf(min(1, len(line)-1), "no S-record is of this type; they are S0 to S3 and S5 to S9")
		return
	}
	kind := int(line[1] - '0')
	b, ok := r.digits(line, 2)
	if !ok {
		return
	}
	wide := sAddress[kind]
	if len(b) < wide+2 {
		r.errorf(0, "the record has %d digits after S%d; the shortest has %d: count, address and check sum", 2*len(b), kind, 2*(wide+2))
		return
	}
	if !r.long(2, int(b[0]), int(b[0]), len(b)-1) || !r.sum(line, b[len(b)-1], sSum(b[:len(b)-1])) {
		return
	}
	var a uint32
	for _, v := range b[1 : 1+wide] {
		a = a<<8 | uint32(v)
	}
	r.meaning(kind, a, b[1+wide:len(b)-1])
}

// sSum makes the check sum of a record: the one's complement of the sum of its bytes.
func sSum(record []byte) byte { return hexSum(record) - 1 }

// meaning carries out one record whose form is right.
func (r *sReader) meaning(kind int, a uint32, data []byte) {
	if kind >= 5 && len(data) > 0 {
		r.errorf(2, "an S%d record has no data, and here it has %d bytes; compare the line with the original", kind, len(data))
		return
	}
	switch kind {
	case 0:
		r.header(a, string(data))
	case 1, 2, 3:
		r.records++
		r.widest = max(r.widest, kind)
		if over := uint64(1)<<(8*sAddress[kind]) - uint64(a); uint64(len(data)) > over {
			r.errorf(4, "the record runs beyond %X, the last address that S%d can name; compare the line with the original",
				uint64(a)+over-1, kind)
			return
		}
		r.add(a, data)
	case 5, 6:
		if int(a) != r.records {
			r.errorf(4, "the file says %d data records, and %d stand before this line; some were lost or put in", a, r.records)
		}
	default:
		r.end(kind, a)
	}
}

// header takes the text of an S0 record.
func (r *sReader) header(a uint32, text string) {
	switch {
	case r.headLine == 0:
		r.file.Header, r.headLine = text, r.line
	case r.file.Header == text:
		r.warnf("the header was already given, and alike, on line %d", r.headLine)
	default:
		r.errorf(0, "the header is %s here and %s on line %d; strike out one of them",
			strconv.Quote(text), strconv.Quote(r.file.Header), r.headLine)
	}
	if a != 0 {
		r.warnf("the header record has the address %04X, where 0000 belongs; it is not used", a)
	}
}

// end takes an S7, S8 or S9 record.
func (r *sReader) end(kind int, a uint32) {
	r.ended = r.line
	if a != 0 {
		r.start(a)
	}
	if r.widest > 0 && kind != 10-r.widest {
		r.warnf("S%d ends the file; after S%d records S%d belongs there", kind, r.widest, 10-r.widest)
	}
}
