package march

import "strings"

// A condition is one half of what makes a primitive show: a cell in a state, or an operation on it in that state.
type condition struct {
	state uint8
	op    byte  // 'r', 'w', or 0 for none
	value uint8 // written
}

// A primitive is one fault primitive.
type primitive struct {
	coupled   bool
	aggressor condition // if coupled
	victim    condition
	becomes   uint8 // what the victim holds after it
	gives     uint8 // what the read that makes it show gives; unknown: what it read
}

// parsePrimitive reads <S/F/R> or <Sa;Sv/F/R>, of digits only.
func parsePrimitive(text string) primitive {
	parts := strings.Split(strings.Trim(text, "<>"), "/")
	var p primitive
	victim := parts[0]
	if a, v, ok := strings.Cut(parts[0], ";"); ok {
		p.coupled, p.aggressor, victim = true, parseCondition(a), v
	}
	p.victim = parseCondition(victim)
	p.becomes = parts[1][0] - '0'
	p.gives = unknown
	if parts[2] != "-" {
		p.gives = parts[2][0] - '0'
	}
	return p
}

func parseCondition(text string) condition {
	c := condition{state: text[0] - '0'}
	if len(text) == 3 {
		c.op, c.value = text[1], text[2]-'0'
	}
	return c
}

// met is whether the condition is met by an operation on a cell that held a state.
func (c condition) met(held uint8, op Op) bool {
	return held == c.state && (op.writes() == (c.op == 'w')) && (c.op == 'r' || op.value() == c.value)
}

// expand writes a template out for all values of the letters x, y and s in it; !x is the other value of x.
func expand(template string) []string {
	all := []string{template}
	for _, letter := range []string{"x", "y", "s"} {
		if !strings.Contains(template, letter) {
			continue
		}
		var next []string
		for _, t := range all {
			for value, other := range []string{"1", "0"} {
				t := strings.ReplaceAll(t, "!"+letter, other)
				next = append(next, strings.ReplaceAll(t, letter, string(rune('0'+value))))
			}
		}
		all = next
	}
	return all
}

// A bound is a primitive with cells of its own.
type bound struct {
	primitive
	a, v int
}

// bind gives the primitives of a text, parted by blanks, their cells. A text without an aggressor does not look at a.
func bind(text string, a, v int) []bound {
	var all []bound
	for _, t := range strings.Fields(text) {
		all = append(all, bound{parsePrimitive(t), a, v})
	}
	return all
}
