package jam

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// Parse reads one jam for a machine of the code; milestones are those of its office, in the order of their list. The error is
// one sentence with the nearest right word.
func Parse(code *order.Code, text string, milestones ...string) (Jam, error) {
	p := &parser{code: code, g: &code.Geometry, milestones: milestones}
	words := strings.Fields(spaced.Replace(text))
	half, words := p.half(words)
	words = p.timing(p.odds(words))
	j := Jam{when: p.when, half: half}
	if p.err == nil {
		j.text, j.place = p.jam(words)
	}
	if p.err != nil {
		return Jam{}, fmt.Errorf("jam %q: %w", shown(text), p.err)
	}
	if half != "" {
		j.text = "half " + half + " " + j.text
	}
	j.text += p.when.says(p)
	if p.chance != (cpu.Chance{}) {
		j.text += fmt.Sprintf(", 1 in %d, seed %d", p.chance.OneIn, p.chance.Seed)
	}
	return j, nil
}

// half reads which half of a pair a jam is put into, where it begins by that. A jam that names none, or A, goes into A.
func (p *parser) half(words []string) (string, []string) {
	if len(words) < 2 || words[0] != "half" {
		return "", words
	}
	switch words[1] {
	case "A":
		return "", words[2:]
	case "B":
		return "B", words[2:]
	}
	p.fail("half %s is none of the two: they are A and B", shown(words[1]))
	return "", words
}

// spaced sets signs apart from words; a comma only makes a jam easier to read.
var spaced = strings.NewReplacer("=", " = ", ",", " ")

// ParseList reads a list of jams, one a line; each remembers its place there. The error is a go/scanner.ErrorList.
func ParseList(code *order.Code, name string, src []byte, milestones ...string) ([]Jam, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	var errs list.Errors
	var jams []Jam
	for _, r := range records {
		var words []string
		for _, w := range r.Words {
			words = append(words, w.Text)
		}
		j, err := Parse(code, strings.Join(words, " "), milestones...)
		if err != nil {
			errs.Add(r.Pos, "%v", err)
			continue
		}
		j.Pos = r.Pos
		jams = append(jams, j)
	}
	return jams, errs.Err()
}

// A parser reads one jam; the first thing wrong ends the reading.
type parser struct {
	code       *order.Code
	g          *memory.Geometry
	milestones []string
	when       when
	chance     cpu.Chance
	err        error
}

// fail notes what is wrong.
func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
}

// shown is what was typed as a message repeats it: harmless, and no longer than need be.
func shown(typed string) string { return list.Safe(list.Brief(typed)) }

// write fails with the right way to write what was begun.
func (p *parser) write(shape string) { p.fail("write it as `%s`", shape) }

// jam finds the place, by the word that it begins with.
func (p *parser) jam(words []string) (text string, in place) {
	if len(words) == 0 {
		p.fail("nothing says what fails: a jam begins with a place, such as `store`, and ends with what is wrong there")
		return "", nil
	}
	first := words[0]
	if read := readers[first]; read != nil {
		return read(p, words)
	}
	area, ch := p.area(first), p.code.Channel(first)
	rows := p.rows(func(l order.Lamps) bool { return l.PlugIn == first })
	switch {
	case area != nil:
		return p.byPlugIn(area, words)
	case rows != nil:
		return p.byDriver(rows, words)
	case ch != nil:
		return p.byChannel(ch, words)
	case len(words) > 1 && words[1] == "flip-flop":
		return p.flipFlop(first, words)
	}
	p.fail("%s", list.Unknown("place", first, p.places()))
	return "", nil
}

// readers read what begins with a word of the notation.
var readers map[string]func(*parser, []string) (string, place)

func init() { // they call one another by it
	readers = map[string]func(*parser, []string) (string, place){
		"store": (*parser).byStore, "lamp": (*parser).byRow, "register": (*parser).register, "adder": (*parser).adder,
		"order": (*parser).orderBit, "skip": (*parser).skip, "timer": (*parser).timer, "clock": (*parser).clock,
	}
}

// places are the words a jam can begin with.
func (p *parser) places() []string {
	all := []string{"store", "lamp", "register", "adder", "order", "skip", "timer", "clock"}
	for _, a := range p.g.Areas {
		all = append(all, a.Name)
	}
	for _, l := range p.code.Lamps {
		if !slices.Contains(all, l.PlugIn) {
			all = append(all, l.PlugIn)
		}
	}
	for _, ch := range p.code.Channels {
		all = append(all, ch.Name)
	}
	for _, r := range p.code.Registers {
		if r.FlipFlop {
			all = append(all, r.Name)
		}
	}
	return all
}

// value reads `= 0` or `= 1`, or another way to say them, at the end; the form is what belongs there.
func (p *parser) value(words []string, form string, ways ...string) int {
	n := len(words)
	switch {
	case n == 1 && slices.Contains(ways, words[0]):
		return slices.Index(ways, words[0])
	case n == 0 || words[0] != "=" && n > 0:
		p.fail("nothing says at what it is held: write it as `%s`", form)
	case n != 2:
		p.write(form)
	case words[1] != "0" && words[1] != "1":
		p.fail("a jam holds a place at 0 or 1, not at %s", shown(words[1]))
	default:
		return int(words[1][0] - '0')
	}
	return 0
}

// like tells whether words are as a shape has them: its small words as they are, its capitals any one word.
func like(words []string, shape string) bool {
	want := strings.Fields(shape)
	if len(words) != len(want) {
		return false
	}
	for i, w := range want {
		if (w[0] < 'A' || w[0] > 'Z') && w != words[i] {
			return false
		}
	}
	return true
}

// bit reads a bit number, decimal, as the handbook counts them; it gives the bit counted from the right.
func (p *parser) bit(text string, width int) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		p.fail("%s is no bit number: bit numbers are decimal", shown(text))
		return 0
	}
	bit, err := p.g.Style.BitFrom(n, width)
	if err != nil {
		p.fail("%v", err)
	}
	return bit
}

// bitText is a bit as the handbook counts it.
func (p *parser) bitText(bit, width int) string { return p.g.Style.Bit(bit, width) }

// number reads a number in the machine's own style.
func (p *parser) number(text string) int {
	v, err := p.g.Style.Parse(text)
	switch {
	case err != nil:
		p.fail("%v", err)
	case v > 1<<31:
		p.fail("%s is far too large", shown(text))
		v = 0
	}
	return int(v)
}

// address reads an address.
func (p *parser) address(text string) memory.Addr {
	v, err := p.g.Style.Parse(text)
	if err != nil {
		p.fail("%v", err)
	}
	return memory.Addr(v)
}

// span reads `ADDRESS-ADDRESS`.
func (p *parser) span(text string) (first, last memory.Addr, ok bool) {
	from, to, ok := strings.Cut(text, "-")
	if !ok {
		to = from
	}
	first, last = p.address(from), p.address(to)
	return first, last, p.err == nil
}

// addr writes an address.
func (p *parser) addr(a memory.Addr) string { return p.g.Style.Addr(a, p.g.AddrBits) }

// ranges names where store answers.
func (p *parser) ranges() string {
	var all []string
	for _, a := range p.g.Areas {
		all = append(all, fmt.Sprintf("%s %s-%s", a.Name, p.addr(a.First), p.addr(a.Last)))
	}
	return strings.Join(all, ", ")
}
