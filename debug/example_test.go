package debug_test

import (
	"fmt"
	"os"

	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug"
)

func ExampleSession() {
	code, err := order.Read("millrace.machine", []byte(`
machine   "Millrace 8"
numbers   hexadecimal, bit 0 at right
word      8 bits, twos complement
address   8 bits
counter   P: 8 bits, holds next order
register  A: 8 bits
store     M 00-0F
boot
  does    P, A <- 0, 7
order     add n
  pattern 0001 nnnn
  does    A <- A + extend(n, 8)
order     jump a
  pattern 0010 aaaa
  does    P <- extend(a, 8)
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	half := duplex.NewHalf("A", code, new(channel.Rack), 0)
	half.Store.Poke(0, 0x15)
	half.Store.Poke(1, 0x20)
	desk := debug.New(debug.Setup{Half: half, Out: os.Stdout})
	desk.Start(nil)
	for _, line := range []string{"take 2", "roll until A >= 20", "look Q"} {
		fmt.Println(desk.Prompt() + line)
		if err := desk.Do(line); err != nil {
			fmt.Println(err)
		}
	}
	// Output:
	// A 00 held> take 2
	//   00  add 5                      A 0C
	//   01  jump 0                     P 00
	// A 00 held> roll until A >= 20
	// Stopped: met: A >= 20.
	// 7 orders, 9 since power-up; next:
	//   01  jump 0
	// A 01 held> look Q
	// "Q" is no register here; known are: P, A; nor is it an address
}
