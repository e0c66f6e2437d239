package tape

import (
	"coldstart/loader/list"
	"coldstart/memory"
)

// forms are the records of a layout. Where the words after the name are a phrase, reading it says better than a count of
// words what is wrong with it.
var forms = []list.Form{
	{Shape: "layout NAME", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "numbers octal", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "word 18 bits", Min: 1, Max: -1, Once: true, Needed: true},
	{Shape: "bytes 3 of 6 bits make 1 word high first", Min: 1, Max: -1, Once: true, Needed: true},
	{Shape: "bits reversed", Min: 1, Max: 3, Once: true},
	{Shape: "sense inverted", Min: 1, Max: 1, Once: true},
	{Shape: "store bits 17-0", Min: 1, Max: -1, Once: true},
	{Shape: "parity odd over 18 17-9", Min: 1, Max: -1},
	{Shape: "mark 525252", Min: 1, Max: 16, Once: true},
	{Shape: "file-mark 000000 000000", Min: 1, Max: 16, Once: true},
	{Shape: "field number", Min: 1, Max: -1},
	{Shape: "data 256 words", Min: 1, Max: -1, Once: true, Needed: true},
	{Shape: "sum add over number address count data", Min: 3, Max: -1, Once: true},
	{Shape: "check 16 bits 8005 start 0000 in straight out straight final 0000 over data", Min: 1, Max: -1, Once: true},
	{Shape: "blocks 000 to 053", Min: 1, Max: -1, Once: true},
	{Shape: "text 2 of 9 bits high first", Min: 1, Max: -1, Once: true},
}

// ReadLayout reads a layout from the list file src; name is the file name shown in errors, which are a
// go/scanner.ErrorList.
func ReadLayout(name string, src []byte) (*Layout, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	p := parser{l: &Layout{digits: 1}}
	records = list.Check(&p.errs, name, records, forms)
	// What the other records are written in terms of comes first, wherever it stands: the width of words, then which of
	// their bits go to store, then what is made of words.
	for _, read := range []func(list.Record){p.terms, p.choose, p.part} {
		for _, r := range records {
			read(r)
		}
		if err := p.errs.Err(); err != nil {
			return nil, err
		}
	}
	p.whole(records)
	if err := p.errs.Err(); err != nil {
		return nil, err
	}
	return p.l, nil
}

// A parser makes a layout of its records.
type parser struct {
	l     *Layout
	errs  list.Errors
	after bool // the data has been seen
	rules []ruled
}

// settings reads the words of r after its name.
func (p *parser) settings(r list.Record) *list.Settings { return list.NewSettings(&p.errs, r, 1) }

// terms reads the records that say how words and numbers are written.
func (p *parser) terms(r list.Record) {
	l, s := p.l, p.settings(r)
	switch r.Name() {
	case "layout":
		w, _ := s.Next("a name")
		l.name = w.Text
	case "numbers":
		radix := []int{2, 8, 10, 16}
		if i := s.Name("binary", "octal", "decimal", "hexadecimal"); i >= 0 {
			l.style.Radix = radix[i]
		}
	case "word":
		l.width = s.Count("the width of a word", 1, 64)
		s.Name("bits", "bit")
	case "bytes":
		units(s, &l.packing, "bytes", 1, 8)
		s.Name("make")
		l.packing.words = s.Count("the number of words", 1, 64)
		s.Name("words", "word")
		l.packing.lowFirst = lowFirst(s)
		if s.More() {
			s.Name("pieces")
			s.Name("of")
			l.packing.piece = s.Count("the bits of a piece", 1, 64)
			s.Name("bits", "bit")
		}
	case "bits":
		p.bits(s)
	case "sense":
		s.Name("inverted")
		l.packing.inverse = true
	case "text":
		units(s, &l.text, "characters", 5, 16)
		l.text.lowFirst = lowFirst(s)
	default:
		return
	}
	end(s)
}

