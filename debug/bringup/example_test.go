package bringup_test

import (
	"context"
	"fmt"
	"os"

	"coldstart/debug/bringup"
)

// An office with a wired program that reads a word nobody wrote, waits while it is zero, and halts.
func Example() {
	office, err := bringup.Open(func(name string) ([]byte, error) {
		switch name {
		case "office.list":
			return []byte("office Kiln\nmachine kiln.machine\nwired W0 kiln.words\n"), nil
		case "kiln.words":
			return []byte("700: 0010 3700 6002\n"), nil
		}
		return os.ReadFile("testdata/" + name)
	}, "office.list")
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := office.BringUp(context.Background(), bringup.Start{Fill: 1}, 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Verdict, report.Ending)
	fmt.Println(report.Stop[0])
	fmt.Println(report.Unwritten)
	// Output:
	// TROUBLE halted
	// halted at 3 us: by the order at 702, halt
	// [store 010, first by the order at 700 (order 1)]
}
