package assemble_test

import (
	"go/scanner"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// byUnits is a machine whose addresses count units of eight bits, four to a word.
const byUnits = `machine   "Units 32"
numbers   hexadecimal, bit 0 at right
word      32 bits, twos complement
address   16 bits
unit      8 bits, low end first
counter   P: 16 bits, holds next order
register  A: 32 bits
store     S1 0000-0FFFF
order     load a
  pattern 00000001 00000000 aaaaaaaaaaaaaaaa
  does    A <- store[a]
order     jump d
  pattern 00000010 dddddddd 0000000000000000
  operand d as P + sign(d:extend(0, 2), 16)
  does    P <- P + sign(d:extend(0, 2), 16)
order     far v
  pattern 00000011 00000000 0000000000000000 / vvvvvvvvvvvvvvvvvvvvvvvvvvvvvvvv
  does    A <- v
`

// byHalves is a machine with two orders in a word, some of them longer than one half.
const byHalves = `machine   "Halves 16"
numbers   octal, bit 0 at right
word      16 bits, twos complement
address   9 bits
orders    2 in a word, left first
counter   P: 10 bits, holds next order
register  A: 16 bits
store     S1 000-777
order     take a
  pattern 000 aaaaa
  operand a as extend(a, 9)
  does    A <- store[extend(a, 9)]
order     jump d
  pattern 001 ddddd
  operand d as P + sign(d, 10)
  does    P <- P + sign(d, 10)
order     far a
  pattern 010 0000 a / aaaaaaaa
  operand a as a
  does    A <- store[a]
order     go p
  pattern 011 000 pp / pppppppp
  does    P <- p
order     rest
  pattern 100 00000
  does    halt
`

// readMachine reads a machine that has nothing wrong.
func readMachine(t testing.TB, src string) *order.Code {
	t.Helper()
	c, err := order.Read("test.machine", []byte(src))
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.FailNow()
	}
	return c
}

// placeless leaves the lines that words came from out of a comparison.
func placeless(words []assemble.Word) []assemble.Word {
	var bare []assemble.Word
	for _, w := range words {
		bare = append(bare, assemble.Word{Addr: w.Addr, Word: w.Word, Order: w.Order})
	}
	return bare
}

// TestUnits puts a program where an address counts a quarter of a word.
func TestUnits(t *testing.T) {
	p := assembled(t, readMachine(t, byUnits), `        block 1, 1000, 0A
start:  load table
        far here
next:   jump start
        jump after
table:  words table, next + 4
after:  text ascii "A"
        sum start, next
        reserve 0
        words 7
`)
	want := []assemble.Word{
		{Addr: 0x1000, Word: 0x01001014, Order: true}, // load table
		{Addr: 0x1004, Word: 0x03000000, Order: true}, // far here: where its value stands does not count, but where it begins
		{Addr: 0x1008, Word: 0x00001004, Order: true},
		{Addr: 0x100C, Word: 0x02FC0000, Order: true}, // jump start: four words back from the next order
		{Addr: 0x1010, Word: 0x02020000, Order: true}, // jump after: two words on
		{Addr: 0x1014, Word: 0x1014}, {Addr: 0x1018, Word: 0x1010}, {Addr: 0x101C, Word: 'A'},
		{Addr: 0x1020, Word: 0x01001014 + 0x03000000 + 0x1004 + 0x02FC0000}, {Addr: 0x1024, Word: 7},
	}
	if diff := cmp.Diff(want, placeless(p.Words)); diff != "" {
		t.Errorf("words (-want +got):\n%s", diff)
	}
	n := 0
	for range p.Block(p.Blocks[0]) {
		n++
	}
	if n != 10 {
		t.Errorf("the block gives %d words, want 10", n)
	}
}

