package bringup

import (
	"fmt"
	"strconv"
	"strings"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// unread says what is known of a word that no order reads, for somebody who types the order code as it is needed: how it
// was reached, which bits it begins with, how many other words begin so, and where in the handbook to look.
func (t teller) unread(trap *cpu.Trap) []string {
	last := t.record.Last(2)
	if len(last) == 0 || trap.Kind.Name != "undefined" {
		return nil
	}
	at := last[len(last)-1]
	w, width := at.Words[0], t.office.Code.OrderWidth()
	n := unreadBits(t.office.Code, w, width)
	lead := w >> (width - n)
	lines := []string{fmt.Sprintf("no order reads %s at %s: it begins %s, and no pattern begins so", t.office.Code.Geometry.Style.Word(w, width),
		t.place(at.Place), bitText(lead, n))}
	if len(last) == 2 {
		lines = append(lines, fmt.Sprintf("reached from %s, %s", t.place(last[0].Place), t.order(last[0])))
	}
	same := 0
	for _, e := range t.office.Image.All() {
		if e.Word>>(width-n) == lead {
			same++
		}
	}
	lines = append(lines, fmt.Sprintf("words of the image that begin so: %d", same))
	if o := nearestOrder(t.office.Code, w, width); o != nil {
		page := ""
		if o.Page != "" {
			page = ", page " + o.Page
		}
		lines = append(lines, fmt.Sprintf("look up the order that begins %s in the handbook; the nearest one typed is %s (line %d%s)",
			bitText(lead, n), o.Name, o.Line, page))
	}
	return lines
}

// place writes where an order stands.
func (t teller) place(a memory.Addr) string {
	return t.office.Code.Geometry.Style.Addr(a, t.office.Code.PlaceBits())
}

// unreadBits is how many leading bits of a word it takes until no order's pattern begins so.
func unreadBits(c *order.Code, w memory.Word, width int) int {
	for n := 1; n < width; n++ {
		top := memory.Mask(n) << (width - n)
		begun := false
		for _, o := range c.Orders {
			p := o.Patterns[0]
			begun = begun || (w^p.Value)&p.Mask&top == 0
		}
		if !begun {
			return n
		}
	}
	return width
}

// nearestOrder is the order whose pattern goes along with the word for the most leading bits, the first of several; nil
// where none does for even one.
func nearestOrder(c *order.Code, w memory.Word, width int) *order.Order {
	var nearest *order.Order
	most := 0
	for _, o := range c.Orders {
		p := o.Patterns[0]
		n := 0
		for n < width && (w^p.Value)&p.Mask>>(width-1-n)&1 == 0 {
			n++
		}
		if n > most {
			nearest, most = o, n
		}
	}
	return nearest
}

// bitText writes n bits as a pattern is drawn, four and four.
func bitText(w memory.Word, n int) string {
	text := strconv.FormatUint(uint64(w), 2)
	text = strings.Repeat("0", n-len(text)) + text
	var groups []string
	for len(text) > 4 {
		groups, text = append(groups, text[:4]), text[4:]
	}
	return strings.Join(append(groups, text), " ")
}
