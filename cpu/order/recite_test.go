package order_test

import (
	"fmt"
	"go/scanner"
	"os"
	"testing"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// tern reads the test machine.
func tern() (*order.Code, error) {
	src, err := os.ReadFile("testdata/tern.machine")
	if err != nil {
		return nil, err
	}
	return order.Read("tern.machine", src)
}

// readTern reads the test machine, which has nothing wrong.
func readTern(t testing.TB) *order.Code {
	t.Helper()
	c, err := tern()
	if err != nil {
		scanner.PrintError(t.Output(), err)
		t.FailNow()
	}
	return c
}

func TestRecite(t *testing.T) {
	c := readTern(t)
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
	c, err := tern()
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
