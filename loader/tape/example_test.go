package tape_test

import (
	"fmt"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// A check code says of a block that it is wrong, and which bit it is if it is one.
func ExampleLayout_OneWrong() {
	l, err := tape.ReadLayout("short.layout", []byte(`
layout   short
numbers  octal
word     12 bits
bytes    2 of 6 bits make 1 word high first
field    number
data     4 words
check    16 bits 8005 start FFFF in straight out straight final 0000 \
         2 words high first over number data
`))
	if err != nil {
		fmt.Println(list.Report(err))
		return
	}
	src, _ := l.Append(nil, 7, 0, []memory.Word{0o1234, 0o0770, 0o5252, 0o0001})
	raw := l.FromBits(bitsOf(src))
	fmt.Println("as recorded:", l.Prove(raw).Check == tape.Right)
	raw[3] ^= 1 << 5
	fmt.Println("a bit turned:", l.Prove(raw).Check == tape.Right)
	word, bit, found := l.OneWrong(raw)
	fmt.Println("word", word, "bit", bit, found)
	raw[1] ^= 1
	_, _, found = l.OneWrong(raw)
	fmt.Println("two bits turned:", found)
	// Output:
	// as recorded: true
	// a bit turned: false
	// word 3 bit 5 true
	// two bits turned: false
}

// bitsOf gives the six bits that each byte of a recording carries.
func bitsOf(src []byte) []byte {
	var bits []byte
	for _, b := range src {
		for i := 5; i >= 0; i-- {
			bits = append(bits, b>>i&1)
		}
	}
	return bits
}
