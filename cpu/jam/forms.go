package jam

import (
	"slices"
	"strings"

	"coldstart/cpu/order"
)

// A Form is one way to write a jam, for a person to see.
type Form struct {
	Shape   string // words in capitals stand for something of the machine at hand
	Means   string
	Example string // on the training machine
}

// Forms are the ways to write a jam; numbers are in the machine's own style, bits as its handbook numbers them.
var Forms = []Form{
	{"PLUG-IN CHIP @ADDRESS = 0|1", "one cell of store, by its chip", "ST2 U08 @024107 = 1"},
	{"store ADDRESS bit NUMBER = 0|1", "the same, by its bit", "store 024107 bit 7 = 1"},
	{"store ADDRESS COLUMN = 0|1", "a parity cell", "store 024107 left parity = 0"},
	{"CELL never rises|falls", "a slow cell keeps what it should lose", "ST2 U08 @024107 never falls"},
	{"CELL open", "a cell that is not reached", "ST2 U08 @024107 open"},
	{"PLUG-IN CHIP = 0|1", "a whole chip", "ST2 U08 = 1"},
	{"PLUG-IN no reply", "its select is dead", "ST3 no reply"},
	{"PLUG-IN row NUMBER of NUMBER fades to 0|1 after TIME", "a row left alone too long", "ST2 row 41 of 100 fades to 0 after 5 ms"},
	{"CELL flips when ADDRESS written", "a write there turns it round", "ST2 U08 @024107 flips when 024105 written"},
	{"CELL flips when CELL rises|falls", "so does another cell that changes", "ST2 U08 @024107 flips when ST2 U08 @024105 rises"},
	{"CELL = 0|1 when CELL rises|falls", "or that sets it to one value", "ST2 U08 @024107 = 1 when ST2 U08 @024105 rises"},
	{"CELL = 0|1 when CELL is 0|1", "or that holds it there", "ST2 U08 @024107 = 1 when ST2 U08 @024105 is 0"},
	{"store data bit NUMBER = 0|1 (read)|(write)", "a data line, on one side of the store", "store data bit 7 = 1 (read)"},
	{"store address bit NUMBER = 0|1", "an address line", "store address bit 9 = 0"},
	{"store address bit NUMBER tied to bit NUMBER = 0|1", "two of them, of which a 0 or a 1 wins", "store address bit 3 tied to bit 9 = 0"},
	{"register NAME bit NUMBER = 0|1", "a bit of a register", "register B bit 3 = 0"},
	{"NAME flip-flop = 0|1", "a condition flip-flop", "zero flip-flop = 1"},
	{"adder carry into bit NUMBER = 0|1", "what add and subtract carry there", "adder carry into bit 9 = 0"},
	{"order bit NUMBER = 0|1", "a bit of all that is taken as an order", "order bit 12 = 1"},
	{"skip gate never|always", "orders that skip on a condition", "skip gate never"},
	{"timer NAME never fires", "a timer", "timer sanity never fires"},
	{"clock slow by NUMBER per cent", "each cycle lasts so much longer", "clock slow by 2.5 per cent"},
	{"PLUG-IN bit NUMBER dark|lit", "one lamp bit, in all its rows", "LD1 bit 6 dark"},
	{"lamp row ADDRESS bit NUMBER dark|lit", "one lamp", "lamp row 000760 bit 6 dark"},
	{"CHANNEL receive|transmit bit NUMBER = 0|1", "a line to or from a channel", "TC1 receive bit 4 = 0"},
	{"CHANNEL sign NUMBER = 0|1", "a sign of it, by its number", "TC1 sign 2 = 1"},
	{"CHANNEL request missing", "its device never asks", "TC1 request missing"},
	{"CHANNEL dead", "nobody answers", "TC1 dead"},
	{"CHANNEL block NUMBER word NUMBER bit NUMBER turned", "a misread bit of its tape", "TC1 block 31 word 112 bit 4 turned"},
	{"CHANNEL block NUMBER missing", "nothing can be read there", "TC1 block 31 missing"},
	{"CHANNEL gap before block NUMBER lasts TIME", "a gap too short", "TC1 gap before block 31 lasts 1 ms"},
}

