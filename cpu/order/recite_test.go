package order_test

import (
	"fmt"
	"go/scanner"
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// tern is a machine made for these tests: unlike the training machine in radix, bit numbers, complement, what the counter
// holds, and with the kinds of operand that one lacks.
const tern = `
machine   "Tern 16"
numbers   hexadecimal, bit 1 at left
word      16 bits, ones complement
address   16 bits
store     S1 0000-0FFF
counter   P: 16 bits, holds this order
register  A, B, C: 16 bits
register  bank: 4 bits
group     r: 00 A, 01 B, 11 C
choice    i: 0 -, 1 through
choice    k: 00 low, 01 high, 11 -
choice    t: 0 -, 1 twice

order     load r, i a
  pattern 0000 rr i aaaaaaaaa
  does    r <- extend(a, 16)
order     small r, n
  pattern 0001 rr nnnnnnnnnn
  operand n as sign(n, 16)
  does    r <- sign(n, 16)
order     jump d
  pattern 0010 dddddddddddd
  operand d as P + sign(d, 16)
  does    P <- P + sign(d, 16)
order     go a
  pattern 0011 aaaaaaaaaaaa
  operand a as bank:a
  does    P <- bank:a
order     pick k n, t
  pattern 0100 kk t nnnnnnnnn
  does    A <- extend(n, 16)
order     rest i
  pattern 0101 i ***********
  does    halt
order     far r, v
  pattern 0110 rr 0000000000 / vvvvvvvvvvvvvvvv
  does    r <- v
order     pair d
  pattern 0111 dddddddddddd
  operand d as P + sign(d:extend(0, 1), 16)
  does    P <- P + sign(d:extend(0, 1), 16)
order     mixed d
  pattern 1000 0000 dddddddd
  operand d as extend(d xor 5A, 16)
  does    A <- extend(d, 16)
order     stop
  pattern 1001 000000000000
  does    halt
order     back d
  pattern 1010 dddddddddddd
  operand d as here - extend(d, 16)
  does    P <- here - extend(d, 16)
order     fixed r
  pattern 1100 rr mmmmmmmmmm
  must    m = 2A
  does    r <- extend(m, 16)
order     reach r, a
  pattern 1011 rr 0000000000 / 1010 aaaaaaaaaaaa
  does    r <- extend(a, 16)
`

// read reads a machine file of a test.
func read(t testing.TB, src string) *order.Code {
	t.Helper()
	c, err := order.Read("tern.machine", []byte(src))
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.FailNow()
	}
	return c
}

func TestRecite(t *testing.T) {
	c := read(t, tern)
	tests := []struct {
		name  string
		at    memory.Addr
		words []memory.Word
		want  string
		used  int
	}{
		{"register and number", 0, []memory.Word{0x0412}, "load B, 12", 1},
		{"a choice put before", 0, []memory.Word{0x0212}, "load A, through 12", 1},
		{"a number that would begin with a letter", 0, []memory.Word{0x04AB}, "load B, 0AB", 1},
		{"a register that is not there", 0, []memory.Word{0x0812}, "words 0812", 1},
		{"a small number below zero, ones complement", 0, []memory.Word{0x13FC}, "small A, -3", 1},
		{"minus zero", 0, []memory.Word{0x13FF}, "small A, -0", 1},
		{"a target ahead, counter at this order", 0x1000, []memory.Word{0x2003}, "jump 1003", 1},
		{"a target behind", 0x1000, []memory.Word{0x2FFF}, "jump 0FFF", 1},
		{"a target round the end", 0xFFFF, []memory.Word{0x2003}, "jump 0002", 1},
		{"a field a register decides", 0x1000, []memory.Word{0x3123}, "go 123", 1},
		{"a choice by number", 0, []memory.Word{0x4805}, "pick 2 5", 1},
		{"a choice by word", 0, []memory.Word{0x4405}, "pick high 5", 1},
		{"a choice unwritten, one at the end written", 0, []memory.Word{0x4E05}, "pick 5, twice", 1},
		{"nothing left to write", 0, []memory.Word{0x5000}, "rest", 1},
		{"ignored bits", 0, []memory.Word{0x5801}, "rest through", 1},
		{"two words", 0, []memory.Word{0x6400, 0xF00D, 1}, "far B, 0F00D", 2},
		{"two words cut off", 0, []memory.Word{0x6400}, "words 6400", 1},
		{"a second word with a pattern", 0, []memory.Word{0xB000, 0xA001}, "reach A, 1", 2},
		{"a second word that does not fit its pattern", 0, []memory.Word{0xB000, 0xB001}, "words 0B000", 1},
		{"a field that must be so", 0, []memory.Word{0xC42A}, "fixed B", 1},
		{"distance in steps of two", 0x100, []memory.Word{0x7FFF}, "pair 00FE", 1},
		{"no operands", 0, []memory.Word{0x9000}, "stop", 1},
		{"no order", 0, []memory.Word{0xFFFF}, "words 0FFFF", 1},
		{"nothing", 0, nil, "", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, used := c.Recite(tt.at, tt.words)
			if got != tt.want || used != tt.used {
				t.Errorf("Recite(%X, %X) = %q, %d; want %q, %d", tt.at, tt.words, got, used, tt.want, tt.used)
			}
		})
	}
}

func ExampleCode_Recite() {
	c, err := order.Read("tern.machine", []byte(tern))
	if err != nil {
		fmt.Println(err)
		return
	}
	words := []memory.Word{0x0612, 0x6400, 0xF00D, 0x2FFD}
	for at := 0; at < len(words); {
		text, used := c.Recite(memory.Addr(0x1000+at), words[at:])
		fmt.Println(text)
		at += used
	}
	// Output:
	// load B, through 12
	// far B, 0F00D
	// jump 1000
}
