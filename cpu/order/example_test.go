package order_test

import (
	"fmt"
	"go/scanner"
	"os"

	"coldstart/cpu/order"
	"coldstart/memory"
)

const small = `machine  "Small"
numbers  octal, bit 0 at right
word     12 bits, twos complement
address  8 bits
counter  P: 8 bits, holds next order
register A, B: 12 bits
store    ST 000-377
group    r: 0 A, 1 B

order    load r, a              page 12
  pattern 001 r aaaaaaaa
  does   r <- store[a]
order    jump a                 page 14
  pattern 0100 aaaaaaaa
  does   P <- a
`

func ExampleRead() {
	_, err := order.Read("small.machine", []byte(small+`order step r
  pattern 010 r 00000001
  does   r <- r + P
`))
	scanner.PrintError(os.Stdout, err)
	// Output:
	// small.machine:18:17: r has 12 bits but P has 8 bits: write `extend(P, 12)`, `sign(P, 12)` or `cut(r, 8)`
}

func ExampleCode_Find() {
	code, err := order.Read("small.machine", []byte(small))
	if err != nil {
		fmt.Println(err)
		return
	}
	word := memory.Word(0o1417)
	o := code.Find(word)
	fmt.Println(o.Name, "on page", o.Page)
	for i, v := range o.Values([]memory.Word{word}) {
		fmt.Printf("%s = %o\n", o.Fields[i].Name, v)
	}
	fmt.Println(o.Does[0].Targets[0], "<-", o.Does[0].Sources[0])
	// Output:
	// load on page 12
	// r = 1
	// a = 17
	// r <- store[a]
}