// Ends are what may follow a jam: when it is in force, and whether it comes and goes.
var Ends = []Form{
	{"JAM, from order NUMBER", "counted from power-up", "ST2 U08 @024107 = 1, from order 5000"},
	{"JAM, while ADDRESS-ADDRESS", "once an order touches it, to its end", "register B bit 3 = 0, while 024000-024377"},
	{"JAM, from milestone NAME", "of the office's chase list", "ST2 U08 @024107 = 1, from milestone loaded"},
	{"JAM, from milestone NAME to milestone NAME", "until the other is met", "TC1 dead, from milestone stage to milestone idle"},
	{"half B JAM", "in the other half, with --pair", "half B TC1 receive bit 4 = 0"},
	{"JAM, 1 in NUMBER, seed NUMBER", "now and then, alike for one seed", "TC1 receive bit 4 = 0, 1 in 200, seed 7"},
}

// Level says what the value of a jam means where lines or cells are held true-low, in lines for a person.
var Level = []string{
	"0 and 1 are what the cell itself holds. In a store that the machine file has",
	"inverted, a cell held at 0 reads as 1.",
	"Of data and address lines of store they are what is read, written and sent; of",
	"a channel, what its line carries.",
}

// Next gives the words that may follow those of a jam begun, as far as they can be listed. Milestones are as for Parse.
func Next(code *order.Code, before []string, milestones ...string) []string {
	p := &parser{code: code, g: &code.Geometry, milestones: milestones}
	if len(before) == 0 {
		return p.places()
	}
	var all []string
	add := func(words ...string) {
		for _, w := range words {
			if !slices.Contains(all, w) {
				all = append(all, w)
			}
		}
	}
	for _, form := range slices.Concat(Forms, Ends) {
		for _, shape := range expanded(strings.ReplaceAll(form.Shape, ",", "")) {
			if strings.HasPrefix(shape, "JAM ") {
				if i := max(lastIndex(before, "from"), lastIndex(before, "while")); i > 0 {
					add(p.follow(before[i:], strings.Fields(shape)[1:])...)
				}
				continue
			}
			add(p.follow(before, strings.Fields(shape))...)
		}
	}
	if _, err := Parse(code, strings.Join(before, " "), milestones...); err == nil {
		add("from", "while", "1")
	}
	return all
}

// expanded are the shapes of a form with each way to write a cell in it.
func expanded(shape string) []string {
	before, after, found := strings.Cut(shape, "CELL")
	if !found {
		return []string{shape}
	}
	var all []string
	for _, cell := range []string{"PLUG-IN CHIP @ADDRESS", "store ADDRESS bit NUMBER"} {
		for _, rest := range expanded(after) {
			all = append(all, before+cell+rest)
		}
	}
	return all
}

// follow gives what the shape has behind words, none where they are not as its beginning.
func (p *parser) follow(words, shape []string) []string {
	if len(words) >= len(shape) {
		return nil
	}
	for i, w := range words {
		choices, open := p.choices(words[:i], shape[i])
		if !slices.Contains(choices, w) && !open {
			return nil
		}
	}
	choices, _ := p.choices(words, shape[len(words)])
	return choices
}

// choices are what may stand for a word of a shape behind others; open where there is more than can be listed.
func (p *parser) choices(before []string, slot string) (all []string, open bool) {
	switch slot {
	case "PLUG-IN", "CHANNEL":
		for _, w := range p.places() {
			if (p.code.Channel(w) != nil) == (slot == "CHANNEL") && readers[w] == nil {
				all = append(all, w)
			}
		}
	case "CHIP":
		if a := p.area(before[len(before)-1]); a != nil {
			for _, c := range a.Chips {
				all = append(all, c.Name)
			}
		}
	case "NAME":
		all = p.names(before)
	case "NUMBER", "ADDRESS", "@ADDRESS", "ADDRESS-ADDRESS", "COLUMN", "TIME", "UNIT":
		return nil, true
	default:
		all = strings.Split(slot, "|")
	}
	return all, false
}

// names are what a NAME can be behind some words.
func (p *parser) names(before []string) (all []string) {
	last := ""
	if len(before) > 0 {
		last = before[len(before)-1]
	}
	switch last {
	case "milestone":
		return p.milestones
	case "timer":
		for _, t := range p.code.Timers {
			all = append(all, t.Name)
		}
	default:
		for _, r := range p.code.Registers {
			if r.FlipFlop == (last != "register") {
				all = append(all, r.Name)
			}
		}
	}
	return all
}
