package debug

import (
	"fmt"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
)

// lookAs shows words of store as something else than words.
func (s *Session) lookAs(where string, how []string) error {
	if how[0] != "as" || len(how) < 2 {
		return fmt.Errorf("after %s belongs `as orders` or `as characters`", where)
	}
	first, last, err := s.span(where)
	if err != nil {
		return err
	}
	switch kinds := []string{"orders", "characters"}; how[1] {
	case "orders":
		if len(how) > 2 {
			return fmt.Errorf("%q is one word too many: write `look %s as orders`", how[2], where)
		}
		return s.asOrders(first, last)
	case "characters":
		bits, err := s.pieces(where, how[2:])
		if err != nil {
			return err
		}
		s.asCharacters(first, last, bits)
		return nil
	default:
		return fmt.Errorf("%s", list.Unknown("way to look", how[1], kinds))
	}
}

// asOrders lists the orders that begin from one address to another.
func (s *Session) asOrders(first, last memory.Addr) error {
	const most = mostLines
	n, step := int64(0), memory.Addr(s.code.Step())
	for at := first; at <= last && n < most; n++ {
		words := s.seen(at)
		if len(words) == 0 {
			n++
			break
		}
		_, used := s.code.Recite(at, words)
		at += max(memory.Addr(used), step)
	}
	s.orders(first, n)
	if n == most {
		s.say("Only the first %d are listed.", most)
	}
	return nil
}

// pieces reads how many bits a character has: those of a word where nothing is said.
func (s *Session) pieces(where string, how []string) (int, error) {
	width := s.code.Geometry.Width
	if len(how) == 0 {
		return width, nil
	}
	usage := fmt.Sprintf("write `look %s as characters of 8 bits`", where)
	if len(how) != 3 || how[0] != "of" || how[2] != "bits" {
		return 0, fmt.Errorf("%s is not how many bits a character has: %s", strings.Join(how, " "), usage)
	}
	n, err := count(how[1])
	if err != nil || n > int64(width) {
		return 0, fmt.Errorf("%q is no number of bits from 1 to %d: %s", how[1], width, usage)
	}
	return int(n), nil
}

// asCharacters shows words as ASCII, each cut into pieces from its left end on; of a piece the lowest seven bits count. A point
// stands for what does not print.
func (s *Session) asCharacters(first, last memory.Addr, bits int) {
	const line = 32
	step := memory.Addr(s.code.Geometry.Step())
	var text strings.Builder
	begun := first
	for n := 0; ; n++ {
		at := first + memory.Addr(n)*step
		more := at <= last && at >= first
		if text.Len() > 0 && (!more || text.Len() >= line) {
			s.say("%s  \"%s\"", s.addr(begun), text.String())
			text.Reset()
			begun = at
			if n >= mostLines*line {
				s.say("Only these are shown.")
				return
			}
		}
		if !more {
			return
		}
		width := s.width(at)
		w, _ := s.half.Word(at)
		for left := width - bits; left >= 0; left -= bits {
			c := byte(w >> left & 0o177)
			if c < ' ' || c > '~' {
				c = '.'
			}
			text.WriteByte(c)
		}
	}
}
