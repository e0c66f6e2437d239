package loader

import (
	"fmt"
	"go/scanner"
	"go/token"
	"strings"

	"coldstart/loader/hexfile"
	"coldstart/loader/list"
	"coldstart/memory"
)

// A HexImage is an image that was read from Intel HEX or S-records.
type HexImage struct {
	Image    *memory.Image
	Rule     string            // how bytes were made words, such as "words of 18 bits, 3 bytes each, high byte first"
	Warnings scanner.ErrorList // what may be a slip, but leaves no doubt about a word
}

// A byteRule says how the bytes of a file make words. Bytes are put together to what an address counts, a unit or a whole
// word; units are put together to words as the machine does it.
type byteRule struct {
	width, unit int  // bits of a word, and of what an address counts
	units       int  // of a word
	each        int  // bytes of a unit, the fewest that hold it
	lowUnit     bool // the unit at the lowest address is the right end of its word
	lowByte     bool // the byte at the lowest address is the right end of its unit
}

// newByteRule gives the rule for a machine: high byte first, which the header of a file may turn round.
func newByteRule(g *memory.Geometry) byteRule {
	units := g.Step()
	unit := g.Width / units
	return byteRule{width: g.Width, unit: unit, units: units, each: (unit + 7) / 8, lowUnit: g.LowFirst && units > 1}
}

// ruleBegins is how the text of every rule begins, and no other header is likely to.
const ruleBegins = "words of "

// String gives the rule as a header carries it, and as it is shown.
func (r byteRule) String() string {
	ends := map[bool]string{false: "high", true: "low"}
	text := fmt.Sprintf("%s%d bits", ruleBegins, r.width)
	if r.units > 1 {
		text += fmt.Sprintf(" in units of %d, %s end first", r.unit, ends[r.lowUnit])
	}
	if r.each == 1 {
		return text + ", 1 byte each"
	}
	return text + fmt.Sprintf(", %d bytes each, %s byte first", r.each, ends[r.lowByte])
}

// follow takes over the byte order that a header states. The error says that the header is of another machine's words.
func (r byteRule) follow(header string) (byteRule, error) {
	turned := r
	turned.lowByte = r.each > 1
	switch {
	case header == turned.String():
		return turned, nil
	case strings.HasPrefix(header, ruleBegins) && header != r.String():
		return r, fmt.Errorf("the header says %q, and the words of this machine file are %q; is it the image of another machine?", header, r)
	}
	return r, nil
}

// size gives the bytes of a word.
func (r byteRule) size() int { return r.units * r.each }

// shift gives how many bits stand right of byte i of a word. The byte at the left of a unit may be less than eight bits.
func (r byteRule) shift(i int) int {
	unit, b := i/r.each, i%r.each
	if !r.lowUnit {
		unit = r.units - 1 - unit
	}
	if !r.lowByte {
		b = r.each - 1 - b
	}
	return unit*r.unit + 8*b
}

// mask gives the bits that byte i of a word may have set.
func (r byteRule) mask(i int) byte {
	b := i % r.each
	if !r.lowByte {
		b = r.each - 1 - b
	}
	return byte(memory.Mask(min(8, r.unit-8*b)))
}

// ReadHexImage reads an Intel HEX or S-record file as an image for a store of geometry g. Where addresses of g count units
// of 8 bits, the addresses of the file are those of the machine, and units make words as the machine puts them together.
// Otherwise what an address counts takes as many bytes as hold it, high byte first, so that the word at address 3 of
// three bytes begins at 9; a header as Form.Write makes it for S-records can say low byte first. The origin of each word is
// the file and, as its Block, the line of its first byte; its Kind is as ReadWords gives it. The error is a
// go/scanner.ErrorList; a word of which bytes are missing is an error, and so are bits outside a word.
func ReadHexImage(name string, src []byte, g memory.Geometry) (*HexImage, error) {
	f, err := hexfile.Read(name, src)
	if err != nil {
		return nil, err
	}
	r := hexReader{name: name, g: &g, image: memory.NewImage(g)}
	if r.rule, err = newByteRule(&g).follow(f.Header); err != nil {
		r.errs.Add(token.Position{Filename: name}, "%v", err)
		return nil, r.errs.Err()
	}
	r.bytes = make([]byte, 0, r.rule.size())
	for _, s := range f.Segments {
		for i, b := range s.Data {
			r.take(uint64(s.Address)+uint64(i), b, s.Line)
		}
	}
	r.finish()
	if err := r.errs.Err(); err != nil {
		return nil, err
	}
	if f.HasStart {
		f.Warnings.Add(token.Position{Filename: name}, fmt.Sprintf("the start address, %X, is not used", f.Start))
		f.Warnings.Sort()
	}
	return &HexImage{Image: r.image, Rule: r.rule.String(), Warnings: f.Warnings}, nil
}

// A hexReader puts bytes, which come by address, together to words.
type hexReader struct {
	name  string
	g     *memory.Geometry
	rule  byteRule
	image *memory.Image
	errs  list.Errors
	bytes []byte // the bytes of the present word so far
	first uint64 // address of the first of them
	line  int    // its line
}

// take adds the byte at an address of the file.
func (r *hexReader) take(a uint64, b byte, line int) {
	size := uint64(r.rule.size())
	if n := uint64(len(r.bytes)); n > 0 && (a != r.first+n || a%size == 0) {
		r.finish()
	}
	if len(r.bytes) == 0 {
		r.first, r.line = a, line
	}
	r.bytes = append(r.bytes, b)
}

// finish puts the present word into the image.
func (r *hexReader) finish() {
	if len(r.bytes) == 0 {
		return
	}
	size := uint64(r.rule.size())
	a := memory.Addr(r.first / size * uint64(r.rule.units))
	pos := token.Position{Filename: r.name, Line: r.line, Column: 1}
	if uint64(len(r.bytes)) == size {
		w, ok := r.word(pos, a)
		if ok {
			if err := r.image.Set(a, w, origin(r.g, a, pos)); err != nil {
				r.errs.Add(pos, "%v", err)
			}
		}
	} else {
		r.errs.Add(pos, "the word at %s has only bytes %X-%X of %X-%X; the rule is %s",
			r.g.Style.Addr(a, r.g.AddrBits), r.first, r.first+uint64(len(r.bytes))-1, r.first/size*size, r.first/size*size+size-1, r.rule)
	}
	r.bytes = r.bytes[:0]
}

// word puts the bytes of the word at a together; false has been noted.
func (r *hexReader) word(pos token.Position, a memory.Addr) (memory.Word, bool) {
	var w memory.Word
	for i, b := range r.bytes {
		if b&^r.rule.mask(i) != 0 {
			r.errs.Add(pos, "the byte at %X, of the word at %s, is %02X, and at most %02X belongs there; the rule is %s",
				r.first+uint64(i), r.g.Style.Addr(a, r.g.AddrBits), b, r.rule.mask(i), r.rule)
			return 0, false
		}
		w |= memory.Word(b) << r.rule.shift(i)
	}
	return w, true
}
