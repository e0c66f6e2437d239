package oracle

import (
	"math/big"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// mapped finds the channel that an address belongs to, and which of its addresses it is.
func (f *frame) mapped(a memory.Addr) (*order.Channel, int) {
	for _, ch := range f.half.Code.Channels {
		if first, last := ch.Addresses(f.half.Code); ch.At != nil && a >= first && a <= last {
			return ch, int(a-first) / f.half.Code.Geometry.Step()
		}
	}
	return nil, 0
}

// load reads a word of store or a piece of one, or asks the channel that stands at the address.
func (f *frame) load(a memory.Addr, width int) (memory.Word, end) {
	h := f.half
	if ch, n := f.mapped(a); ch != nil {
		switch n {
		case 0:
			return f.ask("receive", ch.Code, 0, 0, width)
		case 1:
			return 0, none
		}
		return f.ask("sign", ch.Code, n-2, 0, width)
	}
	var w memory.Word
	var st memory.Status
	if width < h.Code.Geometry.Width {
		w, st = h.Bus.(memory.Units).ReadPart(a, width)
	} else {
		w, st = h.Bus.Read(a)
	}
	if h.readTrap(st, f.here) {
		return 0, sprung
	}
	return w, none
}

// write stores a word, of right parity or wrong, or a piece of one, or tells the channel that stands at the address.
func (f *frame) write(a memory.Addr, v memory.Word, to *order.Expr) end {
	h := f.half
	if ch, n := f.mapped(a); ch != nil {
		switch n {
		case 0:
			_, e := f.ask("send", ch.Code, 0, v, 0)
			return e
		case 1:
			_, e := f.ask("command", ch.Code, 0, v, 0)
			return e
		}
		return none
	}
	asked := *f
	asked.locals = []memory.Word{memory.Word(a)}
	for _, p := range h.Code.Protects {
		if held, _ := asked.value(p.When); held == 1 && a >= p.First && a <= p.Last {
			if h.writeTrap(memory.Protected, f.here) {
				return sprung
			}
			return none
		}
	}
	var st memory.Status
	switch {
	case to.Op == "wrong-parity":
		st = h.Bus.WriteWrong(a, v, to.Name)
	case to.Width < h.Code.Geometry.Width:
		st = h.Bus.(memory.Units).WritePart(a, to.Width, v)
	default:
		st = h.Bus.Write(a, v)
	}
	if h.writeTrap(st, f.here) {
		return sprung
	}
	return none
}

// ask puts something to a channel and gives its answer, cut to a width.
func (f *frame) ask(verb string, code, sign int, w memory.Word, width int) (memory.Word, end) {
	ch := &order.Channel{}
	for _, other := range f.half.Code.Channels {
		if other.Code == code {
			ch = other
		}
	}
	sent := w
	if ch.Inverted && (verb == "send" || verb == "command") {
		sent = w ^ memory.Mask(ch.Width)
	}
	got, ok := f.half.Do(verb, code, sign, sent, f.half.Now)
	switch {
	case !ok:
	case verb == "receive" && ch.Inverted:
		got ^= memory.Mask(ch.Width)
	case verb == "sign" && (ch.InvertedSigns == memory.Mask(64) || sign < 64 && ch.InvertedSigns>>sign&1 == 1):
		got = 1 - got&1
	}
	if !ok && f.half.named("no-reply", true, f.here) {
		return 0, sprung
	}
	return got & memory.Mask(width), none
}

// after is the place behind the order that stands at a place.
func (f *frame) after(place memory.Addr) (memory.Word, end) {
	w, ok := f.half.part(place, f.here)
	if !ok {
		return 0, sprung
	}
	return memory.Word(f.half.Code.After(place, f.half.read(w))), none
}

// product multiplies and divides plain numbers.
func product(e *order.Expr, a, b *big.Int) (memory.Word, bool) {
	switch {
	case e.Op == "multiply":
		return low(a.Mul(a, b), e.Width), true
	case e.Op == "divide" && b.Sign() == 0:
		return memory.Mask(e.Width), true
	case e.Op == "divide":
		return low(a.Div(a, b), e.Width), true
	case e.Op == "remainder" && b.Sign() == 0:
		return low(a, e.Width), true
	case e.Op == "remainder":
		return low(a.Mod(a, b), e.Width), true
	}
	return 0, false
}

// decimal adds digit by digit; what a digit comes to beyond nine goes on by tens, so that a digit typed as ten is ten.
func decimal(op string, v [3]memory.Word, width int) memory.Word {
	var sum memory.Word
	carry := v[2]
	for lo := 0; lo < width; lo += 4 {
		digit := v[0]>>lo&15 + v[1]>>lo&15 + carry
		sum |= digit % 10 << lo
		carry = digit / 10
	}
	if op == "carry-decimal" {
		return min(carry, 1)
	}
	return sum
}