// TestHalves puts a program where words hold two orders. What stands where is worked out by hand from the patterns.
func TestHalves(t *testing.T) {
	p := assembled(t, readMachine(t, byHalves), `        at 10
start:  take table          # place 20
        jump done           # place 21: the next order is 22
        rest                # place 22
done:
table:  words 5, done.9-0   # place 24: a new word
        far table           # places 30 and 31
        go start            # places 32 and 33
        rest
`)
	want := []assemble.Word{
		{Addr: 0o10, Word: 0b000_01010_001_00010, Order: true}, // table is at address 12; done two on from 22
		{Addr: 0o11, Word: 0b100_00000_00000000, Order: true},  // a half left over is zero
		{Addr: 0o12, Word: 5},
		{Addr: 0o13, Word: 0o24},                              // the place, picked from the label
		{Addr: 0o14, Word: 0b010_00000_00001010, Order: true}, // the address of the table
		{Addr: 0o15, Word: 0b011_00000_00010000, Order: true}, // the place of the start
		{Addr: 0o16, Word: 0b100_00000_00000000, Order: true},
	}
	if diff := cmp.Diff(want, placeless(p.Words)); diff != "" {
		t.Errorf("words (-want +got):\n%s", diff)
	}
	for name, place := range map[string]memory.Addr{"start": 0o20, "done": 0o24, "table": 0o24} {
		if got, ok := p.Label(name); !ok || got != place {
			t.Errorf("label %s is %o, %t; want %o", name, got, ok, place)
		}
	}
}

// Every word of such machines comes back from its listing: all halves in all pairs, and units at their own distance.
func TestReciteEveryHalf(t *testing.T) {
	c := readMachine(t, byHalves)
	for part := range 1 << 7 {
		roundTrip(t, c, words(0, 1<<9, func(i int) memory.Word { return memory.Word(part<<9 | i) }))
		roundTrip(t, c, words(0, 1<<9, func(i int) memory.Word { return memory.Word((part<<9 | i) * 0x2F01 & 0xFFFF) }))
	}
	roundTrip(t, readMachine(t, byUnits), func(yield func(memory.Addr, memory.Word) bool) {
		for i := range 1 << 14 {
			if !yield(memory.Addr(i*4), memory.Word(i&3)<<24|memory.Word(i*77&0xFFFFFF)) {
				return
			}
		}
	})
}

// TestReciteHalves looks at a listing: one order a line with its place, and a word of data where a half is no order.
func TestReciteHalves(t *testing.T) {
	image := []memory.Word{0b000_01010_001_00010, 0b100_00000_111_00000, 0b011_00000_00010000}
	listing := roundTrip(t, readMachine(t, byHalves), words(0o10, len(image), func(i int) memory.Word { return image[i] }))
	want := `        at 0010
        take 12                         # 0020  012
        jump 0024                       # 0021  042
        words 100340                    # 0022  100340
        go 20                           # 0024  140 020
`
	if diff := cmp.Diff(want, string(listing)); diff != "" {
		t.Errorf("listing (-want +got):\n%s", diff)
	}
}

// TestErrorsPacked is what can be wrong where a place and an address differ.
func TestErrorsPacked(t *testing.T) {
	tests := []struct{ name, machine, text, want string }{
		{"inside a word", byUnits, "at 1002\nwords 1", "1:4: 1002 is not the first unit of a word: a word has 4"},
		{"a jump into a word", byUnits, "at 1000\nnext: jump next + 2", "2:12: next + 2 (1002) cannot be reached"},
		{"twice in one half", byHalves, "at 10\nrest\nrest\nat 10\nrest", "5:1: 020 is assembled twice"},
		{"data over an order", byHalves, "at 10\nrest\nat 10\nwords 1", "4:1: 010 is assembled twice"},
		{"the address of a second half", byHalves, "at 0\nrest\nnext: take next", "3:12: next (0001) stands in the second half of a word"},
		{"beyond the end", byHalves, "at 777\nrest\nrest\nrest", "4:1: there is no room for this from 1000 on: the last address is 777"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := assemble.Assemble(readMachine(t, tt.machine), assemble.Source{Text: []byte(tt.text)})
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("Assemble(%q) = %v, want %q in it", tt.text, err, tt.want)
			}
		})
	}
}
