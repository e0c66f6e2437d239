package proof

import (
	"fmt"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// pages notes the orders that name no page of the handbook.
func (p *prover) pages() {
	for _, s := range p.standing {
		if o, ok := s.(*syntax.Order); ok && o.Page == "" {
			p.find(Pageless, o.At.Line, fmt.Sprintf("order %s names no page of the handbook", o.Name.Text))
		}
	}
}

// doubts notes what the typist was not sure of, and the orders whose page is unreadable.
func (p *prover) doubts() {
	for _, s := range p.standing {
		m := s.Head()
		if m.Doubt {
			p.find(Doubted, m.At.Line, "marked with a ?")
		}
		for _, d := range m.Doubts {
			p.find(Doubted, d.At.Line, d.Clause+" is marked with a ?")
		}
		if o, ok := s.(*syntax.Order); ok && o.Unknown.Text != "" {
			p.find(Doubted, o.At.Line, fmt.Sprintf("what order %s does is unknown: a run stops there", o.Name.Text))
		}
	}
	for _, o := range p.code.Orders {
		for _, pattern := range o.Patterns {
			if pattern.Unknown != 0 {
				p.find(Doubted, o.Line, fmt.Sprintf("the handbook is silent on bits of order %s", o.Name))
				break
			}
		}
	}
}

// declared holds the counts that the handbook gives for a part of the order code against the orders typed. The count of
// all orders has been held against them when the file was read.
func (p *prover) declared() {
	for _, d := range p.code.Declared {
		if d.Pattern == nil {
			continue
		}
		group, typed := space{d.Pattern.Mask, d.Pattern.Value}, 0
		for _, o := range p.code.Orders {
			if o.Patterns[0].Mask&group.mask == group.mask && (space{o.Patterns[0].Mask, o.Patterns[0].Value}).meets(group) {
				typed++
			}
		}
		if typed != d.Count {
			p.find(Miscounted, d.Line, fmt.Sprintf("the handbook has %s that begin with %s, but %d are typed", count(d.Count, "order"),
				drawing(d.Pattern.Mask, d.Pattern.Value, p.code.OrderWidth(), p.code.Geometry.Style.Radix), typed))
		}
	}
}

// count writes a number of things.
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// drawing draws the words of a width that equal value where mask has ones, the other bits as stars, with a blank between
// the digits of the machine's radix.
func drawing(mask, value memory.Word, width, radix int) string {
	digit := width + 1
	switch radix {
	case 8:
		digit = 3
	case 16:
		digit = 4
	}
	var text []byte
	for i := width - 1; i >= 0; i-- {
		switch {
		case mask>>i&1 == 0:
			text = append(text, '*')
		default:
			text = append(text, '0'+byte(value>>i&1))
		}
		if i > 0 && i%digit == 0 {
			text = append(text, ' ')
		}
	}
	return string(text)
}

// Drawing draws the words of the hole, the highest bit first; stars are bits that may be 0 or 1.
func (r *Report) Drawing(h Hole) string { return drawing(h.Mask, h.Value, r.Width, r.Style.Radix) }
