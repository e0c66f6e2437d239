package syntax

import "slices"

// statementTable gives the reader of each statement by its keyword; the cursor stands at the keyword. To add a
// statement, add a line here, and one in Print.
func statementTable() map[string]func(*parser) Statement {
	return map[string]func(*parser) Statement{
		"machine":   (*parser).title,
		"issue":     (*parser).title,
		"numbers":   (*parser).numbers,
		"word":      (*parser).wordSize,
		"address":   (*parser).addressSize,
		"unit":      (*parser).unit,
		"orders":    (*parser).packing,
		"clock":     (*parser).clock,
		"declares":  (*parser).declares,
		"register":  (*parser).registers,
		"flip-flop": (*parser).registers,
		"counter":   (*parser).registers,
		"keys":      (*parser).registers,
		"adder":     (*parser).adder,
		"store":     (*parser).store,
		"protect":   (*parser).protect,
		"mirror":    (*parser).mirror,
		"plug-in":   (*parser).plugIn,
		"group":     (*parser).group,
		"choice":    (*parser).choice,
		"mode":      (*parser).mode,
		"order":     (*parser).order,
		"undefined": (*parser).undefined,
		"trap":      (*parser).trap,
		"interrupt": (*parser).interrupt,
		"timer":     (*parser).timer,
		"boot":      (*parser).boot,
		"duplex":    (*parser).duplex,
		"channel":   (*parser).channel,
		"lamps":     (*parser).lamps,
	}
}

// head takes the keyword.
func (p *parser) head() Mark { return Mark{At: p.where(p.advance())} }

// title reads: machine "Millrace 8".
func (p *parser) title() Statement {
	s := &Title{Keyword: p.lead, Mark: p.head()}
	s.Text = p.text("a name")
	p.heading(&s.Mark)
	return s
}

// numbers reads: numbers octal, bit 0 at right, groups of 3.
func (p *parser) numbers() Statement {
	s := &Numbers{Mark: p.head()}
	s.Radix = p.takeWord(radixWords...)
	p.take(",")
	p.takeWord("bit")
	s.First = p.decimal("0 or 1, the number of the end bit")
	p.takeWord("at")
	s.Side = p.takeWord("right", "left")
	if p.accept(",") {
		p.takeWord("groups")
		p.takeWord("of")
		s.Group = p.decimal("how many digits")
	}
	p.heading(&s.Mark)
	return s
}

// wordSize reads: word 18 bits, twos complement.
func (p *parser) wordSize() Statement {
	s := &WordSize{Mark: p.head()}
	s.Bits = p.width()
	p.take(",")
	s.Complement = p.takeWord("twos", "ones", "sign-magnitude")
	if s.Complement.Text != "sign-magnitude" {
		p.takeWord("complement")
	}
	p.heading(&s.Mark)
	return s
}

// addressSize reads: address 15 bits, or address 15 bits, 6 digits.
func (p *parser) addressSize() Statement {
	s := &AddressSize{Mark: p.head()}
	s.Bits = p.width()
	if p.accept(",") {
		s.Digits = p.decimal("how many digits")
		p.takeWord("digits")
	}
	p.heading(&s.Mark)
	return s
}

// unit reads: unit 8 bits, low end first.
func (p *parser) unit() Statement {
	s := &Unit{Mark: p.head()}
	s.Bits = p.width()
	p.take(",")
	s.End = p.takeWord("low", "high")
	p.takeWord("end")
	p.takeWord("first")
	p.heading(&s.Mark)
	return s
}

// packing reads: orders 2 in a word, left first.
func (p *parser) packing() Statement {
	s := &Packing{Mark: p.head()}
	s.Count = p.decimal("how many orders")
	p.takeWord("in")
	p.takeWord("a")
	p.takeWord("word")
	p.take(",")
	s.First = p.takeWord("left", "right")
	p.takeWord("first")
	p.heading(&s.Mark)
	return s
}

// clock reads: clock 2.5 us.
func (p *parser) clock() Statement {
	s := &Clock{Mark: p.head()}
	s.Time = p.duration()
	p.heading(&s.Mark)
	return s
}

// declares reads: declares 74 orders, or declares 8 orders of 0110 ****.
func (p *parser) declares() Statement {
	s := &Declares{Mark: p.head()}
	s.Count = p.decimal("a count")
	s.What = p.takeWord("orders")
	if p.acceptWord("of") {
		s.Pattern = p.drawing()
	}
	p.heading(&s.Mark)
	return s
}

