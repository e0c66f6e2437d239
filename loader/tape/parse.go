package tape

import (
	"coldstart/loader/list"
	"coldstart/memory"
)

// forms are the records of a layout.
var forms = []list.Form{
	{Shape: "layout NAME", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "numbers octal", Min: 1, Max: 1, Once: true, Needed: true},
	{Shape: "word 18 bits", Min: 2, Max: 2, Once: true, Needed: true},
	{Shape: "bytes 3 of 6 bits make 1 word high first", Min: 9, Max: 9, Once: true, Needed: true},
	{Shape: "mark 525252", Min: 1, Max: 16},
	{Shape: "field number, or field address 2 words high first", Min: 1, Max: 5},
	{Shape: "data 256 words, or data count words up to 1024", Min: 2, Max: 5, Once: true, Needed: true},
	{Shape: "sum add over number address count data", Min: 3, Max: 16, Once: true},
	{Shape: "blocks 000 to 053", Min: 3, Max: 3, Once: true},
	{Shape: "text 2 of 9 bits high first", Min: 6, Max: 6, Once: true},
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
	// What the other records are written in terms of comes first, wherever it stands.
	for _, r := range records {
		p.terms(r)
	}
	if err := p.errs.Err(); err != nil {
		return nil, err
	}
	for _, r := range records {
		p.part(r)
	}
	if err := p.errs.Err(); err != nil {
		return nil, err
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
}

// terms reads the records that say how words and numbers are written.
func (p *parser) terms(r list.Record) {
	args := r.Args()
	switch r.Name() {
	case "layout":
		p.l.name = args[0].Text
	case "numbers":
		styles := []int{2, 8, 10, 16}
		if i := args[0].OneOf(&p.errs, "number style", "binary", "octal", "decimal", "hexadecimal"); i >= 0 {
			p.l.style.Radix = styles[i]
		}
	case "word":
		args[1].OneOf(&p.errs, "unit", "bits")
		p.l.width, _ = args[0].Number(&p.errs, "the width of a word", 1, 64)
	case "bytes":
		pack := &p.l.packing
		pack.units, _ = args[0].Number(&p.errs, "the number of bytes", 1, 64)
		args[1].OneOf(&p.errs, "word", "of")
		pack.bits, _ = args[2].Number(&p.errs, "the number of bits of a byte", 1, 8)
		args[3].OneOf(&p.errs, "unit", "bits")
		args[4].OneOf(&p.errs, "word", "make")
		pack.words, _ = args[5].Number(&p.errs, "the number of words", 1, 64)
		args[6].OneOf(&p.errs, "unit", "words", "word")
		pack.lowFirst = p.lowFirst(args[7:])
	case "text":
		pack := &p.l.text
		pack.units, _ = args[0].Number(&p.errs, "the number of characters", 1, 16)
		args[1].OneOf(&p.errs, "word", "of")
		pack.bits, _ = args[2].Number(&p.errs, "the number of bits of a character", 5, 16)
		args[3].OneOf(&p.errs, "unit", "bits")
		pack.lowFirst = p.lowFirst(args[4:])
	}
}

// lowFirst reads the two words "high first" or "low first".
func (p *parser) lowFirst(args []list.Word) bool {
	args[1].OneOf(&p.errs, "word", "first")
	return args[0].OneOf(&p.errs, "order", "high", "low") == 1
}

// part reads the records that make up a block, and the numbers expected.
func (p *parser) part(r list.Record) {
	args := r.Args()
	switch r.Name() {
	case "mark":
		p.add(part{kind: markPart, words: len(args), mark: p.words(args)})
	case "field":
		p.field(args)
	case "data":
		p.data(r)
	case "sum":
		p.sum(args)
	case "blocks":
		p.blocks(args)
	}
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

// words reads words in the style of the layout.
func (p *parser) words(args []list.Word) []memory.Word {
	words := make([]memory.Word, len(args))
	for i, w := range args {
		v, err := p.l.style.Parse(w.Text)
		switch {
		case err != nil:
			p.errs.Add(w.Pos, "%v", err)
		case memory.Word(v)&^memory.Mask(p.l.width) != 0:
			p.errs.Add(w.Pos, "%s is wider than a word of %d bits", w.Text, p.l.width)
		}
		words[i] = memory.Word(v)
	}
	return words
}

// field reads a field record: its name and, for a long one, "2 words high first".
func (p *parser) field(args []list.Word) {
	names := []kind{numberPart, addressPart, countPart, sparePart}
	i := args[0].OneOf(&p.errs, "field", "number", "address", "count", "spare")
	if i < 0 {
		return
	}
	if names[i] != sparePart && p.l.has(names[i]) {
		p.errs.Add(args[0].Pos, "a second field %q; a block has one only", args[0].Text)
		return
	}
	f := part{kind: names[i], words: 1}
	switch len(args) {
	case 1:
	case 5:
		f.words, _ = args[1].Number(&p.errs, "the number of words", 1, 64)
		args[2].OneOf(&p.errs, "unit", "words", "word")
		f.lowFirst = p.lowFirst(args[3:])
	default:
		p.errs.Add(args[0].Pos, "the field is written neither like: field number, nor like: field address 2 words high first")
		return
	}
	p.add(f)
}

// data reads "256 words" or "count words up to 1024".
func (p *parser) data(r list.Record) {
	args := r.Args()
	args[1].OneOf(&p.errs, "unit", "words", "word")
	number := args[0]
	switch {
	case args[0].Text == "count" && len(args) == 5:
		p.l.vary, number = true, args[4]
		args[2].OneOf(&p.errs, "word", "up")
		args[3].OneOf(&p.errs, "word", "to")
		if !p.l.has(countPart) {
			p.errs.Add(args[0].Pos, "the data goes by a count, but no field \"count\" comes before it; write one above")
		}
	case len(args) != 2:
		p.errs.Add(r.Pos, "the data is written neither like: data 256 words, nor like: data count words up to 1024")
		return
	}
	p.l.data, _ = number.Number(&p.errs, "the number of words of data", 1, mostData)
	p.add(part{kind: dataPart})
}

// sum reads the mode of a sum and the parts it is over.
func (p *parser) sum(args []list.Word) {
	s := part{kind: sumPart, words: 1}
	i := args[0].OneOf(&p.errs, "sum", "add", "exclusive-or")
	if i == 1 {
		s.mode = exclusiveOr
	}
	args = args[1:]
	if i == 0 && args[0].Text == "end-around" {
		s.mode = addEndAround
		args = args[1:]
	}
	if args[0].OneOf(&p.errs, "word", "over") < 0 {
		return
	}
	over := []kind{markPart, numberPart, addressPart, countPart, sparePart, dataPart}
	for _, w := range args[1:] {
		if i := w.OneOf(&p.errs, "part", "mark", "number", "address", "count", "spare", "data"); i >= 0 {
			s.over = append(s.over, over[i])
		}
	}
	p.add(s)
}

// blocks reads the range of block numbers a whole recording has.
func (p *parser) blocks(args []list.Word) {
	args[1].OneOf(&p.errs, "word", "to")
	var ends [2]int
	for i, w := range []list.Word{args[0], args[2]} {
		v, err := p.l.style.Parse(w.Text)
		switch {
		case err != nil:
			p.errs.Add(w.Pos, "%v", err)
		case v >= mostBlocks:
			p.errs.Add(w.Pos, "block number %s is above %s, the highest a recording here may have", w.Text, p.l.style.Number(mostBlocks-1))
		}
		ends[i] = int(min(v, mostBlocks))
		p.l.digits = max(p.l.digits, len(w.Text))
	}
	if ends[1] < ends[0] {
		p.errs.Add(args[2].Pos, "the last block, %s, comes before the first, %s", args[2].Text, args[0].Text)
	}
	p.l.expects, p.l.first, p.l.last = true, ends[0], ends[1]
}
