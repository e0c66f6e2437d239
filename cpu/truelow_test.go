package cpu_test

import (
	"fmt"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// trueLow is a machine of octets with lines of every kind held true-low.
const trueLow = `
machine  "True low"
numbers  hexadecimal, bit 0 at right
word     16 bits, twos complement
unit     8 bits, high end first
address  12 bits
counter  P: 12 bits, holds next order
register A: 16 bits
keys     K: 16 bits, at start 00F0, inverted
store    S 000-0FF
store    T 100-1FF
  inverted
channel  C: code 1, 12 bits, inverted words and sign 2
channel  D: code 2, 8 bits, inverted signs
channel  M: code 3, 16 bits, at 800, signs 4, inverted words and sign 1
order    keys
  pattern 0000 000000000000
  does    A <- K
order    receive c
  pattern 0001 0000000000 cc
  does    A <- extend(cut(channel[c], 12), 16)
order    send c
  pattern 0010 0000000000 cc
  does    channel[c] <- A
order    command c
  pattern 0011 0000000000 cc
  does    command[c] <- A
order    sign c, n
  pattern 0100 00000 nnnnn cc
  does    A <- extend(sign[c, n], 16)
order    load a
  pattern 0101 aaaaaaaaaaaa
  does    A <- store[a]
order    store a
  pattern 0110 aaaaaaaaaaaa
  does    store[a] <- A
`

// A line is channels at whose far end a 0F0 is given, every sign is 0, and what comes is noted.
type line struct{ came []string }

// Do notes an action and answers it.
func (l *line) Do(a cpu.Action, _ cpu.Time) cpu.Reply {
	l.came = append(l.came, fmt.Sprintf("%v %d %d %03X", a.Verb, a.Code, a.Sign, a.Word))
	if a.Verb == cpu.Receive {
		return cpu.Reply{Word: 0x0F0}
	}
	return cpu.Reply{None: a.Code > 3}
}

// Next never comes.
func (*line) Next(cpu.Time) cpu.Time { return cpu.Never }

// What is held true-low is turned round between the program and what is outside, and nothing else is; places of a channel in
// store are a word apart.
func TestTrueLow(t *testing.T) {
	c, err := order.Read("true-low", []byte(trueLow))
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		order memory.Word
		a     memory.Word // in A after it; before it stood 123
		came  string      // at the far end
	}{
		{order: 0x0000, a: 0xFF0F},
		{order: 0x1001, a: 0xF0F, came: "receive 1 0 000"},
		{order: 0x1002, a: 0x0F0, came: "receive 2 0 000"},
		{order: 0x2001, a: 0x123, came: "send 1 0 EDC"},
		{order: 0x2002, a: 0x123, came: "send 2 0 123"},
		{order: 0x3001, a: 0x123, came: "command 1 0 EDC"},
		{order: 0x3002, a: 0x123, came: "command 2 0 123"},
		{order: 0x4001 | 1<<2, a: 0, came: "sign 1 1 000"},
		{order: 0x4001 | 2<<2, a: 1, came: "sign 1 2 000"},
		{order: 0x4002 | 9<<2, a: 1, came: "sign 2 9 000"},
		{order: 0x5800, a: 0xFF0F, came: "receive 3 0 000"},
		{order: 0x6800, a: 0x123, came: "send 3 0 FEDC"},
		{order: 0x6802, a: 0x123, came: "command 3 0 FEDC"},
		{order: 0x5802, a: 0},
		{order: 0x5804, a: 0, came: "sign 3 0 000"},
		{order: 0x5806, a: 1, came: "sign 3 1 000"},
		{order: 0x580A, a: 0, came: "sign 3 3 000"},
		{order: 0x5100, a: 0x456},
	} {
		far := new(line)
		s := memory.NewStore(c.Geometry, 1)
		s.Write(0x100, 0x456)
		s.Write(0, tt.order)
		m := cpu.New(c, s, far, 1)
		m.Boot()
		m.Set(c.Counter, 0)
		m.Set(c.Register("A"), 0x123)
		m.Step()
		came := ""
		if len(far.came) > 0 {
			came = far.came[0]
		}
		if got := m.Value(c.Register("A")); got != tt.a || came != tt.came || m.LastTrap() != nil {
			t.Errorf("order %04X: A %03X, came %q, trap %v; want %03X, %q and none", tt.order, got, came, m.LastTrap(), tt.a, tt.came)
		}
	}
}