// registers reads: register A, B: 18 bits; flip-flop minus, zero; counter P: 15 bits, holds next order; keys K: 6 bits, at
// start 00. Where a flip-flop is said to stand, a colon comes before, since a name may be any word: plug-in too.
func (p *parser) registers() Statement {
	s := &Registers{Keyword: p.lead, Mark: p.head()}
	switch s.Keyword {
	case "flip-flop":
		s.Names = p.names("a name for a flip-flop")
		if p.accept(":") {
			p.takeWord("plug-in")
			s.PlugIn = p.name("the name of a plug-in")
		}
		p.heading(&s.Mark)
		return s
	case "counter":
		s.Names = []Name{p.name("a name for the order counter")}
	default:
		s.Names = p.names("a name for a register")
	}
	p.take(":")
	s.Bits = p.width()
	switch s.Keyword {
	case "counter":
		p.take(",")
		p.takeWord("holds")
		s.Holds = p.takeWord("next", "this")
		p.takeWord("order")
	case "keys":
		p.take(",")
		p.takeWord("at")
		p.takeWord("start")
		s.AtStart = p.number("how the keys stand at power-up")
	}
	options := []option{p.plugInOption(&s.PlugIn)}
	if s.Keyword == "keys" {
		options = slices.Insert(options, 0, option{"inverted", func() { s.Inverted = true }})
	}
	p.options(options...)
	p.heading(&s.Mark)
	return s
}

// adder reads: adder plug-in AL1.
func (p *parser) adder() Statement {
	s := &Adder{Mark: p.head()}
	p.takeWord("plug-in")
	s.PlugIn = p.name("the name of a plug-in")
	p.heading(&s.Mark)
	return s
}

// plugIn reads: plug-in RG1 "registers".
func (p *parser) plugIn() Statement {
	s := &PlugIn{Mark: p.head()}
	s.Name = p.name("the name of a plug-in")
	s.Text = p.text("what the plug-in is")
	p.heading(&s.Mark)
	return s
}

// group reads: group r: 00 A, 01 B.
func (p *parser) group() Statement {
	s := &Group{Mark: p.head()}
	s.Field, s.Entries = p.entries()
	p.heading(&s.Mark)
	return s
}

// choice reads: choice i: 0 -, 1 through.
func (p *parser) choice() Statement {
	s := &Choice{Mark: p.head()}
	s.Field, s.Entries = p.entries()
	p.heading(&s.Mark)
	return s
}

// entries reads the field of a group or choice, and the name of each value.
func (p *parser) entries() (field Name, list []Entry) {
	field = p.field()
	p.take(":")
	for more := true; more; more = p.accept(",") {
		e := Entry{At: p.here(), Value: p.binaryDigits()}
		e.Name = Name{p.here(), "-"}
		if !p.accept("-") {
			e.Name = p.anyWord(`a name, or "-" for nothing`)
		}
		list = append(list, e)
	}
	return field, list
}

// timer reads: timer sanity: 1600 ms, trap insane, early 100 ms trap hasty.
func (p *parser) timer() Statement {
	s := &Timer{Mark: p.head()}
	s.Name = p.name("the name of a timer")
	p.take(":")
	s.Time = p.duration()
	p.take(",")
	p.takeWord("trap")
	s.Trap = p.name("the name of a trap")
	p.options(option{"early", func() {
		s.Early = p.duration()
		p.takeWord("trap")
		s.EarlyTrap = p.name("the name of a trap")
	}}, p.plugInOption(&s.PlugIn))
	p.heading(&s.Mark)
	return s
}

// channel reads: channel TC1: code 1, 18 bits, at 76000, signs 4, inverted words and sign 2.
func (p *parser) channel() Statement {
	s := &Channel{Mark: p.head()}
	s.Name = p.name("the name of a channel")
	p.take(":")
	p.takeWord("code")
	s.Code = p.number("the code of the channel")
	p.take(",")
	s.Bits = p.width()
	p.options(
		option{"at", func() { s.Address = p.digits("an address") }},
		option{"signs", func() { s.Signs = p.decimal("how many signs") }},
		option{"inverted", func() { s.Inverted = p.senses() }},
		option{"sets", func() { s.Requests = p.requests() }},
		option{"steals", func() { s.Steals = p.decimal("a count of cycles"); p.takeWord("cycles", "cycle") }},
		p.plugInOption(&s.PlugIn))
	p.heading(&s.Mark)
	return s
}

// senses reads: words and sign 2 and sign 3, which are true-low.
func (p *parser) senses() (list []Sense) {
	for more := true; more; more = p.acceptWord("and") {
		s := Sense{What: p.takeWord("words", "signs", "sign")}
		if s.What.Text == "sign" {
			s.Sign = p.number("the number of a sign")
		}
		list = append(list, s)
	}
	return list
}

// requests reads: called by sign 0 and typed by sign 5.
func (p *parser) requests() (list []Request) {
	for more := true; more; more = p.acceptWord("and") {
		r := Request{Sets: p.name("the name of a flip-flop")}
		p.takeWord("by")
		p.takeWord("sign")
		r.Sign = p.number("the number of a sign")
		list = append(list, r)
	}
	return list
}

// lamps reads: lamps 760-763: bits 15-0, inverted, plug-in LD1.
func (p *parser) lamps() Statement {
	s := &Lamps{Mark: p.head()}
	s.First, s.Last = p.span()
	p.take(":")
	p.takeWord("bits", "bit")
	s.Bits = p.bits()
	p.take(",")
	if s.Inverted = p.takeWord("inverted", "plug-in").Text == "inverted"; s.Inverted {
		p.take(",")
		p.takeWord("plug-in")
	}
	s.PlugIn = p.name("the name of a plug-in")
	p.heading(&s.Mark)
	return s
}
