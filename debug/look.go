package debug

import (
	"fmt"
	"strings"

	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
)

// mostLines is how many words are listed at once.
const mostLines = 64

// look shows words of store, or a register.
func (s *Session) look(args []string) error {
	if len(args) > 1 {
		return s.lookAs(args[0], args[1:])
	}
	if r := s.code.Register(args[0]); r != nil {
		w, stand := s.half.Machine.Value(r), ""
		if r.Keyed(w) != w {
			stand = "  held true-low: its keys stand at " + s.value(r, r.Keyed(w))
		}
		s.say("%s  %s%s", r.Name, s.value(r, w), stand)
		return nil
	}
	first, last, err := s.span(args[0])
	if err != nil {
		return s.orRegister(args[0], err)
	}
	for i := memory.Addr(0); ; i++ {
		a := first + i
		if i == mostLines {
			s.say("`look %s-%s` shows the rest", s.addr(a), s.addr(last))
			return nil
		}
		s.lookAt(a)
		if a == last {
			return nil
		}
	}
}

// span reads an address, or the first and the last of several.
func (s *Session) span(text string) (first, last memory.Addr, err error) {
	from, to, both := strings.Cut(text, "-")
	if first, err = s.place(from); err != nil || !both {
		return first, first, err
	}
	if last, err = s.address(to); err != nil {
		return 0, 0, err
	}
	if last < first {
		return 0, 0, fmt.Errorf("%s ends before it begins: write the lower address first", text)
	}
	return first, last, nil
}

// lookAt shows one word: as the machine sees it, and what there is to remark.
func (s *Session) lookAt(a memory.Addr) {
	stored, seen, st := s.half.Store.Peek(a)
	if st&memory.NoReply != 0 {
		s.say("%s  nothing answers", s.addr(a))
		return
	}
	remarks := []string{}
	if area := s.code.Geometry.Area(a); area.Inverted {
		remarks = append(remarks, "held true-low: cells "+s.word(a, s.cells(a, area)))
	}
	if stored != seen {
		remarks = append(remarks, "stored "+s.word(a, stored))
	}
	if st != 0 {
		remarks = append(remarks, st.String())
	}
	text := s.addr(a) + "  " + s.word(a, seen)
	if len(remarks) > 0 {
		text += "  " + strings.Join(remarks, ", ")
	}
	s.say("%s", text)
}

// cells is what the cells of a word in an inverted area hold, as somebody would find it who measures there.
func (s *Session) cells(a memory.Addr, area *memory.Area) memory.Word {
	own := a - a%memory.Addr(s.code.Geometry.Step())
	var w memory.Word
	for i := range area.Width {
		if _, shown, ok := s.half.Store.Column(own, i); ok {
			w |= memory.Word(area.Cell(shown)) << i
		}
	}
	return w
}

// address reads an address that is no wider than the machine's.
func (s *Session) address(text string) (memory.Addr, error) {
	g := &s.code.Geometry
	n, err := g.Style.Parse(text)
	if err != nil {
		return 0, err
	}
	if memory.Word(n) > memory.Mask(g.AddrBits) {
		return 0, fmt.Errorf("%s is no address: they go up to %s", text, s.addr(memory.Addr(memory.Mask(g.AddrBits))))
	}
	return memory.Addr(n), nil
}

// orRegister adds to what is wrong with an address which register may have been meant.
func (s *Session) orRegister(text string, err error) error {
	if text != "" && text[0] >= '0' && text[0] <= '9' {
		return err
	}
	return fmt.Errorf("%s; nor is it an address", list.Unknown("register", text, s.registers()))
}

// registers are the names of registers and flip-flops.
func (s *Session) registers() []string {
	var names []string
	for _, r := range s.code.Registers {
		names = append(names, r.Name)
	}
	return names
}

// key alters a word of the simulated store, or a register, as a person at the keys would.
func (s *Session) key(args []string) error {
	style := s.code.Geometry.Style
	n, err := style.Parse(args[1])
	if err != nil {
		return err
	}
	w := memory.Word(n)
	if r := s.code.Register(args[0]); r != nil {
		return s.keyRegister(r, w)
	}
	a, err := s.place(args[0])
	if err != nil {
		return s.orRegister(args[0], err)
	}
	before := s.half.Seen(a)
	if err := s.half.Store.Poke(a, w); err != nil {
		return err
	}
	s.keyed[a] = s.half.Machine.Orders()
	s.eye.lamps()
	s.did("key", s.addr(a), s.word(a, w))
	s.noted("key %s %s, was %s", s.addr(a), s.word(a, w), s.word(a, before))
	return nil
}

// keyRegister alters a register.
func (s *Session) keyRegister(r *order.Register, w memory.Word) error {
	style := s.code.Geometry.Style
	if most := memory.Mask(r.Width); w > most {
		return fmt.Errorf("%s is too wide for %s: it has %d bits, at most %s", style.Number(uint64(w)), r.Name, r.Width, style.Word(most, r.Width))
	}
	before := r.Keyed(s.half.Machine.Value(r))
	s.half.Machine.Set(r, r.Keyed(w))
	reads := ""
	if r.Keyed(w) != w {
		reads = ", which orders read as " + s.value(r, r.Keyed(w))
	}
	s.did("key", r.Name, style.Word(w, r.Width))
	s.noted("key %s %s%s, was %s", r.Name, s.value(r, w), reads, s.value(r, before))
	return nil
}

// recite lists store as orders.
func (s *Session) recite(args []string) error {
	at, n := s.half.Machine.Place(), int64(8)
	var err error
	if len(args) > 0 {
		if at, err = s.place(args[0]); err != nil {
			return err
		}
	}
	if len(args) > 1 {
		if n, err = count(args[1]); err != nil {
			return err
		}
	}
	if n > mostLines {
		return fmt.Errorf("%d orders are too many to list at once: at most %d", n, mostLines)
	}
	s.orders(at, n)
	return nil
}

// orders lists so many orders, from one on.
func (s *Session) orders(at memory.Addr, n int64) {
	for range n {
		if memory.Word(at) > memory.Mask(s.code.Geometry.AddrBits) {
			return
		}
		words := s.seen(at)
		if len(words) == 0 {
			s.say("  %s  nothing answers", s.addr(at))
			return
		}
		text, used := s.code.Recite(at, words)
		if _, _, st := s.half.Store.Peek(at); st != 0 {
			text += "  # " + st.String()
		}
		mark := " "
		if at == s.half.Machine.Place() {
			mark = ">"
		}
		s.say("%s %s  %s  %s", mark, s.addr(at), s.word(at, words[0]), text)
		at += memory.Addr(used)
	}
}