// units reads how many units there are, and how many bits each carries: "3 of 6 bits".
func units(s *list.Settings, pack *packing, kind string, least, most int) {
	pack.units = s.Count("the number of "+kind, 1, 64)
	s.Name("of")
	pack.bits = s.Count("the number of bits of each", least, most)
	s.Name("bits", "bit")
}

// lowFirst reads "high first" or "low first".
func lowFirst(s *list.Settings) bool {
	i := s.Name("high", "low")
	s.Name("first")
	return i == 1
}

// end notes a word that stands where the record should end.
func end(s *list.Settings) {
	if s.More() {
		w, _ := s.Next("nothing")
		s.Wrong("%q stands where the record should end; take it out", w.Text)
	}
}

// part reads the records that make up a block, and the numbers expected.
func (p *parser) part(r list.Record) {
	s := p.settings(r)
	switch r.Name() {
	case "mark":
		part := part{kind: markPart}
		for s.More() {
			v := p.number(s, "a word", uint64(memory.Mask(p.l.StoreWidth())))
			part.mark = append(part.mark, memory.Word(v))
		}
		part.words = len(part.mark)
		p.add(part)
	case "file-mark":
		p.fileMark(s)
	case "field":
		p.field(s, r)
	case "data":
		p.data(s)
	case "sum":
		p.sum(s)
	case "check":
		p.check(s)
	case "blocks":
		p.blocks(s)
	default:
		return
	}
	end(s)
}

// add puts a part behind those there are.
func (p *parser) add(part part) {
	p.l.parts = append(p.l.parts, part)
	switch {
	case part.kind == dataPart:
		p.after = true
	case p.after:
		p.l.tail += part.words
	default:
		p.l.head += part.words
	}
}

// number reads a number in the style of the layout, up to a highest one.
func (p *parser) number(s *list.Settings, what string, highest uint64) uint64 {
	w, ok := s.Next(what)
	if !ok {
		return 0
	}
	v, err := p.l.style.Parse(w.Text)
	switch {
	case err != nil:
		s.Wrong("%v", err)
	case v > highest:
		s.Wrong("%s is too large; %s here is at most %s", w.Text, what, p.l.style.Number(highest))
	}
	return v
}

// field reads a field: its name and, for a long one, "2 words high first".
func (p *parser) field(s *list.Settings, r list.Record) {
	names := []kind{numberPart, addressPart, countPart, sparePart}
	f := part{words: 1}
	i := s.Name("number", "address", "count", "spare")
	if i < 0 {
		return
	}
	f.kind = names[i]
	if f.kind != sparePart && p.l.has(f.kind) {
		p.errs.Add(r.Pos, "a second field %q; a block has one only", f.kind)
		return
	}
	if s.More() {
		f.long(s)
	}
	p.add(f)
}

// long reads "2 words high first".
func (p *part) long(s *list.Settings) {
	p.words = s.Count("the number of words", 1, 64)
	s.Name("words", "word")
	p.lowFirst = lowFirst(s)
}

// data reads "256 words" or "count words up to 1024".
func (p *parser) data(s *list.Settings) {
	if s.Peek().Text != string(countPart) {
		p.l.data = s.Count("the number of words of data", 1, mostData)
		s.Name("words", "word")
		p.add(part{kind: dataPart})
		return
	}
	s.Name(string(countPart))
	if !p.l.has(countPart) {
		s.Wrong("the data goes by a count, but no field \"count\" comes before it; write one above")
	}
	s.Name("words")
	s.Name("up")
	s.Name("to")
	p.l.vary, p.l.data = true, s.Count("the most words of data", 1, mostData)
	p.add(part{kind: dataPart})
}

// blocks reads the range of block numbers a whole recording has.
func (p *parser) blocks(s *list.Settings) {
	p.l.expects = true
	p.l.digits = len(s.Peek().Text)
	p.l.first = int(p.number(s, "a block number", mostBlocks-1))
	s.Name("to")
	p.l.digits = max(p.l.digits, len(s.Peek().Text))
	p.l.last = int(p.number(s, "a block number", mostBlocks-1))
	if s.OK() && p.l.last < p.l.first {
		s.Wrong("the last block comes before the first; exchange them")
	}
}
